"""Outside: Bloch and Geitner, Machinery Component Maintenance and Repair, p. 203; McMillan, Rotating Machinery, eq. 9.1
and 9.2 (signs derived for these brackets); shafts put in their place.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.methods.two_dials import METHOD, check, simulate
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict, judge

LIMITS = {
    "offset": Limit.at_most(0.05, source="test"),
    "opening": Limit.at_most(0.05, source="test"),
    "sums": Limit.at_most(0.04, source="test"),
}
DIMS = {
    "spacing": 120.0,
    "sag_s": -0.04,
    "sag_m": -0.06,
    "across": 180.0,
    "near_foot": 320.0,
    "far_foot": 760.0,
    "target_height": -0.05,
    "target_opening": 0.03,
}
PLAIN = {**DIMS, "sag_s": 0.0, "sag_m": 0.0, "target_height": 0.0, "target_opening": 0.0}
STATIONS = ("top", "right", "bottom", "left")


def dials(on_fixed, on_moving):
    """Readings at top, right, bottom and left."""
    return {f"s_{s}": float(r) for s, r in zip(STATIONS, on_fixed, strict=True)} | {
        f"m_{s}": float(r) for s, r in zip(STATIONS, on_moving, strict=True)
    }


@pytest.mark.parametrize("across", [3.0, 10.0])
def test_the_worked_example_of_the_book(across):
    # MCM p. 203, inches: 12 and 7 mil high in planes 14 in apart, feet at 26 and 52: lower .003, raise .007 (-2.714, +6.571).
    dims = {**PLAIN, "spacing": 14.0, "near_foot": 26.0, "far_foot": 52.0, "across": across}
    worked = METHOD.work_one(dials((0, 12, 24, 12), (0, -7, -14, -7)), dims)

    assert (worked["height"], worked["height_m"]) == (12, 7)
    assert worked["shim_near"] == pytest.approx(-2.7, abs=0.05)
    assert worked["shim_far"] == pytest.approx(6.6, abs=0.05)
    assert worked["shim_near"] == pytest.approx(-2.714, abs=5e-4)
    assert worked["shim_far"] == pytest.approx(6.571, abs=5e-4)


@given(st.floats(-50, 50), st.floats(-50, 50), st.floats(2, 40), st.floats(0, 100), st.floats(101, 200))
def test_shims_are_those_of_the_published_formula_in_dial_readings(on_fixed, on_moving, apart, near, far):
    # McMillan eq. 9.1-9.2: ((S + M) x/a - S)/2.
    dims = {**PLAIN, "spacing": apart, "near_foot": near, "far_foot": far}
    worked = METHOD.work_one(dials((0, 0, on_fixed, 0), (0, 0, on_moving, 0)), dims)

    for name, foot in (("shim_near", near), ("shim_far", far)):
        assert worked[name] == pytest.approx(((on_fixed + on_moving) * foot / apart - on_fixed) / 2, abs=1e-9)


def test_each_dial_has_its_own_bar_s_sag_taken_off():
    # A pump handbook: raw +10, sag -6: corrected +16, so 8 off.
    worked = METHOD.work_one(dials((0, 5, 10, 5), (0, -2, -20, -18)), {**PLAIN, "sag_s": -6.0, "sag_m": -4.0})

    assert (worked["height"], worked["height_m"]) == (8.0, 8.0)


chances = st.lists(st.floats(0, 1, exclude_max=True), min_size=METHOD.chances, max_size=METHOD.chances)


@given(st.floats(0, 0.15), st.floats(0, 0.15), chances)
def test_a_shaft_put_in_its_place_is_found_there_by_the_working(offset, opening, chance):
    worked = METHOD.work_one(simulate({"offset": offset, "opening": opening, "sums": 0.0}, DIMS, chance), DIMS)

    assert worked["off_by"] == pytest.approx(offset, abs=1e-6)
    assert worked["open_by"] == pytest.approx(opening, abs=1e-6)
    assert worked["s_sums"] <= 0.2**2 / 90 + 1e-9
    assert worked["m_sums"] <= 0.4**2 / 90 + 1e-9


ON_FIXED, ON_MOVING = (0.0, -0.10, 0.08, 0.18), (0.0, 0.05, 0.10, -0.01)
"""By hand: in S (0.08 + 0.04)/2 = 0.06 high, 0.14 right; in M -(0.10 + 0.06)/2 = -0.08 high, 0.03 right."""
SLOPE, SWING = 0.14 / 120, 0.11 / 120


def test_the_right_numbers_worked_by_hand():
    worked = METHOD.work_one(dials(ON_FIXED, ON_MOVING), DIMS)

    assert (worked["height"], worked["height_m"]) == pytest.approx((0.06, -0.08))
    assert (worked["aside"], worked["aside_m"]) == pytest.approx((0.14, 0.03))
    assert worked["opening"] == pytest.approx(180 * SLOPE)
    assert worked["side_opening"] == pytest.approx(180 * SWING)
    assert worked["shim_far"] == pytest.approx((SLOPE - 0.03 / 180) * 760 - 0.11)
    assert worked["move_near"] == pytest.approx(SWING * 320 - 0.14)
    assert worked["s_sums"] == pytest.approx(0.0)
    assert worked["m_sums"] == pytest.approx(0.06)


@pytest.mark.parametrize(
    ("slip", "result", "number"),
    [
        ("total_not_halved", "height", 0.12),
        ("total_not_halved", "height_m", -0.16),
        ("total_not_halved", "aside", 0.28),
        ("total_not_halved", "aside_m", 0.06),
        ("sag_other_way", "height", 0.02),
        ("sag_other_way", "height_m", -0.02),
        ("sag_left_out", "height", 0.04),
        ("sag_left_out", "height_m", -0.05),
        ("sag_of_a_side", "height", 0.05),
        ("sag_of_a_side", "height_m", -0.065),
        ("one_sign_for_both", "height_m", 0.08),
        ("one_sign_for_both", "aside_m", -0.03),
        ("dials_exchanged", "height", -0.08),
        ("dials_exchanged", "height_m", 0.06),
        ("dials_exchanged", "aside", 0.03),
        ("dials_exchanged", "aside_m", 0.14),
        ("spacing_turned_over", "opening", 0.14 * 120 / 180),
        ("spacing_turned_over", "side_opening", 0.11 * 120 / 180),
        ("from_dial_m", "shim_near", (SLOPE - 0.03 / 180) * 200 - 0.11),
        ("from_dial_m", "shim_far", (SLOPE - 0.03 / 180) * 640 - 0.11),
        ("minus_dropped", "height", 0.06),
        ("minus_dropped", "height_m", -0.08),
        ("minus_dropped", "aside", 0.04),  # (0.18 - 0.10)/2
        ("minus_dropped", "aside_m", 0.02),  # (0.05 - 0.01)/2
        ("angle_forgotten", "shim_far", -0.11),
    ],
)
def test_a_slip_gives_the_number_worked_by_hand(slip, result, number):
    rules = next(one.rules for one in METHOD.slips if one.name == slip)

    assert METHOD.work_one(dials(ON_FIXED, ON_MOVING), DIMS, instead=rules)[result] == pytest.approx(number)


@pytest.mark.parametrize(
    ("on_fixed", "on_moving", "verdicts"),
    [
        ((0, -0.07, -0.14, -0.07), (0, 0.04, 0.08, 0.04), (Verdict.INSIDE,)),
        ((0, 0.0, 0.0, 0.0), (0, -0.03, -0.06, -0.03), (Verdict.HIGH,)),
        ((0, -0.07, -0.14, -0.07), (0, 0.0, 0.0, 0.0), (Verdict.FORM,)),
        ((0, -0.07, -0.14, 0.0), (0, 0.04, 0.08, 0.04), (Verdict.VOID,)),
        ((0, -0.07, -0.14, -0.07), (0, 0.04, 0.08, 0.1), (Verdict.VOID,)),
    ],
)
def test_a_verdict_is_that_of_the_worse_plane_and_a_dial_that_does_not_close_voids(on_fixed, on_moving, verdicts):
    assert judge(METHOD.work_one(dials(on_fixed, on_moving), DIMS), LIMITS, METHOD.held) == verdicts


@pytest.mark.parametrize(
    ("changed", "name"), [({"spacing": 0.0}, "spacing"), ({"sag_s": 0.1}, "sag_s"), ({"sag_m": 0.1}, "sag_m")]
)
def test_a_setup_that_cannot_be_is_refused(changed, name):
    with pytest.raises(ImpossibleReadingError) as refused:
        check({}, {**DIMS, **changed})

    assert refused.value.name == name


@pytest.mark.parametrize("size", [math.nan, math.inf, 1e9])
def test_a_reading_that_is_no_number_is_refused(size):
    with pytest.raises(ImpossibleReadingError):
        check({**dials(ON_FIXED, ON_MOVING), "m_left": size}, DIMS)


def test_readings_under_zero_are_allowed():
    check(dials(ON_FIXED, ON_MOVING), DIMS)


def test_draws_behave(drawn, assert_floats_and_arrays_agree, assert_every_slip_shows, assert_lengths_scale):
    _, readings = drawn(METHOD, aims={"offset": (0.01, 0.1), "opening": (0.01, 0.1), "sums": (0, 0.03)}, dims=DIMS)

    assert_floats_and_arrays_agree(METHOD, readings, DIMS)
    assert_every_slip_shows(METHOD, readings, DIMS)
    assert_lengths_scale(METHOD, readings, DIMS)


def test_cases_have_the_verdict_they_are_named_for(assert_cases_have_the_verdict_they_are_named_for):
    verdicts = {
        "good": Verdict.INSIDE,
        "offset": Verdict.HIGH,
        "angle": Verdict.FORM,
        "both": Verdict.HIGH,
        "slipped": Verdict.VOID,
    }
    assert_cases_have_the_verdict_they_are_named_for(METHOD, verdicts, dims=DIMS, limits=LIMITS, step=0.002)
