"""The closed table of units, and the size of each.

pint gives the sizes, once each and as exact fractions; it never sees what people type. This is the
only file that imports it. The same word can be a unit of two kinds (lb, °C): a kind is always asked for.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple, TypeVar

import pint

from assessments.engine.errors import UnknownNameError
from assessments.engine.kinds import Array, Kind

T = TypeVar("T", float, Array)
Row = TypeVar("Row")


class _Unit(NamedTuple):
    """One row of the table. other: the same thing in the other system. many: so many of pint's unit."""

    symbol: str
    pint: str
    other: str = ""
    spellings: str = ""
    many: int = 1


_PLAIN = _Unit("", "dimensionless")
_UNITS: dict[Kind, tuple[_Unit, ...]] = {
    Kind.LENGTH: (
        _Unit("mm", "mm", "in", "millimetre, millimetres, millimeter, millimeters, mms"),
        _Unit("µm", "micrometer", "thou", "u, micron, microns, micrometre, micrometres, micrometer, micrometers"),
        _Unit("cm", "cm", "in", "centimetre, centimetres, centimeter, centimeters"),
        _Unit("m", "m", "ft", "metre, metres, meter, meters"),
        _Unit("in", "inch", "mm", "inch, inches, ins, \", '', ″, ′′, ”, “, ’’"),
        _Unit("thou", "thou", "mm", "thous, mil, mils, thousandth, thousandths"),
        _Unit("ft", "foot", "m", "foot, feet, ', ′, ’"),
    ),
    Kind.AREA: (
        _Unit("mm²", "mm**2", "in²", "sq mm, square millimetres, square mm"),
        _Unit("cm²", "cm**2", "in²", "sq cm, square centimetres, square cm"),
        _Unit("in²", "inch**2", "mm²", "sq in, square inches, square in"),
    ),
    Kind.ANGLE: (
        _Unit("rad", "radian", "", "radian, radians"),
        _Unit("°", "degree", "", "deg, degs, degree, degrees"),
        _Unit("mrad", "milliradian", "", "milliradian, milliradians"),
        # Slopes count as small angles: up to 50 mm/m that is true within 0.1 % (tangent against arc).
        _Unit("mm/m", "mm/m", "thou/in"),
        _Unit("thou/in", "thou/inch", "mm/m", 'mil/in, mils/in, thou/inch, mil/inch, mils/inch, thou/"'),
        _Unit("turns", "turn", "", "turn, rev, revs, revolution, revolutions"),
        _Unit("flats", "degree", "", "flat", many=60),  # of a hexagon nut
    ),
    Kind.SPEED: (
        _Unit("rpm", "revolution/minute", "", "1/min, /min, min-1, r/min, rev/min, revs/min, r p m"),
        _Unit("rev/s", "revolution/second", "", "1/s, /s, s-1, r/s, rps, revs/s"),
        _Unit("rad/s", "radian/second"),
    ),
    Kind.TEMPERATURE: (
        _Unit("°C", "degC", "°F", "c, deg c, degs c, degree c, degrees c, celsius, degrees celsius"),
        _Unit("°F", "degF", "°C", "f, deg f, degs f, degree f, degrees f, fahrenheit, degrees fahrenheit"),
    ),
    Kind.TEMPERATURE_STEP: (
        _Unit("°C difference", "delta_degC", "°F difference", "°c, c, deg c, degrees c, c°, celsius, degrees celsius"),
        _Unit("K", "kelvin", "°F difference", "kelvin, kelvins"),
        _Unit(
            "°F difference",
            "delta_degF",
            "°C difference",
            "°f, f, deg f, degrees f, f°, fahrenheit, degrees fahrenheit",
        ),
    ),
    Kind.PRESSURE: (
        _Unit("bar", "bar", "psi", "bars"),
        _Unit("mbar", "millibar", "inHg", "millibar, millibars"),
        _Unit("Pa", "pascal", "psi"),
        _Unit("kPa", "kilopascal", "psi"),
        _Unit("MPa", "megapascal", "psi", "n/mm2"),
        _Unit("psi", "psi", "bar", "lbf/in2, lb/in2, lb/sq in, lbf/sq in"),
        _Unit("ksi", "ksi", "MPa"),
        _Unit("inHg", "inHg", "mbar", "in hg"),
    ),
    Kind.FORCE: (
        _Unit("N", "newton", "lbf", "newton, newtons"),
        _Unit("daN", "decanewton", "lbf"),
        _Unit("kN", "kilonewton", "lbf", "kilonewton, kilonewtons"),
        _Unit("kgf", "kilogram_force", "lbf"),
        _Unit("lbf", "pound_force", "N", "lb, lbs, lbsf, pound, pounds, pounds force"),
    ),
    Kind.TORQUE: (
        _Unit("N m", "newton*meter", "lbf ft", "nm, newton metre, newton metres, newton meters"),
        _Unit("kgf m", "kilogram_force*meter", "lbf ft", "kgfm"),
        _Unit("lbf ft", "pound_force*foot", "N m", "ft lbf, lb ft, lbs ft, ft lb, ft lbs, foot pound, foot pounds"),
        _Unit("lbf in", "pound_force*inch", "N m", "in lbf, lb in, lbs in, in lb, in lbs, inch pound, inch pounds"),
    ),
    Kind.MASS: (
        _Unit("kg", "kilogram", "lb", "kgs, kilogram, kilograms, kilo, kilos"),
        _Unit("g", "gram", "oz", "gram, grams"),
        _Unit("t", "metric_ton", "lb", "tonne, tonnes"),
        _Unit("lb", "pound", "kg", "lbs, pound, pounds"),
        _Unit("oz", "ounce", "g", "ounce, ounces"),
    ),
    Kind.UNBALANCE: (
        _Unit("g mm", "gram*mm", "oz in", "gmm, gram mm"),
        _Unit("kg mm", "kilogram*mm", "oz in", "kgmm"),
        _Unit("oz in", "ounce*inch", "g mm", "in oz, ounce in, ounce inches"),
    ),
    Kind.EXPANSION: (
        _Unit("1/K", "1/kelvin", "1/°F", "/k, k-1, 1/°c, /°c, 1/c, /c, mm/mm/k, mm/mm/°c, mm/mm/c"),
        _Unit("µm/(m·K)", "micrometer/meter/kelvin", "µin/(in·°F)", "um/m/k, um/m/°c, um/m/c, um/(m °c), um/m k"),
        _Unit("1/°F", "1/delta_degF", "1/K", "/°f, 1/f, /f, in/in/°f, in/in/f, in/(in °f)"),
        _Unit("µin/(in·°F)", "microinch/inch/delta_degF", "µm/(m·K)", "uin/in/°f, uin/in/f"),
        _Unit("thou/(in·°F)", "thou/inch/delta_degF", "µm/(m·K)", "thou/in/°f, thou/in/f, mil/in/°f, mil/in/f"),
    ),
    Kind.RATIO: (_PLAIN, _Unit("%", "percent", "", "percent, per cent, pct")),
    Kind.COUNT: (_PLAIN,),
}
_INNER = {kind: units[0].pint for kind, units in _UNITS.items()}
_BY_SYMBOL = {unit.symbol: (kind, unit) for kind, units in _UNITS.items() for unit in units}


