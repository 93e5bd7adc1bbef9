"""Outside: the run-out of a plane wheel set askew on its shaft, from geometry; Collins (1909) for the scale of the gap."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.methods.blade_gap import BACK, METHOD, POSITIONS
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict, judge

INCH = 25.4
LIMITS = {
    "gap": Limit.between(1.2, 2.0, source="test"),
    "spread": Limit.at_most(0.34, source="test"),
    "repeat": Limit.at_most(0.1, source="test"),
}


def gaps(*positions, back=None):
    return dict(zip(POSITIONS, positions, strict=True)) | {BACK: positions[0] if back is None else back}


def wrong(name, readings):
    return METHOD.work_one(readings, {}, instead=next(slip for slip in METHOD.slips if slip.name == name).rules)


@given(st.floats(1.0, 3.0), st.floats(0, 0.002), st.floats(100, 400), st.sampled_from([0, 1, 2, 3]))
def test_a_wheel_set_askew_spreads_by_its_diameter_times_the_angle(gap, askew, radius, quarter):
    # A plane tilted by `askew`: at the marked place it stands off by radius * tan(askew) * cos(turn).
    def at(turn):
        return gap + radius * math.tan(askew) * math.cos(turn)

    readings = gaps(*(at((place - quarter) * math.pi / 2) for place in range(4)))
    worked = METHOD.work_one(readings, {})

    assert worked["spread"] == pytest.approx(2 * radius * math.tan(askew), abs=1e-9)
    assert worked["least"] == pytest.approx(gap - radius * math.tan(askew), abs=1e-9)
    assert worked["repeat_error"] == 0


def test_a_first_stage_of_1909_lies_inside_its_own_figures():
    # Collins, Steam Turbines (1909): 0.060 to 0.080 in. About 1/16 in: common practice, no source.
    limits = {**LIMITS, "gap": Limit.between(0.060 * INCH, 0.080 * INCH, source="Collins (1909)")}
    worked = METHOD.work_one(gaps(*[INCH / 16] * 4), {})

    assert worked["least"] == pytest.approx(1.5875)
    assert judge(worked, limits, METHOD.held) == (Verdict.INSIDE,)


READ = gaps(1.60, 1.50, 1.40, 1.30, back=1.55)  # by hand: mean 1.45, spread 0.30


@pytest.mark.parametrize(
    ("slip", "result", "number"),
    [
        ("mean_taken", "least", 1.45),
        ("mean_taken", "greatest", 1.45),
        ("mean_taken", "spread", 0.30),
        ("first_position_alone", "least", 1.60),
        ("greatest_for_least", "least", 1.60),
        ("greatest_for_least", "greatest", 1.30),
        ("greatest_for_least", "spread", 0.30),
        ("one_pair_of_opposites", "spread", 0.20),
        ("other_pair_of_opposites", "spread", 0.20),
        ("spread_halved", "spread", 0.15),
    ],
)
def test_a_slip_gives_the_number_worked_by_hand(slip, result, number):
    right = METHOD.work_one(READ, {})

    assert [right[name] for name in ("least", "greatest", "spread", "repeat_error")] == pytest.approx(
        [1.30, 1.60, 0.30, 0.05]
    )
    assert wrong(slip, READ)[result] == pytest.approx(number)


def test_a_repeat_mixed_in_counts_as_a_fifth_position():
    worked = wrong("repeat_mixed_in", gaps(1.60, 1.50, 1.40, 1.30, back=1.70))

    assert (worked["least"], worked["greatest"], worked["spread"]) == pytest.approx((1.30, 1.70, 0.40))


@pytest.mark.parametrize(
    ("readings", "verdict"),
    [
        (READ, Verdict.INSIDE),
        (gaps(1.40, 1.30, 1.15, 1.30), Verdict.LOW),  # mean 1.29 inside
        (gaps(1.90, 2.05, 1.90, 1.85), Verdict.HIGH),
        (gaps(1.75, 1.60, 1.40, 1.60), Verdict.FORM),
        (gaps(1.60, 1.50, 1.40, 1.30, back=1.90), Verdict.VOID),
        (gaps(1.40, 1.30, 1.10, 1.30, back=1.20), Verdict.VOID),
    ],
)
def test_the_least_gap_counts_and_a_first_position_that_does_not_repeat_voids_all(readings, verdict):
    assert judge(METHOD.work_one(readings, {}), LIMITS, METHOD.held)[0] is verdict


numbers = st.floats(0, 1, exclude_max=True)


@given(st.floats(1.0, 3.0), st.floats(0, 0.5), st.floats(0, 0.5), st.tuples(*[numbers] * 3))
def test_a_drawn_wheel_has_what_was_aimed_at(gap, spread, repeat, chance):
    readings = METHOD.simulate({"gap": gap, "spread": spread, "repeat": repeat}, {}, chance)
    worked = METHOD.work_one(readings, {})

    assert worked["spread"] == pytest.approx(spread, abs=1e-9)
    assert (worked["least"] + worked["greatest"]) / 2 == pytest.approx(gap, abs=1e-9)
    assert worked["repeat_error"] == pytest.approx(repeat, abs=1e-9)
    widest = POSITIONS[int(chance[0] * 4)]
    assert readings[widest] == pytest.approx(worked["greatest"])


@pytest.mark.parametrize("size", [0.0, -1.0, math.nan, math.inf])
def test_a_gap_of_nothing_is_refused(size):
    with pytest.raises(ImpossibleReadingError) as refused:
        METHOD.check({**READ, "position_3": size}, {})

    assert refused.value.name == "position_3"
    METHOD.check(READ, {})


def test_draws_behave(drawn, assert_floats_and_arrays_agree, assert_every_slip_shows, assert_lengths_scale):
    aims = {"gap": (1.0, 2.2), "spread": (0.0, 0.4), "repeat": (0.0, 0.3)}
    _, readings = drawn(METHOD, aims=aims, dims={})

    assert_floats_and_arrays_agree(METHOD, readings, {})
    assert_every_slip_shows(METHOD, readings, {})
    assert_lengths_scale(METHOD, readings, {})


def test_cases_have_the_verdict_they_are_named_for(assert_cases_have_the_verdict_they_are_named_for):
    assert_cases_have_the_verdict_they_are_named_for(
        METHOD,
        {
            "good": Verdict.INSIDE,
            "close": Verdict.LOW,
            "wide": Verdict.HIGH,
            "close_place": Verdict.LOW,
            "runs_out": Verdict.FORM,
            "not_pushed": Verdict.VOID,
        },
        dims={},
        limits=LIMITS,
        step=0.005,
    )
