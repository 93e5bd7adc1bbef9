from __future__ import annotations

import math
from fractions import Fraction
from itertools import chain

import numpy as np
import pint
import pytest
import scipy.constants
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import UnknownNameError
from assessments.engine.kinds import Kind
from assessments.engine.quantities import read, show, units
from assessments.engine.quantities.units import (
    factor,
    from_inner,
    offset,
    other_unit,
    scale,
    to_inner,
    units_of,
)
from tests import strategies

EVERY_UNIT = [(kind, unit) for kind in Kind for unit in units_of(kind)]
C = scipy.constants


@pytest.fixture(scope="module")
def registry():
    return pint.UnitRegistry()


@pytest.mark.parametrize(
    ("unit", "inner"),
    [
        # scipy.constants (CODATA and exact definitions), in SI; each scaled by hand to the inner unit.
        ("in", C.inch * 1e3),
        ("thou", C.mil * 1e3),
        ("ft", C.foot * 1e3),
        ("µm", C.micron * 1e3),
        ("in²", C.inch**2 * 1e6),
        ("°", C.degree),
        ("psi", C.psi / C.bar),
        ("ksi", 1e3 * C.psi / C.bar),
        ("kPa", C.kilo / C.bar),
        ("MPa", C.mega / C.bar),
        ("lbf", C.lbf),
        ("kgf", C.kgf),
        ("lbf ft", C.lbf * C.foot),
        ("lbf in", C.lbf * C.inch),
        ("lb", C.pound),
        ("oz", C.oz),
        ("oz in", C.oz * C.inch * 1e6),
        ("°F", C.degree_Fahrenheit),
        ("°F difference", C.degree_Fahrenheit),
        ("1/°F", 1 / C.degree_Fahrenheit),
        ("µin/(in·°F)", 1e-6 / C.degree_Fahrenheit),
        ("rev/s", C.minute),
        ("rad/s", C.minute / (2 * C.pi)),
        ("turns", 2 * C.pi),
        # A hexagon has six flats.
        ("flats", C.pi / 3),
        # From memory, after NIST SP 811 appendix B.8: conventional inch of mercury, 3.386 389 kPa.
        ("inHg", 3.386389e-2),
        ("%", 0.01),
    ],
)
def test_units_have_the_size_scipy_gives_them(unit, inner):
    assert factor(unit) == pytest.approx(inner, rel=1e-6 if unit == "inHg" else 1e-14)


def test_a_level_of_temperature_has_its_zero_and_a_difference_has_none():
    # scipy.constants.convert_temperature; a step of 1 °C is one of 1.8 °F.
    assert to_inner(68.0, "°F") == pytest.approx(C.convert_temperature(68.0, "Fahrenheit", "Celsius"), abs=1e-12)
    assert offset("°F") == pytest.approx(C.convert_temperature(0.0, "Fahrenheit", "Celsius"), abs=1e-12)
    assert to_inner(68.0, "°F difference") == pytest.approx(68 / 1.8, abs=1e-12)
    assert [unit for _, unit in EVERY_UNIT if offset(unit)] == ["°F"]


@pytest.mark.parametrize(
    ("unit", "expected"),
    [
        ("in", Fraction("25.4")),
        ("thou", Fraction("0.0254")),
        ("ft", Fraction("304.8")),
        ("lb", Fraction("0.45359237")),
        # One pound (0.45359237 kg) under standard gravity: scipy.constants.g is 9.80665.
        ("lbf", Fraction("0.45359237") * Fraction("9.80665")),
        ("°F difference", Fraction(5, 9)),
    ],
)
def test_defined_units_are_exact(unit, expected):
    assert scale(unit)[0] == expected


