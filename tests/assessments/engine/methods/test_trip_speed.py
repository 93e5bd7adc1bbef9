"""Outside: Bloch and Singh, Steam Turbines, table 8.1 and p. 141; API's base of the percentage (doubt: trip table from memory)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.methods.trip_speed import METHOD, check, simulate
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict, judge

DIMS = {"rated": 3600.0, "continuous": 3780.0, "part": 1.1, "base_kind": 1.0}
LIMITS = {
    "trip": Limit.between(-40.0, 40.0, source="test"),
    "spread": Limit.at_most(40.0, source="test"),
    "drift": Limit.at_most(20.0, source="test"),
    "regulation": Limit.at_most(0.06, source="test"),
}


def speeds(*trips, no_load=3744.0, full_load=3600.0):
    return {f"trip_{n}": float(trip) for n, trip in enumerate(trips, 1)} | {
        "no_load": no_load,
        "full_load": full_load,
    }


def worked(readings, **changed):
    return METHOD.work_one(readings, {**DIMS, **changed})


@pytest.mark.parametrize(
    ("governor", "regulation", "trip", "no_load", "trips_at"),
    [
        ("A", 0.10, 1.15, 3960, 4140),
        ("B", 0.06, 1.10, 3816, 3960),
        ("C", 0.04, 1.10, 3744, 3960),
        ("D", 0.005, 1.10, 3618, 3960),
    ],
)
def test_the_governor_classes_at_3600_rpm(governor, regulation, trip, no_load, trips_at):
    # Bloch and Singh, table 8.1: regulation and trip, per cent above rated.
    del governor
    found = worked(speeds(trips_at, trips_at, trips_at, no_load=float(no_load)), part=trip)

    assert found["setting"] == pytest.approx(trips_at)
    assert found["regulation"] == pytest.approx(regulation)
    assert found["over"] == pytest.approx(0.0, abs=1e-9)


def test_class_a_at_4000_rpm_trips_at_4600():
    assert worked(speeds(1, 1, 1), rated=4000.0, continuous=4200.0, part=1.15)["setting"] == pytest.approx(4600)


def test_a_percentage_of_the_other_base_is_another_speed():
    # 110 % of a maximum continuous speed of 105 % is 115.5 % of rated.
    assert worked(speeds(1, 1, 1), base_kind=2.0)["setting"] / 3600 == pytest.approx(1.155)
    assert worked(speeds(1, 1, 1), base_kind=1.0)["setting"] / 3600 == pytest.approx(1.10)


@pytest.mark.parametrize(
    ("no_load", "full_load", "per_cent"),
    [(1000.0, 900.0, 11.11), (3744.0, 3600.0, 4.00), (918.0, 900.0, 2.0)],
)
def test_regulation_is_divided_by_the_speed_at_rated_load(no_load, full_load, per_cent):
    # A Coast Guard examination question (its key not seen); table 8.1, class C; Collins, Steam Turbines, 1909.
    found = worked(speeds(1, 1, 1, no_load=no_load, full_load=full_load))["regulation"]

    assert found * 100 == pytest.approx(per_cent, abs=0.01)


@pytest.mark.parametrize(
    ("readings", "verdicts"),
    [
        (speeds(3950, 3960, 3955), (Verdict.INSIDE,)),
        (speeds(3920, 3930, 3920), (Verdict.INSIDE,)),
        (speeds(3919, 3930, 3921), (Verdict.LOW,)),
        (speeds(3990, 4001, 3995), (Verdict.HIGH,)),
        # Mean 3960.0, just where it is set; each trip inside; but each higher than the one before, or lower.
        (speeds(3945, 3960, 3975), (Verdict.FORM,)),
        (speeds(3975, 3960, 3945), (Verdict.FORM,)),
        (speeds(3940, 3985, 3945), (Verdict.FORM,)),
        (speeds(3960, 3960, 3960, no_load=3820.0), (Verdict.FORM,)),
        (speeds(3900, 3960, 4020), (Verdict.LOW, Verdict.HIGH, Verdict.FORM)),
    ],
)
def test_each_trip_counts_and_a_rising_series_is_not_accepted_by_its_mean(readings, verdicts):
    assert judge(worked(readings), LIMITS, METHOD.held) == verdicts


RISING = speeds(3930, 3980, 3962)


@pytest.mark.parametrize(
    ("slip", "result", "number"),
    [
        ("other_base", "setting", 4158),
        ("percentage_forgotten", "setting", 3600),
        ("mean_taken", "over", 3957.3333333 - 3960),
        ("mean_taken", "under", 3957.3333333 - 3960),
        ("ends_exchanged", "over", -30),
        ("ends_exchanged", "under", 20),
        ("off_the_other_way", "over", -20),
        ("off_the_other_way", "under", 30),
        ("first_to_last", "spread", 32),
        ("lowest_to_highest", "drift", 50),
        ("by_no_load_speed", "regulation", 144 / 3744),
        ("regulation_backwards", "regulation", -0.04),
        ("a_hundredth", "regulation", 0.0004),
    ],
)
def test_a_slip_gives_the_number_worked_by_hand(slip, result, number):
    rules = next(one.rules for one in METHOD.slips if one.name == slip)

    assert METHOD.work_one(RISING, DIMS, instead=rules)[result] == pytest.approx(number)


def test_a_hundred_in_nine_hundred_is_ten_per_cent_only_by_the_wrong_speed():
    rules = next(one.rules for one in METHOD.slips if one.name == "by_no_load_speed")

    assert METHOD.work_one(speeds(1, 1, 1, no_load=1000.0, full_load=900.0), DIMS, instead=rules)[
        "regulation"
    ] == pytest.approx(0.1)


@pytest.mark.parametrize(
    ("changed", "name"),
    [
        ({"base_kind": 0.0}, "base_kind"),
        ({"base_kind": 3.0}, "base_kind"),
        ({"part": 0.1}, "part"),  # "10 %", meant as ten per cent above
        ({"part": 1.0}, "part"),
        ({"part": 1.21}, "part"),
        ({"continuous": 3500.0}, "continuous"),
        ({"rated": math.nan}, "rated"),
    ],
)
def test_a_setting_that_cannot_be_is_refused(changed, name):
    with pytest.raises(ImpossibleReadingError) as refused:
        check({}, {**DIMS, **changed})

    assert refused.value.name == name


def test_a_machine_that_runs_slower_without_its_load_is_refused():
    check(speeds(1, 1, 1, no_load=3600.0), DIMS)
    with pytest.raises(ImpossibleReadingError) as refused:
        check(speeds(1, 1, 1, no_load=3599.0), DIMS)

    assert refused.value.name == "no_load"


@pytest.mark.parametrize("speed", [math.nan, 0.0, -1.0])
def test_a_speed_is_more_than_nothing(speed):
    with pytest.raises(ImpossibleReadingError):
        check({**RISING, "trip_2": speed}, DIMS)


numbers = st.floats(0, 1, exclude_max=True)


@given(
    st.floats(-60, 60), st.floats(0, 60), st.floats(0, 60), st.floats(0, 0.1), st.lists(numbers, min_size=3, max_size=3)
)
def test_drawn_trips_have_the_middle_spread_and_drift_aimed_at(trip, spread, drift, regulation, chance):
    readings = simulate({"trip": trip, "spread": spread, "drift": drift, "regulation": regulation}, DIMS, chance)
    found = worked(readings)

    assert (found["over"] + found["under"]) / 2 == pytest.approx(trip, abs=1e-6)
    assert found["spread"] == pytest.approx(max(spread, drift), abs=1e-6)
    assert found["drift"] == pytest.approx(drift, abs=1e-6)
    assert found["regulation"] == pytest.approx(regulation, abs=1e-9)


def test_draws_behave(drawn, assert_floats_and_arrays_agree, assert_every_slip_shows):
    aims = {"trip": (-60, 60), "spread": (0, 60), "drift": (0, 30), "regulation": (0.01, 0.08)}
    _, readings = drawn(METHOD, aims=aims, dims=DIMS)

    assert_floats_and_arrays_agree(METHOD, readings, DIMS)
    assert_every_slip_shows(METHOD, readings, DIMS)
