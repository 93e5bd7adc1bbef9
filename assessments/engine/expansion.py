"""How much materials grow with heat: figures from published tables, and the traps of degrees.

A level of temperature and a difference of two levels are not the same kind of number: a level in Fahrenheit is
converted with the 32, a difference without it.

Callister, Materials Science and Engineering, table B.6, prints each coefficient at room temperature both per degree
Celsius and per degree Fahrenheit; where a table printed only the second, that is converted here. A sheet's own figure
always goes before these: alloys of one name differ, and what a table calls stainless may be another steel than yours
(alignment tables print 7.4e-6 per degree Fahrenheit, which is not 304).
"""

from __future__ import annotations

from dataclasses import dataclass

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.method import Numbers

FAHRENHEIT = 5 / 9
"""A difference of one degree Fahrenheit in K."""
THIRTY_TWO = 32 * FAHRENHEIT
"""How far (K) a difference goes astray when it is converted as if it were a level: with the 32."""

LEAST = 0.5e-6
GREATEST = 50e-6
"""What no part of a machine lies beyond, 1/K: under graphite, over lead alloys."""

_CALLISTER = "Callister, Materials Science and Engineering, table B.6"
_SELECTOR = "a materials selector's expansion table"


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A linear coefficient near room temperature, 1/K; low and high are the same where the table gives one figure.

    printed: the same per degree Fahrenheit, millionths, as the table prints it, low and high.
    """

    title: str
    low: float
    high: float
    printed: tuple[float, float]
    source: str

    @property
    def middle(self) -> float:
        return (self.low + self.high) / 2


def _both(title: str, celsius: tuple[float, float], fahrenheit: tuple[float, float]) -> Material:
    """Millionths per degree, as Callister prints them in both scales."""
    low, high = celsius
    return Material(title=title, low=low * 1e-6, high=high * 1e-6, printed=fahrenheit, source=_CALLISTER)


def _one(title: str, celsius: float, fahrenheit: float) -> Material:
    return _both(title, (celsius, celsius), (fahrenheit, fahrenheit))


def _fahrenheit(title: str, low: float, high: float) -> Material:
    """Millionths per degree Fahrenheit, the only scale this table has."""
    return Material(
        title=title, low=low * 1e-6 / FAHRENHEIT, high=high * 1e-6 / FAHRENHEIT, printed=(low, high), source=_SELECTOR
    )


MATERIALS: dict[str, Material] = {
    "steel_1020": _one("Steel 1020", 11.7, 6.5),
    "steel_1040": _one("Steel 1040", 11.3, 6.3),
    "steel_4140": _one("Steel 4140", 12.3, 6.8),
    "stainless_304": _one("Stainless steel 304", 17.2, 9.6),
    "stainless_316": _one("Stainless steel 316", 15.9, 8.8),
    "stainless_405": _one("Stainless steel 405", 10.8, 6.0),
    "stainless_440a": _one("Stainless steel 440A", 10.2, 5.7),
    "grey_iron": _one("Grey cast iron", 11.4, 6.3),
    "bearing_bronze": _one("Bearing bronze C93200", 18.0, 10.0),
    "graphite_isostatic": _both("Graphite, isostatically moulded", (2.2, 6.0), (1.2, 3.3)),
    "stainless_martensitic": _fahrenheit("Martensitic stainless steels", 5.5, 6.5),
    "tin_babbitt": _fahrenheit("Tin alloys, as in white metal", 13.0, 13.0),
    "lead_alloys": _fahrenheit("Lead alloys", 14.4, 16.3),
}


def need_expansions(numbers: Numbers) -> None:
    """Raises ImpossibleReadingError unless each is a coefficient (1/K) that a part of a machine can have. Floats."""
    for name, value in numbers.items():
        if not LEAST <= float(value) <= GREATEST:  # also refuses what is not a number
            raise ImpossibleReadingError(
                name=name,
                value=float(value),
                reason="No part here grows so little or so much with heat: look at the unit of the coefficient.",
            )
