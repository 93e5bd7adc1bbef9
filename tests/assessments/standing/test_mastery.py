"""Wald's sequential test against figures from outside: checks_assessment.md, section A2.

Frick/Welch: rule base P(C|M)=.85, P(C|N)=.40 [S: Welch 1997 / Frick]; error rates .025 each [M].
The exact rates and means there were recomputed apart from this code by convolution [R].
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.standing.mastery import (
    Answer,
    Decision,
    SequentialTest,
    chance_over,
    exact,
    walk,
)

LONG = 4000  # so far that stopping there changes no figure below
FRICK = SequentialTest(0.40, 0.85, 0.025, 0.025, LONG)
SIXTY = SequentialTest(0.60, 0.85, 0.05, 0.10, LONG)
CLOSE = SequentialTest(0.60, 0.80, 0.05, 0.05, LONG)
SHORT = SequentialTest(0.60, 0.85, 0.05, 0.10, 30)

RIGHT, WRONG, UNSAFE = Answer(True), Answer(False), Answer(False, is_unsafe=True)


@pytest.mark.parametrize(
    ("test", "right", "wrong", "upper", "lower"),
    [
        (FRICK, 0.7538, -1.3863, 3.6636, -3.6636),
        (SIXTY, 0.3483, -0.9808, 2.8904, -2.2513),
        (CLOSE, math.log(0.8 / 0.6), math.log(0.2 / 0.4), 2.9444, -2.9444),
    ],
)
def test_steps_and_bounds_are_those_of_the_published_rule_base(test, right, wrong, upper, lower):
    assert test.step_right == pytest.approx(right, abs=5e-5)
    assert test.step_wrong == pytest.approx(wrong, abs=5e-5)
    assert test.upper == pytest.approx(upper, abs=5e-5)
    assert test.lower == pytest.approx(lower, abs=5e-5)


def test_frick_welch_bounds_are_thirty_nine_to_one_either_way():
    assert math.exp(FRICK.upper) == pytest.approx(39)
    assert math.exp(FRICK.lower) == pytest.approx(0.025641, abs=5e-7)


@pytest.mark.parametrize(
    ("test", "pass_at", "fail_at", "slope"),
    [(FRICK, 1.7119, -1.7119, 0.6478), (SIXTY, 2.1746, -1.6938, 0.7379)],
)
def test_the_lines_are_those_worked_out_elsewhere(test, pass_at, fail_at, slope):
    assert test.pass_intercept == pytest.approx(pass_at, abs=5e-5)
    assert test.fail_intercept == pytest.approx(fail_at, abs=5e-5)
    assert test.slope == pytest.approx(slope, abs=5e-5)


@pytest.mark.parametrize(("test", "to_pass", "to_fail"), [(FRICK, 5, 3), (SIXTY, 9, 3), (CLOSE, 11, 5)])
def test_the_fastest_pass_and_the_fastest_fail(test, to_pass, to_fail):
    assert (test.fewest_to_pass, test.fewest_to_fail) == (to_pass, to_fail)
    assert test.decide(to_pass, to_pass) is Decision.PASS
    assert test.decide(to_pass - 1, to_pass - 1) is Decision.GO_ON
    assert test.decide(0, to_fail) is Decision.FAIL
    assert test.decide(0, to_fail - 1) is Decision.GO_ON


@pytest.mark.parametrize(
    ("test", "false_pass", "false_fail", "mean_n", "mean_m"),
    [(FRICK, 0.02027, 0.01457, 7.734, 8.730), (SIXTY, 0.04326, 0.06459, 13.52, 18.19)],
)
def test_exact_errors_and_means_are_those_of_the_outside_convolution(test, false_pass, false_fail, mean_n, mean_m):
    non_master, master = exact(test, test.p_non_master), exact(test, test.p_master)
    assert non_master.passes == pytest.approx(false_pass, abs=5e-6)
    assert master.fails == pytest.approx(false_fail, abs=5e-6)
    assert non_master.mean_answers == pytest.approx(mean_n, abs=6e-3)
    assert master.mean_answers == pytest.approx(mean_m, abs=6e-3)


def test_exact_means_of_the_closer_pair():
    assert exact(CLOSE, 0.6).mean_answers == pytest.approx(28.16, abs=6e-3)
    assert exact(CLOSE, 0.8).mean_answers == pytest.approx(31.15, abs=6e-3)


@pytest.mark.parametrize(
    ("test", "p", "mean"),
    [(FRICK, 0.40, 6.563), (FRICK, 0.85, 8.042), (FRICK, FRICK.slope, 12.844),
     (CLOSE, 0.60, 25.32), (CLOSE, 0.80, 28.96), (CLOSE, CLOSE.slope, 43.48)],
)  # fmt: skip
def test_walds_approximate_means(test, p, mean):
    assert test.mean_answers(p) == pytest.approx(mean, abs=6e-3)


def test_nist_6_2_6_as_a_test_of_defectives():
    # NIST handbook 6.2.6 [M]: p1=.01, p2=.10, alpha=.05, beta=.10: accept at or below -.939+.0397n, reject at or above
    # 1.205+.0397n. A defective is a "right" answer here: passing this test is rejecting the lot.
    nist = SequentialTest(0.01, 0.10, 0.05, 0.10, LONG)
    assert nist.fail_intercept == pytest.approx(-0.9389, abs=5e-5)
    assert nist.pass_intercept == pytest.approx(1.2054, abs=5e-5)
    assert nist.slope == pytest.approx(0.0397, abs=5e-5)
    assert all(nist.decide(2, n) is Decision.PASS for n in range(2, 20))
    assert nist.decide(2, 20) is Decision.GO_ON
    assert nist.decide(3, 20) is Decision.PASS
    assert (nist.decide(0, 23), nist.decide(0, 24)) == (Decision.GO_ON, Decision.FAIL)
    assert nist.mean_answers(0.01) == pytest.approx(27.96, abs=6e-3)
    assert nist.mean_answers(0.10) == pytest.approx(16.45, abs=6e-3)


def test_hogg_and_craig_exercise_8_bounds():
    # Hogg & Craig, 6th ed., ex. 8: .01 against .05, alpha=beta=.02 (the question is published, the figures recomputed).
    test = SequentialTest(0.01, 0.05, 0.02, 0.02, LONG)
    assert (test.pass_intercept, test.fail_intercept) == (
        pytest.approx(2.3577, abs=5e-5),
        pytest.approx(-2.3577, abs=5e-5),
    )
    assert test.slope == pytest.approx(0.024985, abs=5e-7)


def test_true_errors_lie_a_bit_below_the_wanted_ones():
    for test in (FRICK, SIXTY, CLOSE):
        assert exact(test, test.p_non_master).passes < test.false_pass
        assert exact(test, test.p_master).fails < test.false_fail


def test_stopping_early_only_lowers_the_false_pass_rate():
    assert exact(SHORT, 0.6).passes < exact(SIXTY, 0.6).passes
    assert exact(SHORT, 0.85).fails > exact(SIXTY, 0.85).fails


def test_whoever_has_not_passed_at_the_stop_has_failed():
    undecided = next(right for right in range(31) if SIXTY.decide(right, 30) is Decision.GO_ON)
    assert SHORT.decide(undecided, 30) is Decision.FAIL
    assert SHORT.decide(undecided - 1, 29) is SIXTY.decide(undecided - 1, 29)


@given(st.floats(0.05, 0.95))
def test_every_course_ends_one_way_or_the_other(p):
    outcome = exact(SHORT, p)
    assert outcome.passes + outcome.fails == pytest.approx(1)
    assert 3 <= outcome.mean_answers <= 30


def test_the_exact_chances_agree_with_every_course_written_out():
    # Second opinion: all 2^14 courses of a test stopped at 14, one by one.
    test, p = SequentialTest(0.6, 0.85, 0.05, 0.10, 14), 0.7
    passes = 0.0
    for course in range(2**14):
        right = 0
        for answers in range(1, 15):
            right += course >> (answers - 1) & 1
            decision = test.decide(right, answers)
            if decision is not Decision.GO_ON:
                break
        if decision is Decision.PASS:
            ones = course.bit_count()
            passes += p**ones * (1 - p) ** (14 - ones)
    assert exact(test, p).passes == pytest.approx(passes)


def test_two_retakes_of_a_five_per_cent_test_let_more_through():
    # checks_assessment.md B, trap 3 [R]: alpha .05 with k runs: 2 -> .0975, 3 -> .1426, 5 -> .2262.
    assert chance_over(2, 0.05) == pytest.approx(0.0975, abs=5e-5)
    assert chance_over(3, 0.05) == pytest.approx(0.1426, abs=5e-5)
    assert chance_over(5, 0.05) == pytest.approx(0.2262, abs=5e-5)


def test_right_answers_still_needed_are_enough_and_not_too_many():
    for right, answers in [(0, 0), (3, 4), (7, 9), (8, 8)]:
        needed = SIXTY.right_still_needed(right, answers)
        assert SIXTY.decide(right + needed, answers + needed) is Decision.PASS
        assert SIXTY.decide(right + needed - 1, answers + needed - 1) is not Decision.PASS
    assert SIXTY.right_still_needed(12, 12) == 0


@pytest.mark.parametrize(
    ("terms", "says"),
    [
        ((0.85, 0.6, 0.05, 0.1, 30), "likelier"),
        ((0.0, 0.6, 0.05, 0.1, 30), "likelier"),
        ((0.6, 1.0, 0.05, 0.1, 30), "likelier"),
        ((0.6, 0.85, 0.0, 0.1, 30), "error chances"),
        ((0.6, 0.85, 0.5, 0.5, 30), "error chances"),
        ((0.6, 0.85, 0.05, 0.1, 8), "stops at 8"),
    ],
)
def test_terms_that_make_no_test_are_refused(terms, says):
    with pytest.raises(ValueError, match=says):
        SequentialTest(*terms)


# --- Series of one learner -------------------------------------------------------------------------------


def test_nobody_has_passed_before_the_first_answer():
    progress = walk(SIXTY, [])
    assert (progress.runs, progress.has_passed, progress.last.decision) == (0, False, Decision.GO_ON)


def test_nine_right_in_a_row_pass_and_later_answers_change_nothing():
    progress = walk(SIXTY, [RIGHT] * 9 + [WRONG] * 20)
    assert progress.has_passed
    assert (progress.runs, progress.last.right, len(progress.last.answers)) == (1, 9, 9)


def test_a_failed_series_is_followed_by_a_new_one():
    progress = walk(SIXTY, [WRONG] * 3 + [RIGHT] * 2)
    assert [each.decision for each in progress.series] == [Decision.FAIL, Decision.GO_ON]
    assert (progress.runs, progress.last.right) == (2, 2)


def test_after_a_failed_series_alone_the_next_is_empty():
    progress = walk(SIXTY, [WRONG] * 3)
    assert (progress.runs, len(progress.series), progress.last.answers) == (1, 2, ())


def test_an_unsafe_answer_ends_a_series_whatever_the_sum():
    progress = walk(SIXTY, [*[RIGHT] * 8, UNSAFE, *[RIGHT] * 8])
    assert not progress.has_passed
    assert progress.series[0].ended_unsafe
    assert not progress.last.ended_unsafe


def test_an_unsafe_answer_takes_a_pass_back():
    progress = walk(SIXTY, [*[RIGHT] * 9, WRONG, UNSAFE])
    assert not progress.has_passed
    assert [each.decision for each in progress.series] == [Decision.FAIL, Decision.GO_ON]
    assert walk(SIXTY, [*[RIGHT] * 9, UNSAFE, *[RIGHT] * 9]).has_passed


def test_an_answer_marked_right_and_unsafe_counts_as_unsafe():
    assert not walk(SIXTY, [Answer(True, is_unsafe=True)] * 40).has_passed


@given(st.lists(st.sampled_from([RIGHT, WRONG, UNSAFE]), max_size=60))
def test_every_answer_lies_in_exactly_one_series_unless_it_came_after_a_pass(answers):
    progress = walk(SHORT, answers)
    kept = [answer for each in progress.series for answer in each.answers]
    assert kept == answers[: len(kept)] or any(
        each.decision is Decision.FAIL and each.ended_unsafe for each in progress.series
    )
    assert all(each.decision is not Decision.GO_ON for each in progress.series[:-1])
    assert sum(each.decision is Decision.PASS for each in progress.series) == progress.has_passed


@given(st.lists(st.sampled_from([RIGHT, WRONG]), max_size=60))
def test_a_better_answer_in_the_open_series_never_moves_the_learner_down(answers):
    progress = walk(SIXTY, answers)
    for place, answer in enumerate(progress.last.answers):
        if answer is WRONG:
            better = [*progress.last.answers[:place], RIGHT, *progress.last.answers[place + 1 :]]
            assert walk(SIXTY, better).series[0].decision is not Decision.FAIL


# --- From how many scenarios ---------------------------------------------------------------------------------


def right_from(*scenarios):
    return [Answer(True, scenario=scenario) for scenario in scenarios]


def test_the_easiest_scenario_alone_does_not_pass_where_two_are_asked():
    alone = walk(SIXTY, right_from(*["easy"] * 20), scenarios_least=2)
    assert (alone.has_passed, alone.last.decision, alone.last.scenarios) == (False, Decision.GO_ON, 1)
    assert walk(SIXTY, right_from(*["easy"] * 20, "hard"), scenarios_least=2).has_passed
    assert walk(SIXTY, right_from(*["easy"] * 9)).has_passed


def test_only_right_and_safe_answers_bring_a_scenario():
    for other in (Answer(False, scenario="hard"), Answer(True, is_unsafe=True, scenario="hard")):
        assert not walk(SIXTY, [*right_from(*["easy"] * 12), other, *right_from(*["easy"] * 12)], 2).has_passed


def test_a_series_that_never_varies_ends_without_a_pass_at_its_stated_length():
    progress = walk(SIXTY, right_from(*["easy"] * SIXTY.most), scenarios_least=2)
    assert progress.series[0].decision is Decision.FAIL


def test_scenarios_of_a_series_that_failed_do_not_count_in_the_next():
    progress = walk(SIXTY, [*right_from("hard"), *[Answer(False, scenario="hard")] * 3, *right_from(*["easy"] * 9)], 2)
    assert (progress.series[0].decision, progress.has_passed) == (Decision.FAIL, False)


@given(
    st.lists(
        st.builds(Answer, st.booleans(), st.sampled_from([False] * 9 + [True]), st.sampled_from("abc")), max_size=60
    ),
    st.integers(1, 3),
)
def test_asking_for_scenarios_only_ever_holds_back(answers, least):
    """Whoever passes with the demand has, by then or earlier, passed without it: so the false-pass rate cannot grow."""
    ever_without = any(walk(SIXTY, answers[:count]).has_passed for count in range(len(answers) + 1))
    progress = walk(SIXTY, answers, least)
    assert ever_without or not progress.has_passed
    assert not progress.has_passed or progress.last.scenarios >= least
