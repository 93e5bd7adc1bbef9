"""Typed text to numbers and back: the site's only reader and printer of quantities.

What is typed is split into number and unit by our own grammar (`reading`), and the unit is looked up
in a closed table (`units`). pint only gives the size of each unit in the table: reading shop notation,
it takes ``2 1/2 thou`` for 1.0 thou, ``0,06 mm`` for 0 and ``mil`` for an angle.
"""

from __future__ import annotations

from assessments.engine.quantities.echo import understood
from assessments.engine.quantities.printing import NO_NUMBER, number, show, show_both, show_fraction
from assessments.engine.quantities.reading import LONGEST, Typed, read
from assessments.engine.quantities.units import factor, from_inner, offset, other_unit, to_inner, units_of

__all__ = [
    "LONGEST",
    "NO_NUMBER",
    "Typed",
    "factor",
    "from_inner",
    "number",
    "offset",
    "other_unit",
    "read",
    "show",
    "show_both",
    "show_fraction",
    "to_inner",
    "understood",
    "units_of",
]
