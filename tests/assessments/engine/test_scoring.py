"""Outside: nothing scores but us, so these are properties that any fair scoring has, and cases worked by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.draws import Draw, draw, truth
from assessments.engine.errors import BadScenarioError, ImpossibleReadingError
from assessments.engine.kinds import Kind
from assessments.engine.method import Method
from assessments.engine.methods import all_methods
from assessments.engine.scenario import Carry
from assessments.engine.scoring import GRAIN, Answer, Mark, NamedSlip, What, key_to, score
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict
from tests.cases import CASES, WORKED, case
from tests.strategies import seeds

cases = st.sampled_from(tuple(CASES))
worked_cases = st.sampled_from(WORKED)
steps = st.sampled_from([0.5, 1.0])

BAD_NUMBERS = (math.nan, math.inf, -math.inf, 0.0, -1.0, 1e308, -1e308, 1e6)


def right_answer(key, **changes):
    action = key.actions[0] if key.actions else None
    verdict = key.verdicts[0] if key.scenario.method.verdict_words else None
    answer = Answer(
        readings=dict(key.draw.readings),
        results={name: key.values[name] for name in key.scenario.asked},
        verdict=verdict,
        action=action,
    )
    return replace(answer, **changes)


def key_of(name, seed=0, **changes):
    scenario = case(name, **changes)
    return key_to(scenario, draw(scenario, seed))


def key_for(scenario, **readings):
    """The key to a draw with these readings."""
    return key_to(scenario, Draw(scenario=scenario.name, seed=0, tries=0, condition="", oddity="", readings=readings))


def marks(marked):
    return {part.name: part.mark for part in marked.parts}


def slips(marked, name):
    return [slip.name for slip in next(part for part in marked.parts if part.name == name).slips]


# --- What is right -------------------------------------------------------------------------------------


@given(cases, seeds)
def test_a_right_answer_has_full_marks(name, seed):
    key = key_of(name, seed)
    marked = score(key, right_answer(key))

    assert marked.is_right
    assert not marked.is_unsafe
    assert marked.points == marked.out_of > 0
    assert not any(part.slips for part in marked.parts)


@given(worked_cases, seeds, st.data())
def test_every_verdict_and_action_that_is_true_is_right(name, seed, data):
    key = key_of(name, seed)
    answer = right_answer(
        key, verdict=data.draw(st.sampled_from(key.verdicts)), action=data.draw(st.sampled_from(key.actions))
    )

    assert score(key, answer).is_right


@given(worked_cases, steps, seeds)
def test_who_reads_within_tolerance_and_works_right_has_full_marks(name, reading_steps, seed):
    # The tolerances of results are what those of readings amount to, and draws are fair to them: it all fits together.
    key = key_of(name, seed, reading_steps=reading_steps)
    scenario = key.scenario
    moves = np.clip(np.random.default_rng(seed).uniform(-1.5, 1.5, len(key.draw.readings)), -1, 1)
    readings = {
        reading: value + float(move) * scenario.reading_tolerance(reading)
        for (reading, value), move in zip(key.draw.readings.items(), moves, strict=True)
    }
    try:
        scenario.method.check(readings, scenario.dims)
    except ImpossibleReadingError:  # a strip read narrower than it was when round: nobody could work that
        return
    values = scenario.method.work_one(readings, scenario.dims)
    answer = right_answer(key, readings=readings, results={result: values[result] for result in scenario.asked})

    assert score(key, answer).is_right


@pytest.mark.parametrize(
    ("reading_steps", "off", "mark"),
    [(0.5, 0.5, Mark.RIGHT), (0.5, 0.51, Mark.WRONG), (1.0, 1.0, Mark.RIGHT), (1.0, 1.01, Mark.WRONG)],
)
def test_a_reading_is_right_to_the_edge_of_its_tolerance(reading_steps, off, mark):
    key = key_of("bore in mm", reading_steps=reading_steps)
    name = "bore_governor_vertical"
    for side in (-1, 1):
        answer = right_answer(key, readings={**key.draw.readings, name: key.draw.readings[name] + side * off * 0.01})
        assert marks(score(key, answer))[name] is mark


@given(worked_cases, seeds, st.floats(0.01, 3.0), st.sampled_from([-1, 1]))
def test_a_result_is_right_within_its_tolerance_and_not_beyond(name, seed, part, side):
    key = key_of(name, seed)
    for result in key.scenario.asked:
        if key.verdicts[0] is not Verdict.VOID and result not in key.counts:
            off = side * part * key.allowed[result]
            mark = marks(score(key, Answer(readings={}, results={result: key.values[result] + off})))[result]
            assert mark is (Mark.RIGHT if abs(off) <= key.allowed[result] + GRAIN else Mark.WRONG)


def test_a_count_is_right_or_not():
    key = run_out(0.0, 0.02, 0.05, 0.05, 0.0, -0.01, -0.02, -0.01, asked=("high_spot",))

    def mark_of(station):
        return marks(score(key, Answer(readings={}, results={"high_spot": float(station)})))["high_spot"]

    assert [station for station in range(1, 9) if mark_of(station) is Mark.RIGHT] == [3, 4]
    assert slips(score(key, Answer(readings={}, results={"high_spot": 7.0})), "high_spot") == ["low_spot"]
    assert next(part.right for part in score(key, right_answer(key)).parts if part.name == "high_spot") == (3.0, 4.0)


def test_the_eighth_of_a_diameter_may_be_rounded_to_the_rule():
    # 63.5 / 8 = 7.9375 mm.
    key = key_of("travel in inches")

    for eighth, mark in ((7.9375, Mark.RIGHT), (7.94, Mark.RIGHT), (8.1, Mark.RIGHT), (7.7, Mark.WRONG)):
        answer = right_answer(key, results={**right_answer(key).results, "eighth": eighth})
        assert marks(score(key, answer))["eighth"] is mark


# --- Slips -----------------------------------------------------------------------------------------------


SLIPS = [(method.name, slip.name) for method in all_methods().values() for slip in method.slips]
DRAWS = 60


@cache
def keys_of(method):
    """Keys to draws of every case of a method, none of them void."""
    scenarios = [case(name) for name, (of, *_) in CASES.items() if of == method]
    keys = [key_to(scenario, draw(scenario, seed)) for scenario in scenarios for seed in range(DRAWS)]
    return [key for key in keys if key.verdicts[0] is not Verdict.VOID]


def slipped(method, slip):
    """Each key, what the slip makes of its draw, and the results where that shows."""
    for key in keys_of(method):
        rules = next(one.rules for one in key.scenario.method.slips if one.name == slip)
        wrong = key.scenario.method.work_one(key.draw.readings, key.scenario.dims, instead=rules)
        shows = [
            result
            for result in key.scenario.asked
            if abs(wrong[result] - key.values[result]) > key.allowed[result] + GRAIN
            and wrong[result] not in key.counts.get(result, ())
        ]
        yield key, rules, wrong, shows


@pytest.mark.parametrize(("method", "slip"), SLIPS)
def test_a_slip_at_one_result_is_named(method, slip):
    """Every result right but one, which has the slip's number: named in every draw where that is another number."""
    met = named = 0
    for key, _, wrong, shows in slipped(method, slip):
        for result in shows:
            met += 1
            answer = right_answer(key, results={**right_answer(key).results, result: wrong[result]})
            named += slip in slips(score(key, answer), result)
    assert met > 5
    assert named / met >= 0.95


