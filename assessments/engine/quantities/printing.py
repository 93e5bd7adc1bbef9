"""Numbers to text.

Decimals come from a step; halves are rounded away from zero, as on paper; minus is a true minus
sign, and never stands before zero.
"""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction

from assessments.engine.kinds import MM_PER_INCH, Kind
from assessments.engine.quantities.units import check_unit, factor, from_inner, other_unit

NO_NUMBER = "no number"
"""Printed for a value that is not finite in the unit asked for."""

_WIDE = Context(prec=2000)
_DIGITS_WITHOUT_STEP = 6


def number(value: float, unit: str, step: float | None = None) -> str:
    """The bare number in `unit`, for tables: with the decimals of the step, or six figures without one.

    value and step (above 0) are in the inner unit. Halves are rounded away from zero, as on paper.
    """
    inside = from_inner(float(value), unit)
    if not math.isfinite(inside):
        return NO_NUMBER
    if step is None:
        size = math.floor(math.log10(abs(inside))) if inside else 0
        places = max(0, _DIGITS_WITHOUT_STEP - 1 - size)
        figures = _figures(inside, places)
        return figures.rstrip("0").rstrip(".") if places else figures
    return _figures(inside, _places(step / factor(unit)))


def show(value: float, unit: str, step: float | None = None) -> str:
    """A quantity with its unit: ``0.113 mm``. value and step as for `number`."""
    return with_unit(number(value, unit, step), unit)


def show_both(value: float, kind: Kind, unit: str, step: float) -> str:
    """In both systems: ``0.110 mm (0.0043 in)``; once where they share the unit.

    The other system gets the decimals whose step is nearest to the one given, as shops pair 0.001 mm
    with 0.0001 in. Raises UnknownNameError when the unit is not of the kind.
    """
    check_unit(kind, unit)
    return and_other(show(value, unit, step), value, unit, step)


def show_fraction(value_mm: float, denominator: int = 64) -> str:
    """A length to the nearest fraction of an inch, reduced: ``1 3/64 in``."""
    if not math.isfinite(value_mm):
        return NO_NUMBER
    parts = math.floor(abs(value_mm) / MM_PER_INCH * denominator + 0.5)
    return with_unit(mixed(Fraction(int(math.copysign(parts, value_mm)), denominator)), "in")


def and_other(first: str, value: float, unit: str, step: float) -> str:
    other = other_unit(unit)
    if other is None or not math.isfinite(inside := from_inner(float(value), other)):
        return first
    places = max(0, round(-math.log10(step / factor(other))))
    return f"{first} ({with_unit(_figures(inside, places), other)})"


def with_unit(figures: str, unit: str) -> str:
    if not unit or figures == NO_NUMBER:
        return figures
    return f"{figures}°" if unit == "°" else f"{figures} {unit}"


def _places(step: float) -> int:
    """Decimals that write the step itself, if four more than its size needs are enough; else its size's."""
    # Two parts in a hundred of leave: a step of 1.3558 N m is meant as one lbf ft.
    enough = max(0, math.ceil(-math.log10(step) - 0.01))
    for places in range(enough, enough + 5):
        scaled = step * 10.0**places
        if abs(scaled - round(scaled)) < 1e-6:
            return places
    return enough


def _figures(value: float, places: int) -> str:
    # Fourteen figures first: a float of 0.125 thou may lie a hair under the half it stands for.
    exact = Decimal(f"{value:.14g}")
    return signed(f"{exact.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP, _WIDE):f}")


def signed(figures: str) -> str:
    """With a true minus sign, and none before zero."""
    return figures.replace("-", "−" if figures.strip("-0.") else "")


def mixed(exact: Fraction) -> str:
    """Whole number and fraction, reduced."""
    whole, top = divmod(abs(exact.numerator), exact.denominator)
    part = f"{top}/{exact.denominator}" if top else ""
    sign = "−" if exact < 0 else ""
    return sign + (f"{whole} {part}".strip() if whole else part or "0")
