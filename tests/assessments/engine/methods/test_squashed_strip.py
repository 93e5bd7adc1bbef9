"""Outside: conservation of area by scipy's own integration and root finding; US Army manuals for the procedure."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.instruments import all_instruments
from assessments.engine.methods.squashed_strip import METHOD, clearance, width
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict

INCH = 25.4
# Strip, clearance, width of the print: one unit throughout. Forward form of conserved area, worked
# outside this code to six places (derived).
PRINTS = [
    (1.0, 1.0, 1.000000),
    (1.0, 0.5, 1.678097),
    (1.0, 0.25, 3.195243),
    (1.0, 0.10, 7.875442),
    (0.010, 0.002, 0.039699),
    (0.010, 0.003, 0.026824),
    (0.010, 0.004, 0.020493),
    (0.38, 0.10, 1.155575),
]
strips = st.floats(0.1, 3.0)
parts = st.floats(1 / 14, 0.98)


@pytest.mark.parametrize(("strip", "gap", "print_width"), PRINTS)
def test_a_clearance_makes_the_width_worked_outside(strip, gap, print_width):
    assert width(gap, strip) == pytest.approx(print_width, rel=2e-5)
    assert clearance(width(gap, strip), strip) == pytest.approx(gap, rel=1e-9)


@given(strips, parts)
def test_a_root_finder_finds_the_same_clearance(strip, part):
    print_width = width(part * strip, strip)

    def area_too_large(gap):
        return (print_width - gap) * gap + math.pi * gap * gap / 4 - math.pi * strip * strip / 4

    found = brentq(area_too_large, 1e-6 * strip, strip * (1 + 1e-12), xtol=1e-14)

    assert clearance(print_width, strip) == pytest.approx(found, rel=1e-6)


@pytest.mark.parametrize(("strip", "gap"), [(0.4, 0.1), (0.6, 0.2), (0.9, 0.5), (1.5, 0.3)])
def test_the_flat_section_has_the_area_of_the_round_one(strip, gap):
    def breadth(height):
        return width(gap, strip) - gap + 2 * math.sqrt(max(0.0, (gap / 2) ** 2 - (height - gap / 2) ** 2))

    area, _ = quad(breadth, 0, gap)

    assert area == pytest.approx(math.pi * strip**2 / 4, rel=1e-6)


def test_a_narrowing_print_is_a_taper_of_a_thousandth():
    # Widths of the table above on a strip of 0.010 in: 0.002 and 0.003 in of clearance.
    worked = METHOD.work_one({"w_governor": 0.039699 * INCH, "w_coupling": 0.026824 * INCH}, {"strip": 0.010 * INCH})

    assert worked["taper"] / INCH == pytest.approx(0.001, abs=1e-5)
    assert worked["tightest"] / INCH == pytest.approx(0.002, abs=1e-5)
    assert worked["loosest"] / INCH == pytest.approx(0.003, abs=1e-5)
    assert worked["mean"] / INCH == pytest.approx(0.0025, abs=1e-5)


@given(strips, st.floats(1.0, 14.0), st.floats(1e-3, 1.0))
def test_the_wider_print_is_the_smaller_clearance(strip, times, more):
    # US Army TM 9-2815-202-34 p. 4-157: the widest point of the print is the tightest place.
    assert clearance(strip * (times + more), strip) < clearance(strip * times, strip)


@pytest.mark.parametrize(("part", "low_by"), [(0.5, 0.064), (0.25, 0.017), (0.1, 0.0027)])
def test_edges_forgotten_reads_low_by_the_derived_share(part, low_by):
    slip = next(slip for slip in METHOD.slips if slip.name == "edges_forgotten")
    readings = {"w_governor": width(part, 1.0), "w_coupling": width(part, 1.0)}

    wrong = METHOD.work_one(readings, {"strip": 1.0}, instead=slip.rules)

    assert 1 - wrong["c_governor"] / part == pytest.approx(low_by, abs=5e-4)


def test_the_wide_end_taken_as_the_loose_one_turns_both_ends_round():
    slip = next(slip for slip in METHOD.slips if slip.name == "ends_swapped")
    readings, dims = {"w_governor": 4.0, "w_coupling": 3.0}, {"strip": 0.6}

    right, wrong = METHOD.work_one(readings, dims), METHOD.work_one(readings, dims, instead=slip.rules)

    assert (wrong["c_governor"], wrong["c_coupling"]) == (right["c_coupling"], right["c_governor"])
    assert (wrong["tightest"], wrong["loosest"]) == (right["loosest"], right["tightest"])
    assert wrong["taper"] == right["taper"]


def test_ends_averaged_holds_the_mean_against_the_sheet_for_both():
    slip = next(slip for slip in METHOD.slips if slip.name == "ends_averaged")
    readings, dims = {"w_governor": 4.0, "w_coupling": 3.0}, {"strip": 0.6}

    right, wrong = METHOD.work_one(readings, dims), METHOD.work_one(readings, dims, instead=slip.rules)

    assert wrong["tightest"] == wrong["loosest"] == right["mean"]
    assert (wrong["c_governor"], wrong["taper"]) == (right["c_governor"], right["taper"])


def test_one_number_for_both_ends_hides_the_taper():
    slip = next(slip for slip in METHOD.slips if slip.name == "one_number_for_both")
    readings, dims = {"w_governor": 4.0, "w_coupling": 3.0}, {"strip": 0.6}

    right, wrong = METHOD.work_one(readings, dims), METHOD.work_one(readings, dims, instead=slip.rules)

    assert wrong["c_governor"] == wrong["c_coupling"] == pytest.approx(right["mean"])
    assert wrong["taper"] == 0


def test_the_other_scale_is_out_by_an_inch_to_a_millimetre():
    slips = {slip.name: slip.rules for slip in METHOD.slips}
    readings, dims = {"w_governor": 4.0, "w_coupling": 3.0}, {"strip": 0.6}
    right = METHOD.work_one(readings, dims)

    small = METHOD.work_one(readings, dims, instead=slips["inches_as_millimetres"])
    large = METHOD.work_one(readings, dims, instead=slips["millimetres_as_inches"])

    for name in ("c_governor", "c_coupling", "taper"):
        assert small[name] * 25.4 == pytest.approx(right[name])
        assert large[name] / 25.4 == pytest.approx(right[name])


def test_a_width_written_as_clearance_is_the_width():
    slip = next(slip for slip in METHOD.slips if slip.name == "width_as_clearance")

    wrong = METHOD.work_one({"w_governor": 4.0, "w_coupling": 3.0}, {"strip": 0.6}, instead=slip.rules)

    assert (wrong["c_governor"], wrong["c_coupling"]) == (4.0, 3.0)


@given(st.floats(0.2, 0.5), st.floats(0.14, 0.85), st.floats(0.0, 0.1), st.floats(0, 1, exclude_max=True))
def test_drawn_widths_have_the_clearance_and_taper_aimed_at(strip, part, taper, chance):
    aims = {"clearance": part * strip, "taper": taper * strip}

    worked = METHOD.work_one(METHOD.simulate(aims, {"strip": strip}, [chance]), {"strip": strip})

    assert worked["mean"] == pytest.approx(aims["clearance"], rel=1e-6)
    assert worked["taper"] == pytest.approx(aims["taper"], rel=1e-6, abs=1e-9)
    assert (worked["c_governor"] >= worked["c_coupling"]) == (chance <= 0.5) or taper < 1e-6


def test_a_clearance_beyond_the_strip_leaves_it_round():
    readings = METHOD.simulate({"clearance": 0.9, "taper": 0.0}, {"strip": 0.6}, [0.2])

    assert readings["w_governor"] == readings["w_coupling"] == pytest.approx(0.6)


@given(
    st.sampled_from([0.4, 0.6, 0.9, 1.5]), st.floats(-0.2, 3.0), st.floats(0, 0.5), st.floats(0, 1, exclude_max=True)
)
def test_every_drawn_print_can_be_read_on_every_printed_scale(strip, clearance_aimed, taper, chance):
    scales = [scale for scale in all_instruments().values() if scale.family == "squashed_strip"]

    readings = METHOD.simulate({"clearance": clearance_aimed, "taper": taper}, {"strip": strip}, [chance])

    assert scales
    for size in readings.values():
        for scale in scales:
            assert scale.low - scale.step / 2 <= scale.read(size) <= scale.high + scale.step / 2


@pytest.mark.parametrize("width_read", [0.59, -1.0, math.nan, math.inf, -math.inf, 1e9])
def test_a_print_that_cannot_be_is_refused(width_read):
    with pytest.raises(ImpossibleReadingError) as refused:
        METHOD.check({"w_governor": 2.0, "w_coupling": width_read}, {"strip": 0.6})

    assert refused.value.name == "w_coupling"
    assert str(refused.value).endswith(".")


@pytest.mark.parametrize("strip", [0.0, -0.6, math.nan, math.inf])
def test_a_strip_of_no_thickness_is_refused(strip):
    with pytest.raises(ImpossibleReadingError):
        METHOD.check({"w_governor": 2.0, "w_coupling": 2.0}, {"strip": strip})


def test_a_print_no_wider_than_the_strip_is_allowed():
    METHOD.check({"w_governor": 0.6, "w_coupling": 2.0}, {"strip": 0.6})


def test_only_closing_up_accepts_the_bearing():
    assert [verdict for verdict, action in METHOD.actions.items() if action.is_accepting] == [Verdict.INSIDE]


def test_draws_behave(drawn, assert_floats_and_arrays_agree, assert_every_slip_shows, assert_lengths_scale):
    dims = {"strip": 0.6}
    _, readings = drawn(METHOD, aims={"clearance": (0.08, 0.3), "taper": (0.0, 0.05)}, dims=dims)

    assert_floats_and_arrays_agree(METHOD, readings, dims)
    assert_every_slip_shows(METHOD, readings, dims)
    assert_lengths_scale(METHOD, readings, dims)


def test_cases_have_the_verdict_they_are_named_for(assert_cases_have_the_verdict_they_are_named_for):
    assert_cases_have_the_verdict_they_are_named_for(
        METHOD,
        {
            "good": Verdict.INSIDE,
            "tight": Verdict.LOW,
            "loose": Verdict.HIGH,
            "tapered": Verdict.FORM,
            "tight_end": Verdict.LOW,
            "loose_end": Verdict.HIGH,
        },
        dims={"strip": 0.6},
        limits={
            "clearance": Limit.between(0.10, 0.18, source="test"),
            "taper": Limit.at_most(0.03, source="test"),
        },
        step=0.1,
    )