@pytest.mark.parametrize(("method", "slip"), SLIPS)
def test_a_slip_carried_through_is_named_and_no_other_blame_is_laid_on_what_follows(method, slip):
    """All results as somebody has them who made one slip and went on from it."""
    met = named = 0
    for key, rules, wrong, shows in slipped(method, slip):
        if shows:
            met += 1
            marked = score(key, right_answer(key, results={result: wrong[result] for result in key.scenario.asked}))
            named += any(slip in slips(marked, result) for result in shows)
            for part in marked.parts:
                if part.what is What.RESULT and part.name not in rules and part.mark is Mark.WRONG:
                    assert slip in [one.name for one in part.slips]
    assert met > 5
    assert named / met >= 0.95


@given(st.sampled_from([name for name in WORKED if "bore" not in name]), seeds, st.data())
def test_a_slip_is_named_on_the_learner_s_own_readings_too(name, seed, data):
    # Two errors: a misreading, and a slip worked from it.
    key = key_of(name, seed)
    scenario = key.scenario
    if key.verdicts[0] is Verdict.VOID:
        return
    slip = data.draw(st.sampled_from(scenario.method.slips))
    reading = data.draw(st.sampled_from(list(key.draw.readings)))
    readings = {**key.draw.readings, reading: key.draw.readings[reading] + 3 * scenario.instruments[reading].step}
    try:
        scenario.method.check(readings, scenario.dims)
    except Exception:  # noqa: BLE001  a stack that goes thicker than one that does not: nobody could work that
        return
    right = scenario.method.work_one(readings, scenario.dims)
    wrong = scenario.method.work_one(readings, scenario.dims, instead=slip.rules)
    marked = score(key, right_answer(key, readings=readings, results={name: wrong[name] for name in scenario.asked}))
    for result in scenario.asked:
        near = key.allowed[result] + GRAIN
        if abs(wrong[result] - right[result]) > near and marks(marked)[result] is Mark.WRONG:
            assert slip.name in slips(marked, result)


