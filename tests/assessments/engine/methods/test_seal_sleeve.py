"""Outside: the gaps of one circle inside another, from geometry; half a difference: US Army TM 10-3930-653-14P."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.methods.seal_sleeve import METHOD
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict, judge

MIL = 0.0254
LIMITS = {
    "clearance": Limit.between(0.50, 0.80, source="test"),
    "off_centre": Limit.at_most(0.10, source="test"),
    "float": Limit.between(0.30, 0.80, source="test"),
}


def gaps(top, bottom, left, right, steam_side, outer_side):
    return {
        "top": top,
        "bottom": bottom,
        "left": left,
        "right": right,
        "steam_side": steam_side,
        "outer_side": outer_side,
    }


def wrong(name, readings):
    return METHOD.work_one(readings, {}, instead=next(slip for slip in METHOD.slips if slip.name == name).rules)


@given(st.floats(20, 200), st.floats(0.2, 1.0), st.floats(-0.4, 0.4), st.floats(-0.4, 0.4))
def test_a_shaft_aside_in_its_sleeve_gives_sum_and_half_difference(shaft, clearance, up, aside):
    # Where the axes through the shaft's centre meet the sleeve: exact but for the chord, which is of the second order.
    radius, bore = shaft / 2, (shaft + clearance) / 2
    up, aside = up * clearance, aside * clearance
    chord_up, chord_level = math.sqrt(bore**2 - aside**2), math.sqrt(bore**2 - up**2)
    readings = gaps(
        chord_up - up - radius,
        chord_up + up - radius,
        chord_level + aside - radius,
        chord_level - aside - radius,
        0.2,
        0.3,
    )
    worked = METHOD.work_one(readings, {})
    second_order = 2 * clearance**2 / bore

    assert worked["upright"] == pytest.approx(clearance, abs=second_order)
    assert worked["level"] == pytest.approx(clearance, abs=second_order)
    assert worked["off_upright"] == pytest.approx(abs(up), abs=1e-9)
    assert worked["off_level"] == pytest.approx(abs(aside), abs=1e-9)


def test_off_centre_is_half_of_what_opposite_gaps_differ_by():
    # US Army TM 10-3930-653-14P: the bend is half the reading; .0040 in is .0020 in off.
    worked = METHOD.work_one(gaps(14 * MIL, 10 * MIL, 12 * MIL, 12 * MIL, 0.2, 0.3), {})

    assert worked["off_upright"] / MIL == pytest.approx(2.0)
    assert worked["off_level"] == 0
    assert worked["upright"] / MIL == worked["level"] / MIL == pytest.approx(24.0)


READ = gaps(0.40, 0.30, 0.32, 0.36, 0.20, 0.35)  # by hand: 0.70, 0.68, 0.05, 0.02, 0.55


@pytest.mark.parametrize(
    ("slip", "result", "number"),
    [
        ("one_gap_as_diametral", "upright", 0.40),
        ("one_gap_as_diametral", "level", 0.32),
        ("other_gap_as_diametral", "upright", 0.30),
        ("other_gap_as_diametral", "level", 0.36),
        ("one_gap_doubled", "upright", 0.80),
        ("one_gap_doubled", "level", 0.64),
        ("gaps_averaged", "upright", 0.35),
        ("gaps_averaged", "level", 0.34),
        ("not_halved", "off_upright", 0.10),
        ("not_halved", "off_level", 0.04),
        ("planes_exchanged", "upright", 0.68),
        ("planes_exchanged", "level", 0.70),
        ("planes_exchanged", "off_upright", 0.02),
        ("planes_exchanged", "off_level", 0.05),
        ("neighbours_paired", "upright", 0.72),
        ("neighbours_paired", "level", 0.66),
        ("neighbours_paired", "off_upright", 0.04),
        ("neighbours_paired", "off_level", 0.03),
        ("one_side_as_float", "float", 0.20),
        ("sides_subtracted", "float", 0.15),
    ],
)
def test_a_slip_gives_the_number_worked_by_hand(slip, result, number):
    right = METHOD.work_one(READ, {})

    assert [right[line.name] for line in METHOD.lines] == pytest.approx([0.70, 0.68, 0.05, 0.02, 0.55])
    assert wrong(slip, READ)[result] == pytest.approx(number)


@pytest.mark.parametrize(
    ("readings", "verdict"),
    [
        (READ, Verdict.INSIDE),
        (gaps(0.40, 0.30, 0.20, 0.25, 0.20, 0.35), Verdict.LOW),  # pinched in one plane
        (gaps(0.45, 0.40, 0.32, 0.36, 0.20, 0.35), Verdict.HIGH),
        (gaps(0.50, 0.20, 0.32, 0.36, 0.20, 0.35), Verdict.FORM),
        (gaps(0.40, 0.30, 0.32, 0.36, 0.10, 0.15), Verdict.LOW),
        (gaps(0.40, 0.30, 0.32, 0.36, 0.50, 0.35), Verdict.HIGH),
    ],
)
def test_each_plane_the_centre_and_the_float_have_to_be_right(readings, verdict):
    assert judge(METHOD.work_one(readings, {}), LIMITS, METHOD.held) == (verdict,)


numbers = st.floats(0, 1, exclude_max=True)


@given(st.floats(0.4, 1.0), st.floats(0, 0.13), st.floats(0.1, 1.0), st.tuples(*[numbers] * 6))
def test_a_drawn_sleeve_has_what_was_aimed_at(clearance, off_centre, axial, chance):
    aims = {"clearance": clearance, "off_centre": off_centre, "float": axial}
    worked = METHOD.work_one(METHOD.simulate(aims, {}, chance), {})

    assert (worked["upright"] + worked["level"]) / 2 == pytest.approx(clearance)
    assert abs(worked["upright"] - worked["level"]) <= 0.06 * clearance + 1e-9
    assert max(worked["off_upright"], worked["off_level"]) == pytest.approx(off_centre, abs=1e-9)
    assert worked["float"] == pytest.approx(axial)


@given(st.floats(0.1, 1.0), st.floats(0, 2.0), st.floats(0.1, 1.0), st.tuples(*[numbers] * 6))
def test_no_gap_is_drawn_so_small_that_no_leaf_goes_in(clearance, off_centre, axial, chance):
    readings = METHOD.simulate({"clearance": clearance, "off_centre": off_centre, "float": axial}, {}, chance)

    METHOD.check(readings, {})
    assert min(readings[name] for name in ("top", "bottom", "left", "right")) > 0.1 * clearance
    assert min(readings["steam_side"], readings["outer_side"]) >= 0.25 * axial - 1e-9


@pytest.mark.parametrize("size", [0.0, -0.1, math.nan, math.inf])
def test_a_gap_of_nothing_is_refused(size):
    with pytest.raises(ImpossibleReadingError) as refused:
        METHOD.check({**READ, "left": size}, {})

    assert refused.value.name == "left"


def test_draws_behave(drawn, assert_floats_and_arrays_agree, assert_every_slip_shows, assert_lengths_scale):
    aims = {"clearance": (0.4, 0.9), "off_centre": (0.0, 0.12), "float": (0.2, 0.9)}
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
            "worn": Verdict.HIGH,
            "off": Verdict.FORM,
            "bound": Verdict.LOW,
            "slack": Verdict.HIGH,
        },
        dims={},
        limits=LIMITS,
        step=0.005,
    )
