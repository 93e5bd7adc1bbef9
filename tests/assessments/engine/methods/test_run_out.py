"""Outside: US Army TM 10-3930-653-14P (off centre is half the reading), and the geometry of a circle off its centre."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.methods.run_out import BACK, BUMPS, METHOD, STATIONS
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict, judge

MIL = 0.0254
LIMITS = {"run_out": Limit.at_most(0.05, source="test"), "return": Limit.at_most(0.02, source="test")}


def turn(*readings, back=None):
    return dict(zip(STATIONS, readings, strict=True)) | {BACK: readings[0] if back is None else back}


def wrong(name, readings):
    return METHOD.work_one(readings, {}, instead=next(slip for slip in METHOD.slips if slip.name == name).rules)


def test_a_total_of_four_thousandths_is_two_off_centre():
    readings = turn(0, 1 * MIL, 2 * MIL, 3 * MIL, 4 * MIL, 3 * MIL, 2 * MIL, 1 * MIL)

    worked = METHOD.work_one(readings, {})

    assert worked["total"] / MIL == pytest.approx(4.0)
    assert worked["off_centre"] / MIL == pytest.approx(2.0)


@given(st.floats(0.01, 1.0), st.floats(20, 200), st.integers(1, 8))
def test_a_true_circle_off_its_centre_reads_twice_the_offset(offset, radius, high):
    # Distance from the axis of turning to a circle whose centre lies `offset` aside, by the cosine rule.
    def reach(station):
        angle = (station - high) * math.pi / 4
        return offset * math.cos(angle) + math.sqrt(radius**2 - (offset * math.sin(angle)) ** 2)

    readings = turn(*(reach(station) - reach(1) for station in range(1, 9)))
    worked = METHOD.work_one(readings, {})

    assert worked["off_centre"] == pytest.approx(offset, abs=1e-9)
    assert worked["high_spot"] == high
    assert worked["uneven"] <= offset**2 / radius * 1.001 + 1e-9


def test_readings_run_through_zero():
    worked = METHOD.work_one(turn(0.0, 0.02, 0.03, 0.01, -0.01, -0.02, -0.02, -0.01), {})

    assert worked["total"] == pytest.approx(0.05)
    assert worked["off_centre"] == pytest.approx(0.025)
    assert worked["high_spot"] == 3


def test_one_burr_shows_in_the_sums_of_opposite_stations():
    worked = METHOD.work_one(turn(0.0, 0.0, 0.0, 0.06, 0.0, 0.0, 0.0, 0.0), {})

    assert worked["total"] == worked["uneven"] == pytest.approx(0.06)
    assert worked["high_spot"] == 4


MIXED = turn(0.01, 0.03, 0.06, 0.04, 0.01, -0.02, -0.03, -0.01)


@pytest.mark.parametrize(
    ("slip", "result", "number"),
    [
        ("negatives_dropped", "total", 0.05),  # 0.06 - 0.01
        ("negatives_dropped", "off_centre", 0.025),
        ("sign_lost", "total", 0.05),  # 0.06 - 0.01, of 0.02 0.03 0.01 with the rest
        ("largest_alone", "total", 0.06),
        ("total_halved", "total", 0.045),
        ("not_halved", "off_centre", 0.09),
        ("low_spot", "high_spot", 7),
    ],
)
def test_a_slip_gives_the_number_worked_by_hand(slip, result, number):
    assert METHOD.work_one(MIXED, {})["total"] == pytest.approx(0.09)
    assert wrong(slip, MIXED)[result] == pytest.approx(number)


def test_dropping_every_reading_leaves_no_total():
    assert wrong("negatives_dropped", turn(*(-0.01 * n for n in range(1, 9))))["total"] == 0


@pytest.mark.parametrize(
    ("readings", "verdicts"),
    [
        (turn(0, 0.01, 0.02, 0.03, 0.05, 0.03, 0.02, 0.01), (Verdict.INSIDE,)),
        (turn(0, 0.01, 0.02, 0.03, 0.06, 0.03, 0.02, 0.01), (Verdict.HIGH,)),
        (turn(0, 0.01, 0.02, 0.03, 0.04, 0.03, 0.02, 0.01, back=-0.03), (Verdict.VOID,)),
        (turn(0, 0.01, 0.02, 0.03, 0.06, 0.03, 0.02, 0.01, back=0.03), (Verdict.VOID,)),
    ],
)
def test_a_dial_that_does_not_come_back_voids_the_turn(readings, verdicts):
    assert judge(METHOD.work_one(readings, {}), LIMITS, METHOD.held) == verdicts


numbers = st.floats(0, 1, exclude_max=True)


@given(st.floats(0, 2), st.floats(0, 0.5), st.lists(numbers, min_size=METHOD.chances, max_size=METHOD.chances))
def test_a_drawn_turn_has_the_run_out_and_the_return_aimed_at(total, error, chance):
    readings = METHOD.simulate({"run_out": total, "return": error}, {}, chance)
    worked = METHOD.work_one(readings, {})

    assert worked["total"] == pytest.approx(total, abs=1e-9)
    assert worked["return_error"] == pytest.approx(error, abs=1e-9)
    assert readings["station_1"] == 0
    if total > 1e-6:
        assert worked["high_spot"] == int(chance[0] * 8) + 1
        assert (worked["uneven"] > 1e-9) == (chance[2] < BUMPS)


@given(st.lists(st.floats(-1, 1), min_size=8, max_size=8), st.floats(-1, 1))
def test_setting_the_dial_elsewhere_changes_nothing(readings, zero):
    as_read = METHOD.work_one(turn(*readings), {})
    shifted = METHOD.work_one(turn(*(reading + zero for reading in readings)), {})

    for name in ("total", "off_centre", "return_error", "uneven"):
        assert shifted[name] == pytest.approx(as_read[name], abs=1e-9)


@pytest.mark.parametrize("size", [math.nan, math.inf, -math.inf, 1e9])
def test_a_reading_that_is_no_number_is_refused(size):
    with pytest.raises(ImpossibleReadingError) as refused:
        METHOD.check({**MIXED, "station_4": size}, {})

    assert refused.value.name == "station_4"


def test_readings_under_zero_are_allowed():
    METHOD.check(MIXED, {})


def test_draws_behave(drawn, assert_floats_and_arrays_agree, assert_every_slip_shows, assert_lengths_scale):
    _, readings = drawn(METHOD, aims={"run_out": (0.01, 0.1), "return": (0.0, 0.03)}, dims={})

    assert_floats_and_arrays_agree(METHOD, readings, {})
    assert_every_slip_shows(METHOD, readings, {})
    assert_lengths_scale(METHOD, readings, {})


def test_cases_have_the_verdict_they_are_named_for(assert_cases_have_the_verdict_they_are_named_for):
    assert_cases_have_the_verdict_they_are_named_for(
        METHOD,
        {"good": Verdict.INSIDE, "out": Verdict.HIGH, "loose_dial": Verdict.VOID},
        dims={},
        limits=LIMITS,
        step=0.01,
        reach=2.0,
    )