def run_out(*heights, back=0.0, **changes):
    """The key to a turn of the dial."""
    scenario = case("run-out in mm", **changes)
    return key_for(scenario, **{f"station_{number}": height for number, height in enumerate(heights, 1)}, back=back)


def test_a_slip_is_named_on_the_learner_s_own_result_before_it():
    # A total that nobody can explain, and written as off centre without halving it.
    key = run_out(0.0, 0.01, 0.02, 0.01, 0.0, -0.01, -0.02, -0.01, asked=("total", "off_centre"))
    marked = score(key, right_answer(key, results={"total": 0.37, "off_centre": 0.37}))

    assert slips(marked, "total") == []
    assert slips(marked, "off_centre") == ["not_halved"]


def test_two_slips_that_cannot_be_told_apart_are_both_named():
    scenario = case("bore in mm")
    sizes = {"bore": (60.10, 60.16, 60.10, 60.16), "journal": (60.0, 60.0, 60.0, 60.06)}
    readings = {
        f"{part}_{place}": size
        for part, four in sizes.items()
        for place, size in zip(
            ("governor_vertical", "governor_horizontal", "coupling_vertical", "coupling_horizontal"), four, strict=True
        )
    }
    key = key_for(scenario, **readings)
    # Tightest 60.10 - 60.06 = 0.04. Wrong journal: 60.10 - 60.00 = 0.10. Wrong bore: 60.16 - 60.06 = 0.10.
    marked = score(key, right_answer(key, results={**right_answer(key).results, "least_clearance": 0.10}))

    assert key.values["least_clearance"] == pytest.approx(0.04)
    assert {"least_journal", "greatest_bore"} <= set(slips(marked, "least_clearance"))


@given(worked_cases, seeds, st.floats(-1, 1))
def test_a_slip_whose_number_is_the_right_one_is_never_named(name, seed, part):
    key = key_of(name, seed)
    for result in key.scenario.asked:
        # Just beyond right: near enough to a slip's number that is itself as good as right.
        off = math.copysign(1.001 + abs(part), part) * key.allowed[result]
        marked = score(key, right_answer(key, results={result: key.values[result] + off}))
        for slip, wrong in key.slips[result]:
            if abs(wrong - key.values[result]) <= key.allowed[result] + GRAIN:
                assert slip.name not in slips(marked, result)


def test_a_number_that_nobody_can_explain_is_wrong_and_nothing_is_guessed():
    key = key_of("strip in mm", seed=3)
    marked = score(key, right_answer(key, results={"c_governor": 0.7071}))

    assert marks(marked)["c_governor"] is Mark.WRONG
    assert slips(marked, "c_governor") == []


