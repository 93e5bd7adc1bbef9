from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from assessments.engine.errors import UnknownNameError
from assessments.engine.kinds import Kind
from assessments.engine.quantities.printing import number, show, show_both, show_fraction
from tests import strategies


@pytest.mark.parametrize(
    ("value", "unit", "step", "text"),
    [
        (0.1128, "mm", 0.001, "0.113 mm"),
        (12.5, "mm", 0.5, "12.5 mm"),
        (0.6, "mm", 0.01, "0.60 mm"),
        (0.0254 * 4.3, "in", 0.0254, "0.004 in"),
        (0.0254 * 4.3, "in", 0.00254, "0.0043 in"),
        (0.0254 * 4.3, "in", 0.001, "0.00430 in"),
        (0.0254 * 4.3, "thou", 0.00254, "4.3 thou"),
        # 67/64 in is 1.046875: the decimal equivalents printed on any rule chart.
        (25.4 * 67 / 64, "in", 25.4 / 64, "1.046875 in"),
        (3600.4, "rpm", 1.0, "3600 rpm"),
        (3600.4, "rpm", 10.0, "3600 rpm"),
        (math.pi / 4, "°", math.pi / 180, "45°"),
        (0.0402, "%", 0.001, "4.0 %"),
        (0.5, "", 0.01, "0.50"),
        (20.0, "°F", 1.0, "68.0 °F"),
        (-1.5, "mm", 0.01, "−1.50 mm"),
        (-0.004, "mm", 0.01, "0.00 mm"),
        (-0.4, "mm", 1.0, "0 mm"),
        (-0.0, "mm", None, "0 mm"),
        # Halves go up, whichever side of them the float lies: .0625 in on paper to three places is .063.
        (1.5875, "in", 0.0254, "0.063 in"),
        (2.675, "mm", 0.01, "2.68 mm"),
        (-2.675, "mm", 0.01, "−2.68 mm"),
        (1 / 3, "mm", None, "0.333333 mm"),
        (0.6, "mm", None, "0.6 mm"),
        (100.0, "mm", None, "100 mm"),
        (1234567.0, "kg", None, "1234567 kg"),
        (11.7e-6, "1/K", None, "0.0000117 1/K"),
    ],
)
def test_a_quantity_is_printed_with_the_decimals_of_its_step(value, unit, step, text):
    assert show(value, unit, step) == text
    assert number(value, unit, step) == text.removesuffix("°").removesuffix(unit).rstrip()


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_said_to_be_none(value):
    assert show(value, "mm", 0.01) == "no number"
    assert number(value, "mm") == "no number"
    assert show_both(value, Kind.LENGTH, "mm", 0.01) == "no number"
    assert show_fraction(value) == "no number"


def test_a_number_of_numpy_prints_as_a_float_does():
    assert show(np.float64(0.1128), "mm", 0.001) == "0.113 mm"
    assert show_both(np.float64(0.11), Kind.LENGTH, "mm", 0.001) == "0.110 mm (0.0043 in)"


@pytest.mark.parametrize(
    ("value", "kind", "unit", "step", "text"),
    [
        (0.110, Kind.LENGTH, "mm", 0.001, "0.110 mm (0.0043 in)"),
        (0.11, Kind.LENGTH, "mm", 0.01, "0.11 mm (0.004 in)"),
        (0.1016, Kind.LENGTH, "in", 0.0254, "0.004 in (0.10 mm)"),
        (0.0635, Kind.LENGTH, "thou", 0.00254, "2.5 thou (0.064 mm)"),
        (20.0, Kind.TEMPERATURE, "°C", 1.0, "20 °C (68 °F)"),
        (20.0, Kind.TEMPERATURE_STEP, "°C difference", 1.0, "20 °C difference (36 °F difference)"),
        # scipy.constants: 40 lbf by one foot is 54.23 N m. The step is as a sheet would round it.
        (54.2327, Kind.TORQUE, "lbf ft", 1.3558, "40 lbf ft (54 N m)"),
        (-0.05, Kind.LENGTH, "mm", 0.01, "−0.05 mm (−0.002 in)"),
        (3600.0, Kind.SPEED, "rpm", 1.0, "3600 rpm"),
        (0.04, Kind.RATIO, "%", 0.001, "4.0 %"),
    ],
)
def test_both_systems_stand_side_by_side(value, kind, unit, step, text):
    assert show_both(value, kind, unit, step) == text


def test_a_unit_of_another_kind_is_not_printed():
    with pytest.raises(UnknownNameError):
        show_both(1.0, Kind.LENGTH, "rpm", 1.0)


@given(value=st.floats(-1e3, 1e3), step=st.sampled_from([0.5, 0.05, 0.01, 0.002, 0.001]))
def test_the_other_system_claims_no_finer_step_than_some_third_of_the_one_given(value, step):
    other = show_both(value, Kind.LENGTH, "mm", step).partition(" (")[2]
    places = len(other.partition(" in")[0].partition(".")[2])

    assert step / 25.4 / math.sqrt(10) * 0.99 <= 10.0**-places <= max(1, step / 25.4 * math.sqrt(10) * 1.01)


@pytest.mark.parametrize(
    ("mm", "denominator", "text"),
    [
        (1.5875, 64, "1/16 in"),  # checks_fits.md section 9 [S]
        (26.590625, 64, "1 3/64 in"),
        (26.5, 64, "1 3/64 in"),
        (26.5, 8, "1 in"),
        (-1.5875, 64, "−1/16 in"),
        (-30.1625, 64, "−1 3/16 in"),
        (50.8, 64, "2 in"),
        (0.1, 64, "0 in"),
        (-0.1, 64, "0 in"),
    ],
)
def test_a_length_is_printed_as_a_reduced_fraction(mm, denominator, text):
    assert show_fraction(mm, denominator) == text


@given(exact=strategies.shop_fractions)
def test_fractions_are_reduced_as_the_standard_library_reduces_them(exact):
    printed = show_fraction(float(exact) * 25.4).removesuffix(" in")

    assert sum(Fraction(part) for part in printed.split()) == exact
    if "/" in printed:
        assert printed.split()[-1] == str(exact % 1)


@example(value=1.7e308, case=(Kind.LENGTH, "µm"), step=None)
@example(value=1.7e308, case=(Kind.LENGTH, "µm"), step=1.0)
@example(value=1.7e308, case=(Kind.MASS, "kg"), step=1.0)
@given(
    value=st.floats(allow_nan=True, allow_infinity=True),
    case=strategies.kinds_and_units,
    step=st.one_of(st.none(), st.floats(1e-12, 1e6)),
)
def test_any_float_is_printed_and_zero_has_no_sign(value, case, step):
    kind, unit = case
    printed = number(value, unit, step)
    assert show_both(value, kind, unit, step or 1.0)

    assert "-" not in printed
    assert not (printed.startswith("−") and not printed.strip("−0."))