@pytest.mark.parametrize(
    ("unit", "theirs", "inner"),
    [
        ("in", "inch", "mm"),
        ("thou", "thou", "mm"),
        ("psi", "psi", "bar"),
        ("inHg", "inHg", "bar"),
        ("lbf ft", "lbf*ft", "N*m"),
        ("oz in", "oz*inch", "g*mm"),
        ("kg mm", "kg*mm", "g*mm"),
        ("°F", "degF", "degC"),
        ("rad/s", "rad/s", "rpm"),
        ("t", "metric_ton", "kg"),
        ("1/°F", "1/delta_degF", "1/kelvin"),
    ],
)
@pytest.mark.parametrize("value", [0.0, 1.0, 68.0])
def test_units_agree_with_pint_in_its_own_floats(registry, unit, theirs, inner, value):
    assert to_inner(value, unit) == pytest.approx(registry.Quantity(value, theirs).to(inner).magnitude, abs=1e-12)


@pytest.mark.parametrize(
    ("inches", "mm"),
    [
        # checks_fits.md section 9 [S]: Bloch & Geitner, vol. 4, p. 388 and 395, to the figures of the book.
        (0.010, 0.254),
        (0.018, 0.4572),
        (0.025, 0.635),
        (1 / 16, 1.5875),
    ],
)
def test_settings_of_the_book_convert_as_its_tables_do(inches, mm):
    assert to_inner(inches, "in") == pytest.approx(mm, abs=1e-12)


def test_expansion_coefficients_convert_as_printed():
    # Callister, table B.6: 1020 steel 11.7 per million and °C, 6.5 per °F; bearing bronze 18.0 and 10.0.
    assert from_inner(11.7e-6, "µin/(in·°F)") == pytest.approx(6.5, abs=0.05)
    assert from_inner(18.0e-6, "µin/(in·°F)") == pytest.approx(10.0, abs=0.05)


@pytest.mark.parametrize(("kind", "unit"), EVERY_UNIT)
def test_the_inner_unit_is_the_first_and_has_size_one(kind, unit):
    assert factor(units_of(kind)[0]) == 1.0
    assert offset(units_of(kind)[0]) == 0.0
    assert math.isfinite(factor(unit))
    assert factor(unit) > 0


def test_a_symbol_means_one_size_only():
    symbols = [unit for _, unit in EVERY_UNIT if unit]

    assert len(symbols) == len(set(symbols))


def test_a_spelling_means_one_unit_of_a_kind():
    for rows in units._UNITS.values():
        spellings = list(
            chain.from_iterable(
                {units.normal(word) for word in [row.symbol, *row.spellings.split(", ")]} for row in rows
            )
        )
        words = [word for word in spellings if word]
        assert len(words) == len(set(words)), sorted(word for word in words if words.count(word) > 1)


@pytest.mark.parametrize(("kind", "unit"), EVERY_UNIT)
def test_the_other_unit_is_of_the_same_kind_and_comes_back(kind, unit):
    other = other_unit(unit)

    assert other is None or (other in units_of(kind) and other != unit and other_unit(other) in units_of(kind))


def test_the_usual_pairs():
    assert (other_unit("mm"), other_unit("in"), other_unit("thou")) == ("in", "mm", "mm")
    assert (other_unit("°C"), other_unit("N m"), other_unit("oz in")) == ("°F", "lbf ft", "g mm")
    assert other_unit("rpm") is None
    assert other_unit("") is None


def test_a_unit_nobody_has_is_refused():
    for ask in (factor, offset, other_unit):
        with pytest.raises(UnknownNameError, match="'furlong'"):
            ask("furlong")
    with pytest.raises(UnknownNameError, match="unit of length"):
        units.check_unit(Kind.LENGTH, "rpm")


@given(case=strategies.kinds_and_units, values=st.lists(st.floats(-1e6, 1e6), max_size=5))
def test_arrays_and_floats_convert_alike_and_come_back(case, values):
    _, unit = case
    inner = to_inner(np.array(values), unit)

    assert inner.tolist() == [to_inner(value, unit) for value in values]
    assert from_inner(inner, unit) == pytest.approx(np.array(values), rel=1e-12, abs=1e-9)


def test_pint_is_asked_at_start_up_and_never_again(monkeypatch):
    def asked(*_, **__):
        raise AssertionError

    assert not any(isinstance(held, pint.UnitRegistry) for held in vars(units).values())
    monkeypatch.setattr(pint, "UnitRegistry", asked)
    for kind, unit in EVERY_UNIT:
        read("1", kind, unit)
        show(1.0, unit)
        to_inner(1.0, unit)