def test_a_misreading_is_named():
    key = key_of("bore in mm")
    name = "journal_governor_vertical"
    short = right_answer(key, readings={**key.draw.readings, name: key.draw.readings[name] - 0.5})
    next_line = right_answer(key, readings={**key.draw.readings, name: key.draw.readings[name] + 0.01})

    assert slips(score(key, short), name) == ["half_millimetre_missed"]
    assert slips(score(key, next_line), name) == ["one_line_off"]
    assert all(isinstance(slip, NamedSlip) and slip.parts_at == "" for slip in score(key, short).parts[4].slips)


def test_where_a_whole_step_is_allowed_the_next_line_is_no_misreading():
    key = key_of("bore in mm", reading_steps=1.0)
    name = "journal_governor_vertical"

    def marked(off):
        return score(key, right_answer(key, readings={**key.draw.readings, name: key.draw.readings[name] + off}))

    assert marks(marked(0.01))[name] is Mark.RIGHT
    assert marks(marked(0.015))[name] is Mark.WRONG
    assert slips(marked(0.015), name) == []


# --- Carried forward -------------------------------------------------------------------------------------

PRINTS = {"w_governor": 2.5, "w_coupling": 2.1}
"""A strip of 0.60 mm: 0.1142 and 0.1365 mm of clearance, worked by hand, and so a taper of 0.0223 mm."""


def strip(**changes):
    return key_for(case("strip in mm", asked=("c_governor", "c_coupling", "taper"), **changes), **PRINTS)


def test_a_taper_from_one_s_own_clearances_is_carried_forward():
    # By hand: [w - sqrt(w^2 - 4 k A)] / 2 k with A = 0.28274 mm2 and 2 k = 0.42920.
    key = strip()
    c2 = key.values["c_coupling"]
    assert (key.values["c_governor"], c2) == (pytest.approx(0.1142, abs=1e-4), pytest.approx(0.1365, abs=1e-4))

    own = {"c_governor": c2, "c_coupling": c2 + 0.04, "taper": 0.04}
    marked = score(key, right_answer(key, results=own))

    assert marks(marked)["c_governor"] is Mark.WRONG
    assert slips(marked, "c_governor") == ["ends_swapped"]
    assert marks(marked)["c_coupling"] is Mark.WRONG
    assert marks(marked)["taper"] is Mark.CARRIED
    assert not marked.is_right


def test_ends_swapped_leave_the_taper_right_and_the_verdict_too():
    # As the sketch of the result page has it: one slip, seen at both ends, and nothing else wrong.
    key = strip()
    swapped = {
        "c_governor": key.values["c_coupling"],
        "c_coupling": key.values["c_governor"],
        "taper": key.values["taper"],
    }
    marked = score(key, right_answer(key, results=swapped))

    assert key.verdicts == (Verdict.FORM,)
    assert {name: mark for name, mark in marks(marked).items() if mark is not Mark.RIGHT} == {
        "c_governor": Mark.WRONG,
        "c_coupling": Mark.WRONG,
    }
    assert slips(marked, "c_governor") == slips(marked, "c_coupling") == ["ends_swapped"]


@given(worked_cases, seeds, st.data())
def test_everything_that_follows_from_a_wrong_reading_earns_its_marks(name, seed, data):
    key = key_of(name, seed)
    scenario = key.scenario
    reading = data.draw(st.sampled_from(list(key.draw.readings)))
    off = data.draw(st.sampled_from([-4, 4])) * scenario.instruments[reading].step
    readings = {**key.draw.readings, reading: key.draw.readings[reading] + off}
    try:
        scenario.method.check(readings, scenario.dims)
    except ImpossibleReadingError:
        return
    values = scenario.method.work_one(readings, scenario.dims)
    marked = score(key, right_answer(key, readings=readings, results={one: values[one] for one in scenario.asked}))

    if not key.draw.oddity:
        assert marks(marked)[reading] is Mark.WRONG
    for result in scenario.asked:
        assert marks(marked)[result] in {Mark.RIGHT, Mark.CARRIED, Mark.NOT_COUNTED}


