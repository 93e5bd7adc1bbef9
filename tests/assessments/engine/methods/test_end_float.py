"""Outside: Bloch and Geitner, Practical Machinery Management for Process Plants, vol. 4, p. 388."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.methods.end_float import METHOD
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict, judge

MIL = 0.0254
DIMS = {"target": 0.35}
LIMITS = {"float": Limit.between(0.25, 0.46, source="test"), "repeat": Limit.at_most(0.04, source="test")}
REPEAT = Limit.at_most(2 * MIL, source="test")
# p. 388: normally .010 to .018 in (.25 to .46 mm), never more than .025 in (.64 mm): replace the locating bearing there.
NORMAL = {"float": Limit.between(10 * MIL, 18 * MIL, source="p. 388"), "repeat": REPEAT}
NEVER = {"float": Limit.at_most(25 * MIL, source="p. 388"), "repeat": REPEAT}


def stops(governor, coupling, again=None):
    return {"governor": governor, "coupling": coupling, "again": governor if again is None else again}


def wrong(name, readings):
    return METHOD.work_one(readings, DIMS, instead=next(slip for slip in METHOD.slips if slip.name == name).rules)


@pytest.mark.parametrize(
    ("mils", "normal", "never"),
    [
        (9.5, Verdict.LOW, Verdict.INSIDE),
        (10.0, Verdict.INSIDE, Verdict.INSIDE),
        (18.0, Verdict.INSIDE, Verdict.INSIDE),
        (18.5, Verdict.HIGH, Verdict.INSIDE),
        (25.0, Verdict.HIGH, Verdict.INSIDE),
        (26.0, Verdict.HIGH, Verdict.HIGH),
    ],
)
def test_floats_lie_as_the_published_figures_have_it(mils, normal, never):
    worked = METHOD.work_one(stops(-4 * MIL, (mils - 4) * MIL), DIMS)

    assert worked["float"] / MIL == pytest.approx(mils)
    assert judge(worked, NORMAL, METHOD.held) == (normal,)
    assert judge(worked, NEVER, METHOD.held) == (never,)


@pytest.mark.parametrize(("inches", "mm"), [(0.010, 0.254), (0.018, 0.457), (0.025, 0.635)])
def test_the_book_s_figures_in_millimetres(inches, mm):
    assert inches * 25.4 == pytest.approx(mm, abs=5e-4)


READ = stops(-0.15, 0.35, again=-0.13)  # by hand: float 0.50, shim 0.15 to add


@pytest.mark.parametrize(
    ("slip", "result", "number"),
    [
        ("sign_lost", "float", 0.20),
        ("sign_lost", "shim", -0.15),
        ("one_stop_alone", "float", 0.35),
        ("float_halved", "float", 0.25),
        ("subtracted_backwards", "float", -0.50),
        ("shim_halved", "shim", 0.075),
        ("shim_doubled", "shim", 0.30),
        ("shim_the_wrong_way", "shim", -0.15),
        ("float_as_shim", "shim", 0.50),
    ],
)
def test_a_slip_gives_the_number_worked_by_hand(slip, result, number):
    right = METHOD.work_one(READ, DIMS)

    assert (right["float"], right["shim"], right["repeat_error"]) == pytest.approx((0.50, 0.15, 0.02))
    assert wrong(slip, READ)[result] == pytest.approx(number)


def test_a_shim_of_the_change_brings_the_float_to_what_is_wanted():
    # A shim behind the locating bearing takes its thickness from the travel: forward simulation.
    worked = METHOD.work_one(READ, DIMS)
    then = METHOD.work_one(stops(-0.15, 0.35 - worked["shim"]), DIMS)

    assert then["float"] == pytest.approx(DIMS["target"])
    assert then["shim"] == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(
    ("readings", "verdict"),
    [
        (stops(0.0, 0.30), Verdict.INSIDE),
        (stops(0.30, 0.0), Verdict.INSIDE),
        (stops(0.10, 0.30), Verdict.LOW),
        (READ, Verdict.HIGH),
        (stops(0.0, 0.30, again=0.05), Verdict.VOID),
        (stops(0.0, 0.10, again=-0.05), Verdict.VOID),
    ],
)
def test_a_first_end_that_does_not_repeat_says_nothing(readings, verdict):
    assert judge(METHOD.work_one(readings, DIMS), LIMITS, METHOD.held) == (verdict,)


numbers = st.floats(0, 1, exclude_max=True)


@given(st.floats(0.1, 0.8), st.floats(0, 0.1), st.tuples(*[numbers] * 3))
def test_a_drawn_rotor_has_the_float_aimed_at(play, repeat, chance):
    readings = METHOD.simulate({"float": play, "repeat": repeat}, DIMS, chance)
    worked = METHOD.work_one(readings, DIMS)

    assert worked["float"] == pytest.approx(play, abs=1e-9)
    assert worked["repeat_error"] == pytest.approx(repeat, abs=1e-9)
    assert readings["governor"] * readings["coupling"] < 0  # the hand passes nought
    assert (readings["coupling"] > readings["governor"]) == (chance[1] <= 0.5)


@pytest.mark.parametrize("size", [math.nan, math.inf, -1e9])
def test_a_reading_that_is_no_number_is_refused(size):
    with pytest.raises(ImpossibleReadingError) as refused:
        METHOD.check({**READ, "again": size}, DIMS)

    assert refused.value.name == "again"
    METHOD.check(READ, DIMS)
    with pytest.raises(ImpossibleReadingError):
        METHOD.check({}, {"target": 0.0})


def test_draws_behave(drawn, assert_floats_and_arrays_agree, assert_every_slip_shows, assert_lengths_scale):
    _, readings = drawn(METHOD, aims={"float": (0.2, 0.6), "repeat": (0.0, 0.06)}, dims=DIMS)

    assert_floats_and_arrays_agree(METHOD, readings, DIMS)
    assert_every_slip_shows(METHOD, readings, DIMS)
    assert_lengths_scale(METHOD, readings, DIMS)


def test_cases_have_the_verdict_they_are_named_for(assert_cases_have_the_verdict_they_are_named_for):
    assert_cases_have_the_verdict_they_are_named_for(
        METHOD,
        {"good": Verdict.INSIDE, "small": Verdict.LOW, "large": Verdict.HIGH, "not_home": Verdict.VOID},
        dims=DIMS,
        limits=LIMITS,
        step=0.005,
    )