def normal(spelling: str) -> str:
    """One spelling for all ways of writing the same unit: small letters, one space, no dots and hyphens."""
    small = spelling.strip().lower().replace("μ", "u").replace("µ", "u").replace("^", "").replace("²", "2")
    small = small.replace("º", "°").replace("˚", "°").replace("℃", "°c").replace("℉", "°f").replace("⁻¹", "-1")
    small = re.sub(r"(?<=[a-z])[-.·⋅∙*](?=[a-z°])", " ", small)
    small = re.sub(r"(?<=[a-z])\.$", "", small)
    return re.sub(r" +", " ", re.sub(r" *([/°]) *", r"\1", small))


SPELLED: dict[Kind, dict[str, str]] = {
    kind: {
        normal(spelling): unit.symbol
        for unit in units
        for spelling in (unit.symbol, *unit.spellings.split(", "))
        if spelling
    }
    for kind, units in _UNITS.items()
}


def is_spelling(text: str) -> bool:
    """True if the text is a unit of any kind, and nothing else."""
    spelling = normal(text)
    return any(spelling in spelled for spelled in SPELLED.values())


def _sizes() -> dict[str, tuple[Fraction, Fraction]]:
    """(factor, offset) of each unit, exact: inner = factor * value + offset."""
    registry: pint.UnitRegistry[Fraction] = pint.UnitRegistry(non_int_type=Fraction)

    def inner(kind: Kind, unit: _Unit, many: int) -> Fraction:
        return Fraction(registry.Quantity(Fraction(many), unit.pint).to(_INNER[kind]).magnitude)

    return {
        symbol: (inner(kind, unit, unit.many) - inner(kind, unit, 0), inner(kind, unit, 0))
        for symbol, (kind, unit) in _BY_SYMBOL.items()
    }


# Asked once, at start-up: the first person to type something does not wait for it.
_EXACT = _sizes()
_FLOATS = {symbol: (float(size), float(shift)) for symbol, (size, shift) in _EXACT.items()}


def scale(unit: str) -> tuple[Fraction, Fraction]:
    """(factor, offset), exact. Raises UnknownNameError."""
    return _known(_EXACT, unit)


def _floats(unit: str) -> tuple[float, float]:
    return _known(_FLOATS, unit)


def _known(rows: Mapping[str, Row], unit: str) -> Row:
    try:
        return rows[unit]
    except KeyError:
        raise UnknownNameError(what="unit", name=unit) from None


def check_unit(kind: Kind, unit: str) -> None:
    if unit not in units_of(kind):
        raise UnknownNameError(what=f"unit of {kind.value}", name=unit)


def units_of(kind: Kind) -> tuple[str, ...]:
    """The symbols of the units of a kind, the inner unit first. A plain number has the symbol ``""``."""
    return tuple(unit.symbol for unit in _UNITS[kind])


def other_unit(unit: str) -> str | None:
    """The usual unit of the other system (mm for in, in for mm); None where both systems share one."""
    return _known(_BY_SYMBOL, unit)[1].other or None


def factor(unit: str) -> float:
    """Inner units in one of this unit."""
    return _floats(unit)[0]


def offset(unit: str) -> float:
    """What zero of this unit is in the inner unit: 0 for all but levels of temperature."""
    return _floats(unit)[1]


def to_inner(value: T, unit: str) -> T:
    """A float or an array in `unit`, to the inner unit. Raises UnknownNameError."""
    size, shift = _floats(unit)
    return value * size + shift


def from_inner(value: T, unit: str) -> T:
    """A float or an array in the inner unit, to `unit`. Raises UnknownNameError."""
    size, shift = _floats(unit)
    return (value - shift) / size