def test_a_verdict_and_an_action_that_follow_from_own_numbers_are_carried():
    # Read half a millimetre too wide: by the learner's numbers too tight, though it is inside.
    key = key_for(case("strip in mm", asked=("c_governor", "c_coupling")), w_governor=2.4, w_coupling=2.3)
    assert key.verdicts == (Verdict.INSIDE,)
    readings = {"w_governor": 3.6, "w_coupling": 3.5}
    values = key.scenario.method.work_one(readings, key.scenario.dims)
    results = {name: values[name] for name in key.scenario.asked}

    marked = score(key, Answer(readings=readings, results=results, verdict=Verdict.LOW, action="refit"))

    assert marks(marked) == {
        "w_governor": Mark.WRONG,
        "w_coupling": Mark.WRONG,
        "c_governor": Mark.CARRIED,
        "c_coupling": Mark.CARRIED,
        "verdict": Mark.CARRIED,
        "action": Mark.CARRIED,
    }
    assert marked.points == 4
    assert not marked.is_right
    assert not marked.is_unsafe


def test_a_reading_that_no_machine_could_give_is_wrong_and_what_follows_is_held_against_the_true_ones():
    # A strip of 0.60 mm cannot leave a print of 0.2 mm; nothing follows from it, but the rest is scored.
    key = strip()
    own = {**right_answer(key).results, "c_coupling": 0.2, "taper": 0.2 - key.values["c_governor"]}
    marked = score(key, right_answer(key, readings={"w_governor": 0.2, "w_coupling": 2.1}, results=own))

    assert marks(marked)["w_governor"] is Mark.WRONG
    assert marks(marked)["c_governor"] is Mark.RIGHT
    assert marks(marked)["c_coupling"] is Mark.WRONG
    assert marks(marked)["taper"] is Mark.CARRIED


# --- Accepting what is bad ------------------------------------------------------------------------------

anything = st.one_of(st.sampled_from(BAD_NUMBERS), st.floats(-100, 100), st.none())


@st.composite
def answers(draw_one, key):
    """Any answer at all: near the truth, far from it, and no number."""
    readings = {
        name: draw_one(st.one_of(st.just(value), st.just(value * 1.1), anything))
        for name, value in key.draw.readings.items()
    }
    results = {
        name: draw_one(st.one_of(st.just(key.values[name]), st.just(key.values[name] * 1.1), anything))
        for name in key.scenario.asked
    }
    verdict = draw_one(st.sampled_from([None, *key.scenario.method.verdict_words]))
    action = draw_one(st.sampled_from([None, *(one.name for one in key.scenario.method.actions.values())]))
    return Answer(readings=readings, results=results, verdict=verdict, action=action)


@given(worked_cases, seeds, st.data())
def test_accepting_what_is_not_inside_is_unsafe_whatever_the_rest_says(name, seed, data):
    key = key_of(name, seed)
    answer = data.draw(answers(key))
    marked = score(key, answer)
    is_accepted = answer.verdict is Verdict.INSIDE or answer.action in key.accepting

    assert marked.is_unsafe is (is_accepted and Verdict.INSIDE not in key.verdicts)
    if marked.is_unsafe:
        assert marked.points == 0
        assert not marked.is_right
    assert 0 <= marked.points <= marked.out_of
    assert marked.is_right <= (marked.points == marked.out_of)


@given(worked_cases, seeds)
def test_accepting_on_own_numbers_that_look_good_is_unsafe_all_the_same(name, seed):
    # The learner misreads, works it right, finds it inside and closes up: everything follows, and the fit is bad.
    key, good = key_of(name, seed), key_of(name, seed, shares={"good": 1.0})
    if Verdict.INSIDE in key.verdicts or Verdict.INSIDE not in good.verdicts:
        return
    answer = Answer(
        readings=good.draw.readings,
        results={one: good.values[one] for one in key.scenario.asked},
        verdict=Verdict.INSIDE,
        action=good.actions[0],
    )
    marked = score(key, answer)

    assert marks(marked)["verdict"] is Mark.UNSAFE
    assert marks(marked)["action"] is Mark.UNSAFE
    assert marked.points == 0


