"""Outside: a shaft moved in its bore by a model of circles; the method itself: Bloch and Geitner, vol. 4, p. 279."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.methods.lift_check import METHOD
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict, judge

LIMITS = {
    "clearance": Limit.between(0.10, 0.18, source="test"),
    "housing": Limit.at_most(0.05, source="test"),
    "return": Limit.at_most(0.02, source="test"),
}


def dials(shaft_down, shaft_up, shaft_back, housing_down, housing_up):
    return {
        "shaft_down": shaft_down,
        "shaft_up": shaft_up,
        "shaft_back": shaft_back,
        "housing_down": housing_down,
        "housing_up": housing_up,
    }


def wrong(name, readings):
    return METHOD.work_one(readings, {}, instead=next(slip for slip in METHOD.slips if slip.name == name).rules)


@given(st.floats(25, 100), st.floats(0.02, 0.5), st.floats(0, 0.1), st.floats(-0.3, 0.3), st.floats(-0.1, 0.1))
def test_the_dials_over_a_shaft_in_a_bore_give_the_difference_of_the_diameters(journal, clearance, lift, zero, other):
    # Tops of a circle inside a larger one, resting below and pressed above; the larger one comes up by `lift`.
    radius, bore = journal / 2, (journal + clearance) / 2
    rest = -bore + radius  # centre of the shaft over that of the bore
    up = bore - radius + lift
    readings = dials(rest + radius + zero, up + radius + zero, rest + radius + zero, bore + other, bore + lift + other)

    assert METHOD.work_one(readings, {})["clearance"] == pytest.approx(clearance, abs=1e-9)


# By hand: shaft 0.11 + 0.06 = 0.17, housing 0.01 + 0.02 = 0.03, clearance 0.14.
READ = dials(-0.06, 0.11, -0.05, -0.02, 0.01)


@pytest.mark.parametrize(
    ("slip", "result", "number"),
    [
        ("housing_ignored", "clearance", 0.17),
        ("housing_added", "clearance", 0.20),
        ("sign_lost", "shaft", 0.05),
        ("sign_lost", "housing", 0.01),
        ("sign_lost", "clearance", 0.04),
        ("rest_ignored", "shaft", 0.11),
        ("rest_ignored", "clearance", 0.10),
        ("subtracted_backwards", "shaft", -0.17),
        ("subtracted_backwards", "clearance", -0.14),
        ("halved", "clearance", 0.07),
    ],
)
def test_a_slip_gives_the_number_worked_by_hand(slip, result, number):
    right = METHOD.work_one(READ, {})

    assert [right[name] for name in ("shaft", "housing", "clearance", "return_error")] == pytest.approx(
        [0.17, 0.03, 0.14, 0.01]
    )
    assert wrong(slip, READ)[result] == pytest.approx(number)


@pytest.mark.parametrize(
    ("readings", "verdict"),
    [
        (READ, Verdict.INSIDE),
        (dials(0.0, 0.11, 0.0, 0.0, 0.02), Verdict.LOW),
        (dials(0.0, 0.24, 0.0, 0.0, 0.02), Verdict.HIGH),
        (dials(0.0, 0.20, 0.0, 0.0, 0.06), Verdict.VOID),  # lifted too hard
        (dials(0.0, 0.16, 0.03, 0.0, 0.02), Verdict.VOID),  # did not come back
    ],
)
def test_a_hard_lift_and_a_dial_that_slipped_say_nothing(readings, verdict):
    assert judge(METHOD.work_one(readings, {}), LIMITS, METHOD.held) == (verdict,)


numbers = st.floats(0, 1, exclude_max=True)


@given(st.floats(0.05, 0.3), st.floats(0, 0.1), st.floats(0, 0.1), st.tuples(*[numbers] * 3))
def test_drawn_dials_have_what_was_aimed_at(clearance, housing, error, chance):
    readings = METHOD.simulate({"clearance": clearance, "housing": housing, "return": error}, {}, chance)
    worked = METHOD.work_one(readings, {})

    for result, aim in (("clearance", clearance), ("housing", housing), ("return_error", error)):
        assert worked[result] == pytest.approx(aim, abs=1e-9)
    assert readings["shaft_up"] > 0
    assert (readings["shaft_down"] < 0) == (chance[0] > 0.25)


@pytest.mark.parametrize("size", [math.nan, math.inf, 1e9])
def test_a_reading_that_is_no_number_is_refused(size):
    with pytest.raises(ImpossibleReadingError) as refused:
        METHOD.check({**READ, "housing_up": size}, {})

    assert refused.value.name == "housing_up"
    METHOD.check(READ, {})


def test_draws_behave(drawn, assert_floats_and_arrays_agree, assert_every_slip_shows, assert_lengths_scale):
    aims = {"clearance": (0.08, 0.25), "housing": (0.0, 0.06), "return": (0.0, 0.03)}
    _, readings = drawn(METHOD, aims=aims, dims={})

    assert_floats_and_arrays_agree(METHOD, readings, {})
    assert_every_slip_shows(METHOD, readings, {})
    assert_lengths_scale(METHOD, readings, {})


def test_cases_have_the_verdict_they_are_named_for(assert_cases_have_the_verdict_they_are_named_for):
    assert_cases_have_the_verdict_they_are_named_for(
        METHOD,
        {
            "good": Verdict.INSIDE,
            "tight": Verdict.LOW,
            "loose": Verdict.HIGH,
            "looks_loose": Verdict.INSIDE,
            "hard_lift": Verdict.VOID,
            "loose_dial": Verdict.VOID,
        },
        dims={},
        limits=LIMITS,
        step=0.002,
    )
