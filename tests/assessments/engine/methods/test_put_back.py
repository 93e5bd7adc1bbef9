"""Outside: nothing but arithmetic; put back where it was found is common practice, no source."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.methods.put_back import METHOD, SCATTER
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict, judge

DIMS = {"sister": 25.30}
LIMITS = {"change": Limit.plus_minus(0.0, 0.10, source="test")}


def wrong(name, readings, dims=DIMS):
    return METHOD.work_one(readings, dims, instead=next(slip for slip in METHOD.slips if slip.name == name).rules)


@pytest.mark.parametrize(
    ("found", "left", "change", "verdict"),
    [
        (25.10, 25.10, 0.0, Verdict.INSIDE),
        (25.10, 25.20, 0.10, Verdict.INSIDE),
        (25.10, 25.00, -0.10, Verdict.INSIDE),
        (25.10, 25.22, 0.12, Verdict.HIGH),
        (25.10, 24.97, -0.13, Verdict.LOW),
    ],
)
def test_as_left_less_as_found_is_held_both_ways(found, left, change, verdict):
    worked = METHOD.work_one({"found": found, "left": left}, DIMS)

    assert worked["change"] == pytest.approx(change)
    assert judge(worked, LIMITS, METHOD.held) == (verdict,)


@pytest.mark.parametrize(
    ("slip", "number"),
    [("subtracted_backwards", 0.13), ("sign_dropped", 0.13), ("sister_machine", -0.33), ("dimension_as_change", 24.97)],
)
def test_a_slip_gives_the_number_worked_by_hand(slip, number):
    assert wrong(slip, {"found": 25.10, "left": 24.97})["change"] == pytest.approx(number)


def test_the_sister_s_figure_can_make_a_bad_one_look_good():
    readings = {"found": 25.10, "left": 25.32}

    assert judge(METHOD.work_one(readings, DIMS), LIMITS, METHOD.held) == (Verdict.HIGH,)
    assert judge(wrong("sister_machine", readings), LIMITS, METHOD.held) == (Verdict.INSIDE,)


@given(st.floats(-1, 1), st.floats(0, 1, exclude_max=True))
def test_a_drawn_part_has_moved_as_aimed_at(change, chance):
    readings = METHOD.simulate({"change": change}, DIMS, [chance])

    assert METHOD.work_one(readings, DIMS)["change"] == pytest.approx(change, abs=1e-9)
    assert abs(readings["found"] - 25.30) <= SCATTER * 25.30 + 1e-9


@pytest.mark.parametrize("size", [0.0, -25.0, math.nan, math.inf])
@pytest.mark.parametrize("name", ["found", "left"])
def test_a_dimension_of_nothing_is_refused(name, size):
    with pytest.raises(ImpossibleReadingError) as refused:
        METHOD.check({"found": 25.1, "left": 25.2, name: size}, DIMS)

    assert refused.value.name == name


def test_a_sister_of_no_size_is_refused_and_dims_are_checked_alone():
    METHOD.check({}, DIMS)
    with pytest.raises(ImpossibleReadingError):
        METHOD.check({}, {"sister": 0.0})


def test_draws_behave(drawn, assert_floats_and_arrays_agree, assert_every_slip_shows, assert_lengths_scale):
    _, readings = drawn(METHOD, aims={"change": (-0.3, 0.3)}, dims=DIMS)

    assert_floats_and_arrays_agree(METHOD, readings, DIMS)
    assert_every_slip_shows(METHOD, readings, DIMS)
    assert_lengths_scale(METHOD, readings, DIMS)


def test_cases_have_the_verdict_they_are_named_for(assert_cases_have_the_verdict_they_are_named_for):
    assert_cases_have_the_verdict_they_are_named_for(
        METHOD,
        {"good": Verdict.INSIDE, "short": Verdict.LOW, "long": Verdict.HIGH},
        dims=DIMS,
        limits=LIMITS,
        step=0.01,
    )