def test_no_bad_fit_is_ever_marked_a_right_accept_over_many_draws():
    for name in WORKED:
        scenario = case(name)
        for seed in range(100):
            key = key_to(scenario, draw(scenario, seed))
            if Verdict.INSIDE not in key.verdicts:
                accepted = score(key, right_answer(key, verdict=Verdict.INSIDE, action=next(iter(key.accepting))))
                assert [part.mark for part in accepted.parts[-2:]] == [Mark.UNSAFE, Mark.UNSAFE]


def inside(**changes):
    """A bearing that is inside."""
    key = key_for(case("strip in mm", asked=("c_governor", "c_coupling"), **changes), w_governor=2.4, w_coupling=2.3)
    assert key.verdicts == (Verdict.INSIDE,)
    return key


def test_accepting_against_one_s_own_numbers_is_luck_and_wrong():
    # The clearance came out at 0.3 mm, twice the limit, and was accepted: that the bearing is good is no merit.
    key = inside()
    marked = score(key, right_answer(key, results={"c_governor": 0.3, "c_coupling": 0.3}))

    assert marks(marked)["verdict"] is Mark.WRONG
    assert marks(marked)["action"] is Mark.WRONG
    assert not marked.is_unsafe


def test_a_right_number_over_the_limit_by_its_rounding_does_not_make_a_right_verdict_wrong():
    key = inside(
        limits={
            "clearance": Limit.between(0.1, 0.1250, source="invented"),
            "taper": Limit.at_most(0.02, source="invented"),
        }
    )
    answer = right_answer(key, results={"c_governor": key.values["c_governor"], "c_coupling": 0.1262})
    marked = score(key, answer)

    assert answer.results["c_coupling"] > 0.125
    assert marks(marked)["c_coupling"] is Mark.RIGHT
    assert marked.is_right


def test_nobody_closes_up_what_by_his_own_word_is_bad():
    key = inside()
    marked = score(key, right_answer(key, verdict=Verdict.LOW, action="close"))

    assert marks(marked)["verdict"] is Mark.WRONG
    assert marks(marked)["action"] is Mark.WRONG
    assert marks(score(key, right_answer(key, verdict=None, action="close")))["action"] is Mark.RIGHT


def test_a_plain_word_for_a_verdict_is_a_verdict():
    key = strip()

    assert score(key, right_answer(key, verdict="inside")).is_unsafe


def test_a_slip_at_what_is_held_is_named_from_the_verdict():
    # One end too tight, the mean inside: accepted by the mean.
    limits = {"clearance": Limit.between(0.09, 0.15, source="invented"), "taper": Limit.at_most(0.2, source="invented")}
    key = key_for(
        case("strip in mm", limits=limits, asked=("c_governor", "c_coupling")), w_governor=4.0, w_coupling=2.0
    )
    assert key.verdicts == (Verdict.LOW,)
    marked = score(key, right_answer(key, verdict=Verdict.INSIDE))

    assert marks(marked)["verdict"] is Mark.UNSAFE
    assert slips(marked, "verdict") == ["ends_averaged"]


def test_no_slip_is_guessed_for_a_verdict_that_follows_from_own_numbers():
    # Too tight in truth; by the learner's own numbers inside at both ends, and so by their mean as well.
    key = key_for(case("strip in mm", asked=("c_governor", "c_coupling")), w_governor=4.0, w_coupling=4.0)
    marked = score(key, right_answer(key, results={"c_governor": 0.11, "c_coupling": 0.12}, verdict=Verdict.INSIDE))

    assert marks(marked)["verdict"] is Mark.UNSAFE
    assert slips(marked, "verdict") == []


def test_a_verdict_that_follows_from_own_numbers_needs_no_slip():
    key = strip()
    own = {"c_governor": 0.05, "c_coupling": 0.05, "taper": 0.0}
    marked = score(key, right_answer(key, results=own, verdict=Verdict.LOW))

    assert marks(marked)["verdict"] is Mark.CARRIED
    assert slips(marked, "verdict") == []


