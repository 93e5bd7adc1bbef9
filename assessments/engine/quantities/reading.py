"""Typed text to numbers.

The grammar, spaces free where shown::

    quantity = [sign] number [unit]             at most 40 characters; no unit: the field's own
    number   = decimal | fraction | whole fraction | whole-fraction
    decimal  = 0.06 | .06 | 0,06 | 6e-2 | 6 x 10^-2     at most 15 digits, power at most 12
    fraction = 1/16 | ½                         after a whole number it is less than one

- A comma is a decimal comma, a point a decimal point. Both in one number, or two of either, is
  unclear and refused. So is a comma before exactly three digits (``3,600 rpm``) in the kinds where
  thousands are usual; a length ``1,234 mm`` is 1.234 mm.
- A fraction without a unit is read in inch fields only: in a metric one it is unclear, and refused.
- Digits side by side (``1 234``) are two numbers, ``1 ft 2 in`` two quantities: refused.
- Capitals do not matter, a mil is a thou, and ``lb`` is a force where a force is asked for.
- A temperature (level) and a temperature difference are different kinds with units of different names.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from assessments.engine.errors import UnreadableQuantityError
from assessments.engine.kinds import Kind
from assessments.engine.quantities.printing import mixed, show
from assessments.engine.quantities.units import SPELLED, check_unit, is_spelling, normal, scale

LONGEST = 40
"""Characters of one typed quantity."""

_A_KIND = {kind: f"{'an' if kind.value[0] in 'aeu' else 'a'} {kind.value}" for kind in Kind}
_HINTS = {
    Kind.LENGTH: "Write it like 0.06 mm, 2.5 thou or 1/16 in.",
    Kind.AREA: "Write it like 84.3 mm² or 0.142 in².",
    Kind.ANGLE: "Write it like 30°, 0.2 mm/m or 3 flats.",
    Kind.SPEED: "Write it like 3600 rpm.",
    Kind.TEMPERATURE: "Write it like 20 °C or 68 °F.",
    Kind.TEMPERATURE_STEP: "Write it like 180 °C, 180 K or 324 °F.",
    Kind.PRESSURE: "Write it like 10.5 bar, 1050 kPa or 150 psi.",
    Kind.FORCE: "Write it like 36.7 kN or 8250 lbf.",
    Kind.TORQUE: "Write it like 88 N m or 65 lbf ft.",
    Kind.MASS: "Write it like 50 kg or 110 lb.",
    Kind.UNBALANCE: "Write it like 330 g mm or 0.46 oz in.",
    Kind.EXPANSION: "Write it like 11.7e-6 1/K, 11.7 µm/(m·K) or 6.5e-6 1/°F.",
    Kind.RATIO: "Write it like 0.04 or 4 %.",
    Kind.COUNT: "Write it like 8.",
}

_DEGREES = dict.fromkeys(("°", "deg", "degs", "degree", "degrees"), "Degrees of which scale? It can be °C or °F.")
_TONS = dict.fromkeys(("ton", "tons"), "A ton can be three different weights.")
_GAUGED = dict.fromkeys(
    ("psig", "psia", "barg", "bara", "bar g", "bar a", "psi g", "psi a"),
    "Whether it counts from the atmosphere or from nothing is fixed by the field, not by the unit.",
)
_UNCLEAR = {
    Kind.LENGTH: dict.fromkeys(("tenth", "tenths"), "A tenth can be of a millimetre or of a thou."),
    Kind.TEMPERATURE: _DEGREES,
    Kind.TEMPERATURE_STEP: _DEGREES,
    Kind.PRESSURE: _GAUGED,
    Kind.FORCE: _TONS,
    Kind.MASS: _TONS,
}
_THOUSANDS_USUAL = frozenset(
    {Kind.SPEED, Kind.PRESSURE, Kind.FORCE, Kind.TORQUE, Kind.MASS, Kind.UNBALANCE, Kind.COUNT}
)
_METRIC_LENGTHS = frozenset({"mm", "µm", "cm", "m"})
_COLDEST = -273.15
"""°C: the zero of the kelvin scale."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """A quantity as it was understood.

    value: in the inner unit of the kind. unit: the symbol of the unit typed, or of the field's own.
    text: as typed. is_fraction: typed with a fraction bar.
    """

    value: float
    kind: Kind
    unit: str
    text: str
    is_fraction: bool


_SPACES = dict.fromkeys(
    map(ord, "\t\u00a0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f"), " "
)
_SLASHES = {ord("⁄"): "/", ord("∕"): "/"}
_BUILT_UP = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻", "0123456789+-")
_NUMBER = re.compile(
    r"""
    (?P<sign>[-+−–‑‐]?)[ ]*
    (?:
        (?:(?P<whole>[0-9]+)(?:[ ]+|[-‑‐]))?(?P<top>[0-9]+)[ ]*/[ ]*(?P<bottom>[0-9]+)
        |
        (?P<figures>[0-9]+(?:\.[0-9]*|,[0-9]+)?|[.,][0-9]+)
        (?:[eE](?P<power>[-+−]?[0-9]+)|[ ]*[xX×*·][ ]*10\^(?P<tens>[-+−]?[0-9]+))?
    )
    (?P<unit>.*)
    """,
    re.VERBOSE | re.DOTALL,
)
_MOST_DIGITS = 15
_MOST_POWER = 12


class Number(NamedTuple):
    """places: decimals as typed, for a decimal."""

    value: Fraction
    places: int
    is_fraction: bool
    unit: str


class _RefusedError(ValueError):
    """Why text is no number; `read` turns it into the error people see. hint: instead of the usual one of the kind."""

    def __init__(self, reason: str, hint: str = "") -> None:
        super().__init__(reason)
        self.hint = hint


def read(text: str, kind: Kind, default_unit: str, *, least: float | None = None) -> Typed:
    """What was typed, as a number of the kind asked for.

    default_unit: the field's own unit, taken when none is typed. least: the smallest value, in the
    inner unit, that there can be. The value returned is finite, and the float nearest to what was typed.
    Raises UnreadableQuantityError, with a reason and a hint, for anything else than a quantity of the kind,
    and UnknownNameError when default_unit is no unit of the kind, whatever was typed.
    """
    check_unit(kind, default_unit)
    try:
        number = split(text, kind)
        unit = _find(number.unit, kind) if number.unit else _own(number, default_unit)
        size, shift = scale(unit)
        value = float(number.value * size + shift)
        _bound(number.value, value, kind, unit, least)
    except _RefusedError as refused:
        start = text if len(text) <= LONGEST else text[:LONGEST] + "…"
        raise UnreadableQuantityError(text=start, reason=str(refused), hint=refused.hint or _HINTS[kind]) from None
    return Typed(value=value, kind=kind, unit=unit, text=text, is_fraction=number.is_fraction)


def _bound(number: Fraction, value: float, kind: Kind, unit: str, least: float | None) -> None:
    if kind is Kind.COUNT and number.denominator != 1:
        raise _RefusedError("A whole number is asked for here.")
    if kind is Kind.TEMPERATURE and value < _COLDEST:
        raise _RefusedError("Nothing can be as cold as that.")
    if least is not None and value < least:
        raise _RefusedError(f"It cannot be less than {show(least, unit)} here.")


def split(text: str, kind: Kind) -> Number:
    """Number and what follows it. Raises _RefusedError."""
    if len(text) > LONGEST:
        raise _RefusedError(f"That is too long: one quantity takes at most {LONGEST} characters.")
    plain = _plain(text)
    if not plain:
        raise _RefusedError("Nothing was typed.")
    match = _NUMBER.fullmatch(plain)
    if match is None or is_spelling(plain):  # 1/min begins like a number
        raise _RefusedError(_why_no_number(plain))
    unit = match["unit"].strip()
    if re.search(r"[0-9][.,][0-9]*[.,][0-9]", plain):
        raise _RefusedError("It is unclear which point or comma is the decimal one: write no separators of thousands.")
    if re.search("[0-9]", unit) and not is_spelling(unit):
        raise _RefusedError("There is more in it than one number and one unit: a single quantity is asked for.")
    sign = -1 if match["sign"] not in {"", "+"} else 1
    if match["figures"] is None:
        return Number(sign * _fraction(match), 0, is_fraction=True, unit=unit)
    value, places = _decimal(match, kind)
    return Number(sign * value, places, is_fraction=False, unit=unit)


def _plain(text: str) -> str:
    """Spaces, slashes, built-up fractions and raised digits as the grammar wants them."""
    plain = re.sub("[⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻]+", lambda raised: "^" + raised[0].translate(_RAISED), text)
    # Set apart, so that 1½ is one and a half and ½5 is nothing.
    plain = re.sub(f"[{_BUILT_UP}]", lambda built: f" {unicodedata.normalize('NFKC', built[0])} ", plain)
    return plain.translate(_SPACES).translate(_SLASHES).strip()


def _why_no_number(plain: str) -> str:
    if any(letter.isdigit() and letter not in "0123456789" for letter in plain):
        return "Only the plain digits 0 to 9 are read."
    if is_spelling(plain):
        return "There is a unit in it, but no number."
    if any(letter.isdigit() for letter in plain):
        return "It does not begin with a number."
    return "There is no number in it."


def _fraction(match: re.Match[str]) -> Fraction:
    whole, top, bottom = (int(match[part] or 0) for part in ("whole", "top", "bottom"))
    if sum(len(match[part] or "") for part in ("whole", "top", "bottom")) > _MOST_DIGITS:
        raise _RefusedError("There are too many digits in it.")
    if bottom == 0:
        raise _RefusedError("Nothing can be divided by 0.")
    if match["whole"] and top >= bottom:
        raise _RefusedError("After a whole number the fraction has to be less than one.")
    return whole + Fraction(top, bottom)


def _decimal(match: re.Match[str], kind: Kind) -> tuple[Fraction, int]:
    """Value and decimals."""
    figures, power = match["figures"], match["power"] or match["tens"]
    if kind in _THOUSANDS_USUAL and power is None and re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", figures):
        whole, decimals = figures.split(",")
        raise _RefusedError(f"{figures} can be read in two ways: write {whole}{decimals} or {whole}.{decimals}.")
    figures = figures.replace(",", ".")
    if len(figures.replace(".", "")) > _MOST_DIGITS:
        raise _RefusedError("There are too many digits in it.")
    tens = int((power or "0").replace("−", "-"))
    if abs(tens) > _MOST_POWER:
        raise _RefusedError("The power of ten is too large to be meant.")
    places = len(figures.partition(".")[2]) - tens
    return Fraction(figures) * Fraction(10) ** tens, max(0, places)


def _own(number: Number, default_unit: str) -> str:
    """The field's own unit, for a number without one. A bare fraction surely means inches, and no metric field takes it."""
    if number.is_fraction and default_unit in _METRIC_LENGTHS:
        typed = mixed(number.value)
        raise _RefusedError(
            f"{typed} without a unit is unclear here.", f"Write {typed} in, or the decimal in {default_unit}."
        )
    return default_unit


def _find(typed: str, kind: Kind) -> str:
    """The symbol of a typed unit. Raises _RefusedError."""
    spelling = normal(typed)
    if spelling in SPELLED[kind]:
        return SPELLED[kind][spelling]
    if spelling in _UNCLEAR.get(kind, {}):
        raise _RefusedError(_UNCLEAR[kind][spelling])
    for other, spelled in SPELLED.items():
        if spelling in spelled:
            raise _RefusedError(f"{spelled[spelling]} measures {other.value}; {_A_KIND[kind]} is asked for here.")
    shown = "".join(letter for letter in typed if letter.isprintable())
    raise _RefusedError(f"“{shown}” is no unit known here.")
