"""What every instrument declares: what it can read, how it rounds, how it looks, how it is misread."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable
from dataclasses import dataclass
from typing import overload

import numpy as np

from assessments.engine.errors import OutOfRangeError, UnknownNameError
from assessments.engine.kinds import MM_PER_INCH, Array, Kind, Values

UNIT_MM = {"mm": 1.0, "in": MM_PER_INCH}
"""What one of a face's own units is in mm, for the units that faces are marked in."""


@dataclass(frozen=True, slots=True)
class Face:
    """A drawing of an instrument as it is read.

    svg: one complete ``<svg>`` element, its ids made unique by the caller's ident.
    alt: what a sighted reader sees (which lines, which hand), never the reading itself: the same for
      every reading of one instrument, so that nothing can be learned from it that is asked for.
      A picture that is itself the question need only be described: WCAG 2.2, success criterion 1.1.1, "Test".
    """

    svg: str
    alt: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Misread:
    """A named wrong way of reading one instrument.

    wrong: from the right reading to the wrong numbers this slip can give, inner unit.
    """

    name: str
    says: str
    wrong: Callable[[float], tuple[float, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument(ABC):
    """One instrument of one range. All lengths in mm (inner units of `kind`).

    name: unique, for example ``outside_micrometer_metric_50``; family: the file it comes from.
    unit: the unit its face is marked in, as `quantities` spells it ("mm", "in").
    step: what one reads to. graduation: what one line is worth (larger than step on a vernier).
    """

    name: str
    family: str
    title: str
    unit: str
    step: float
    graduation: float
    low: float
    high: float
    kind: Kind = Kind.LENGTH
    misreads: tuple[Misread, ...] = ()
    oddities: tuple[str, ...] = ()
    """Conditions its face can show besides the reading, for example ``disturbed``."""

    @property
    def unit_mm(self) -> float:
        """What one of the face's own units is in mm."""
        return UNIT_MM[self.unit]

    @overload
    def read(self, true: float) -> float: ...
    @overload
    def read(self, true: Array) -> Array: ...
    @overload
    def read(self, true: Values) -> Values: ...
    def read(self, true: Values) -> Values:
        """The true size as the instrument gives it: to the nearest step.

        Takes a float or an array. Raises OutOfRangeError if any of it is beyond the range, or is no number.
        """
        if isinstance(true, float):
            self.must_reach(true, true)
            return round(true / self.step) * self.step
        if np.size(true):
            self.must_reach(float(np.min(true)), float(np.max(true)))
        return np.rint(true / self.step) * self.step + 0.0  # + 0.0: a dial has one zero, not two

    def must_reach(self, lowest: float, highest: float) -> None:
        """Raises OutOfRangeError unless both sizes (mm) round to a reading within the range."""
        slack = self.step / 2
        for size in (lowest, highest):
            if not self.low - slack < size < self.high + slack:  # so put that NaN is refused too
                raise OutOfRangeError(
                    instrument=self.title,
                    value=size / self.unit_mm,
                    low=self.low / self.unit_mm,
                    high=self.high / self.unit_mm,
                    unit=self.unit,
                )

    def must_show(self, reading: float, oddity: str) -> None:
        """Every face begins with this. Raises OutOfRangeError or, for a condition it cannot show, UnknownNameError."""
        self.must_reach(reading, reading)
        if oddity and oddity not in self.oddities:
            raise UnknownNameError(what=f"condition of {self.name}", name=oddity)

    @abstractmethod
    def face(self, reading: float, *, ident: str, oddity: str = "") -> Face:
        """Draw the face at a reading (mm), exactly there, whether or not it is a whole step.

        ident: unique on the page, prefixes every id. oddity: one of `oddities`, or nothing.
        Drawn for a width of 360 units, so that lettering is never under 12 px on a 390 px screen.
        Raises OutOfRangeError, UnknownNameError.
        """