# --- Void and blank -------------------------------------------------------------------------------------


def disturbed():
    key = key_of("strip in mm", seed=2, shares={"disturbed": 1.0})
    assert key.verdicts == (Verdict.VOID,)
    return key


def test_the_numbers_of_a_disturbed_strip_do_not_count():
    key = disturbed()
    void = Answer(readings={}, results={}, verdict=Verdict.VOID, action="repeat")

    for answer in (void, replace(void, readings={"w_governor": 9.0}, results={"taper": math.nan})):
        marked = score(key, answer)
        assert marked.is_right
        assert (marked.points, marked.out_of) == (2, 2)


@pytest.mark.parametrize("verdict", [Verdict.LOW, Verdict.HIGH, Verdict.FORM])
def test_nothing_follows_from_a_disturbed_strip(verdict):
    # Whatever the learner's numbers come to: the strip had to be seen.
    key = disturbed()
    for readings in (key.draw.readings, {"w_governor": 4.5, "w_coupling": 4.5}, {"w_governor": 1.0, "w_coupling": 1.0}):
        values = key.scenario.method.work_one(readings, key.scenario.dims)
        action = key.scenario.method.actions[verdict].name
        answer = Answer(
            readings=readings, results={one: values[one] for one in key.scenario.asked}, verdict=verdict, action=action
        )
        marked = score(key, answer)
        assert marks(marked)["verdict"] is Mark.WRONG
        assert marks(marked)["action"] is Mark.WRONG
        assert slips(marked, "verdict") == []
        assert marked.points == 0


def test_a_dial_that_did_not_come_back_is_void_by_its_readings_which_count():
    scenario = case("run-out in mm", asked=("total",))
    heights = {f"station_{number}": 0.0 for number in range(1, 9)}
    key = key_for(scenario, **heights, back=0.05)
    assert key.verdicts == (Verdict.VOID,)

    marked = score(key, Answer(readings={**heights, "back": 0.05}, results={}, verdict=Verdict.VOID, action="repeat"))
    assert marked.is_right
    assert (marked.points, marked.out_of) == (11, 11)
    # Read as coming back, the rest follows: carried, but never to accepting.
    wrong = {**heights, "station_3": 0.09, "back": 0.0}
    marked = score(key, Answer(readings=wrong, results={"total": 0.09}, verdict=Verdict.HIGH, action="find_cause"))
    assert marks(marked)["verdict"] is Mark.CARRIED
    assert score(
        key, Answer(readings={**heights, "back": 0.0}, results={}, verdict=Verdict.INSIDE, action="record")
    ).is_unsafe


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("nothing", [{}, None])
def test_what_is_left_blank_earns_nothing_and_is_nothing_worse(name, nothing):
    key = key_of(name, seed=4, shares={case(name).method.conditions[0].name: 1.0})
    blank = (
        {} if nothing == {} else dict.fromkeys(key.draw.readings),
        {} if nothing == {} else dict.fromkeys(key.scenario.asked),
    )
    marked = score(key, Answer(readings=blank[0], results=blank[1]))

    assert {part.mark for part in marked.parts} == {Mark.BLANK}
    assert marked.points == 0
    assert not marked.is_right
    assert not marked.is_unsafe
    assert all(part.yours is None for part in marked.parts)


def test_a_blank_reading_does_not_spoil_what_is_worked_from_the_others():
    key = strip()
    marked = score(key, right_answer(key, readings={"w_governor": 2.5, "w_coupling": None}))

    assert marks(marked)["w_coupling"] is Mark.BLANK
    assert [name for name, mark in marks(marked).items() if mark is not Mark.RIGHT] == ["w_coupling"]


# --- Whatever is given ----------------------------------------------------------------------------------


