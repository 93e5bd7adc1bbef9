"""Outside: statics; a catalogue's table of load factors and printed examples (plausibility only, two pages agree)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import BadScenarioError, ImpossibleReadingError
from assessments.engine.methods.sling_legs import FLATTEST, METHOD, check, simulate
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict, judge
from tests.cases import case

TWO, FOUR = {"legs": 2.0, "counted": 2.0}, {"legs": 4.0, "counted": 2.0}
LIMITS = {
    "angle": Limit.at_least(FLATTEST, source="test"),
    "tension": Limit.at_most(1000.0, source="test"),
}


def hung(load, degrees, leg=2000.0):
    return {"load": load, "leg": leg, "spread": 2 * leg * math.cos(math.radians(degrees))}


@pytest.mark.parametrize(
    ("degrees", "factor"),
    [(75, 1.035), (65, 1.104), (60, 1.155), (45, 1.414), (40, 1.555), (35, 1.742), (30, 2.0)],
)
def test_a_leg_pulls_its_share_times_the_printed_factor(degrees, factor):
    # A catalogue's table; its last digits are off by up to two.
    assert METHOD.work_one(hung(2000.0, degrees), TWO)["tension"] / 1000 == pytest.approx(factor, abs=0.002)


@pytest.mark.parametrize(
    ("load", "degrees", "printed"),
    [(10000, 60, 5775), (10000, 45, 7070), (10000, 30, 10000), (1000, 60, 577.4), (1000, 45, 707.1)],
)
def test_the_printed_examples(load, degrees, printed):
    assert METHOD.work_one(hung(float(load), degrees), TWO)["tension"] == pytest.approx(printed, rel=3e-4)


@given(st.floats(31, 84), st.floats(50, 9000))
def test_the_legs_hold_the_load_up(degrees, load):
    # Statics: the upright parts of both pulls add up to the load.
    found = METHOD.work_one(hung(load, degrees), FOUR)

    assert 2 * found["tension"] * math.sin(found["angle"]) == pytest.approx(load)
    assert math.degrees(found["angle"]) == pytest.approx(degrees)


def test_two_legs_of_four_are_counted_unless_the_site_says_otherwise():
    assert METHOD.work_one(hung(1000.0, 60), FOUR)["carrying"] == 2
    assert METHOD.work_one(hung(1000.0, 60), {"legs": 4.0, "counted": 4.0})["carrying"] == 4
    assert METHOD.work_one(hung(1000.0, 60), {"legs": 2.0, "counted": 4.0})["carrying"] == 2


@pytest.mark.parametrize(
    ("load", "degrees", "verdicts"),
    [
        (1500.0, 60, (Verdict.INSIDE,)),
        (999.9, 30.001, (Verdict.INSIDE,)),
        (10.0, 29.9, (Verdict.LOW,)),
        (1.0, 5, (Verdict.LOW,)),
        (1800.0, 60, (Verdict.HIGH,)),
        (1800.0, 20, (Verdict.LOW, Verdict.HIGH)),
    ],
)
def test_a_leg_under_thirty_degrees_is_never_accepted_however_light_the_load(load, degrees, verdicts):
    assert judge(METHOD.work_one(hung(load, degrees), TWO), LIMITS, METHOD.held) == verdicts


@pytest.mark.parametrize("limit", [Limit.at_least(math.radians(29.9), source="x"), Limit.at_most(1.0, source="x")])
def test_no_scenario_lets_a_leg_be_flatter(limit):
    with pytest.raises(BadScenarioError) as refused:
        case("sling in mm", limits={**LIMITS, "angle": limit})

    assert "needs a low bound, and none so low" in str(refused.value)


@pytest.mark.parametrize(
    ("slip", "result", "number"),
    [
        ("angle_from_vertical", "angle", math.radians(30)),
        ("angle_from_vertical", "tension", 1000.0),
        ("spread_not_halved", "angle", 0.0),
        ("all_legs", "carrying", 4),
        ("all_legs", "tension", 500 / math.sqrt(3)),
        ("angle_forgotten", "tension", 500.0),
        ("cosine_for_sine", "tension", 1000.0),
        ("sine_multiplied", "tension", 250 * math.sqrt(3)),
        ("one_leg", "tension", 2000 / math.sqrt(3)),
    ],
)
def test_a_slip_gives_the_number_worked_by_hand(slip, result, number):
    # 1000 kg at 60 degrees: 577.35 kg a leg. Halves of an equilateral triangle.
    rules = next(one.rules for one in METHOD.slips if one.name == slip)

    assert METHOD.work_one(hung(1000.0, 60), FOUR, instead=rules)[result] == pytest.approx(number, abs=1e-6)


def test_a_leg_that_somebody_has_lying_flat_divides_by_nothing():
    found = METHOD.work_one(hung(1000.0, 60), TWO, given={"angle": 0.0, "carrying": 0.0})

    assert found["tension"] == pytest.approx(1000 / 1e-6)


@pytest.mark.parametrize(
    ("readings", "dims", "name"),
    [
        ({}, {"legs": 3.0, "counted": 2.0}, "legs"),
        ({}, {"legs": 4.0, "counted": 1.0}, "counted"),
        ({"load": 0.0, "leg": 1.0, "spread": 1.0}, TWO, "load"),
        ({"load": 1.0, "leg": 1000.0, "spread": 2000.0}, TWO, "spread"),
        ({"load": 1.0, "leg": math.nan, "spread": 1.0}, TWO, "leg"),
    ],
)
def test_what_cannot_hang_is_refused(readings, dims, name):
    with pytest.raises(ImpossibleReadingError) as refused:
        check(readings, dims)

    assert refused.value.name == name


@given(st.floats(math.radians(5), math.radians(85)), st.floats(20, 5000), st.floats(0, 1, exclude_max=True))
def test_a_drawn_lift_hangs_at_the_angle_and_pulls_as_aimed_at(angle, tension, chance):
    readings = simulate({"angle": angle, "tension": tension}, FOUR, [chance])
    found = METHOD.work_one(readings, FOUR)

    assert found["angle"] == pytest.approx(angle, abs=1e-9)
    assert found["tension"] == pytest.approx(tension)
    check(readings, FOUR)


def test_draws_behave(drawn, assert_floats_and_arrays_agree, assert_every_slip_shows):
    _, readings = drawn(METHOD, aims={"angle": (0.3, 1.4), "tension": (50, 2000)}, dims=FOUR)

    assert_floats_and_arrays_agree(METHOD, readings, FOUR)
    assert_every_slip_shows(METHOD, readings, FOUR)