@given(cases, steps, st.sampled_from(Carry), seeds, st.data())
def test_any_answer_at_all_is_scored(name, reading_steps, carry, seed, data):
    key = key_of(name, seed, reading_steps=reading_steps, carry=carry)
    marked = score(key, data.draw(answers(key)))

    assert [part.what for part in marked.parts] == sorted((part.what for part in marked.parts), key=list(What).index)
    assert {part.name for part in marked.parts if part.what is What.READING} == set(key.draw.readings)
    assert marked.verdicts == truth(key.scenario, key.draw)


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_wrong_and_nothing_follows_from_it(number):
    key = strip()
    answer = right_answer(
        key,
        readings={"w_governor": number, "w_coupling": 2.1},
        results={**right_answer(key).results, "c_governor": number},
    )
    marked = score(key, answer)

    assert marks(marked)["w_governor"] is marks(marked)["c_governor"] is Mark.WRONG
    assert marks(marked)["c_coupling"] is marks(marked)["taper"] is Mark.RIGHT


@pytest.mark.parametrize("number", [math.nan, math.inf])
def test_no_verdict_follows_from_what_is_no_number(number):
    key = run_out(0.0, 0.01, 0.02, 0.01, 0.0, -0.01, -0.02, -0.01, asked=("total",))
    assert key.verdicts == (Verdict.INSIDE,)
    marked = score(key, right_answer(key, results={"total": number}, verdict=Verdict.HIGH, action="find_cause"))

    assert marks(marked)["verdict"] is marks(marked)["action"] is Mark.WRONG


def test_results_that_were_not_asked_do_not_enter():
    key = strip()
    answer = right_answer(key, results={**right_answer(key).results, "tightest": 0.12, "loosest": 0.12, "unknown": 1.0})

    assert score(key, answer) == score(key, right_answer(key))


def test_a_draw_of_another_revision_is_refused():
    # Its limits may be others: what was inside then may not be now.
    drawn = draw(case("strip in mm"), 1)

    with pytest.raises(BadScenarioError, match="draw of another scenario: strip in mm"):
        key_to(case("strip in inches"), drawn)


@pytest.mark.parametrize("method", all_methods().values(), ids=lambda method: method.name)
def test_there_is_an_action_and_a_word_for_every_verdict_a_method_can_come_to(method: Method):
    limits_to_all = {hold.below for hold in method.held} | {hold.above for hold in method.held}
    if method.held:
        assert Verdict.INSIDE in method.verdict_words
        assert {verdict for verdict in method.actions if method.actions[verdict].is_accepting} == {Verdict.INSIDE}
    assert set(method.actions) == set(method.verdict_words)
    assert set(method.verdict_words) <= limits_to_all | {Verdict.INSIDE, Verdict.VOID}
    if any(condition.oddity for condition in method.conditions):
        assert Verdict.VOID in method.verdict_words


@given(worked_cases, seeds)
def test_root_sum_square_lets_nothing_pass_that_worst_case_would_not(name, seed):
    drawn = draw(case(name), seed)
    worst, together = (key_to(case(name, carry=carry), drawn) for carry in Carry)
    for result in (one for one in worst.scenario.asked if one not in worst.counts):
        off = worst.values[result] + 1.01 * worst.allowed[result] + 2 * GRAIN
        for key in (worst, together):
            assert marks(score(key, right_answer(key, results={result: off})))[result] is not Mark.RIGHT


@pytest.mark.parametrize("name", WORKED)
def test_every_result_asked_is_of_a_kind_that_the_grain_suits(name):
    # The grain of GRAIN is one of millimetres; in K and rad it is as far under what anybody reads. A method with results
    # in still other units needs one of its own.
    kinds = {Kind.LENGTH, Kind.COUNT, Kind.AREA, Kind.TEMPERATURE_STEP, Kind.ANGLE}
    # And in rpm, kg, N, N m and g mm; a part by itself is known to a hundred thousandth of one per cent.
    kinds |= {Kind.SPEED, Kind.MASS, Kind.FORCE, Kind.TORQUE, Kind.UNBALANCE, Kind.RATIO}
    assert {line.kind for line in case(name).method.results} <= kinds
