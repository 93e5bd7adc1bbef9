"""What every instrument declares: what it can read, how it rounds, how it looks, how it is misread."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable
from dataclasses import dataclass
from typing import overload

import numpy as np

from assessments.engine.errors import OutOfRangeError, UnknownNameError
from assessments.engine.face_units import FACE_UNITS
from assessments.engine.kinds import Array, Kind, Values


@dataclass(frozen=True, slots=True)
class Face:
    """A drawing of an instrument as it is read.

    svg: one complete ``<svg>`` element, its ids made unique by the caller's ident.
    alt: what a sighted reader sees (which lines, which hand), never the reading itself: the same for
      every reading of one instrument, so that nothing can be learned from it that is asked for.
      A picture that is itself the question need only be described: WCAG 2.2, success criterion 1.1.1, "Test".
      An instrument that is told (see `Instrument.is_told`) is the exception: its words give the figure.
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
    """One instrument of one range. step, graduation, low, high and every reading are in the inner unit of `kind`.

    name: unique, for example ``outside_micrometer_metric_50``; family: the file it comes from.
    unit: the unit its face is marked in, as `quantities` spells it ("mm", "in", "rpm"): one of `FACE_UNITS`.
    step: what one reads to, counted from the inner unit's own nought. graduation: what one line is worth (larger
      than step on a vernier).
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
    is_told: bool = False
    """True where reading it is no skill of the trade (a figure written down): then its words give the figure too."""

    @property
    def unit_size(self) -> float:
        """What one of the face's own units is in the inner unit."""
        return FACE_UNITS[self.unit].size

    def in_unit(self, size: float) -> float:
        """A size in the inner unit, as a number of the face's own unit: 100 °C is 212 on a face in °F."""
        unit = FACE_UNITS[self.unit]
        return (size - unit.zero) / unit.size

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
        """Raises OutOfRangeError unless both sizes (inner unit) round to a reading within the range."""
        slack = self.step / 2
        for size in (lowest, highest):
            if not self.low - slack < size < self.high + slack:  # so put that NaN is refused too
                raise OutOfRangeError(
                    instrument=self.title,
                    value=self.in_unit(size),
                    low=self.in_unit(self.low),
                    high=self.in_unit(self.high),
                    unit=self.unit,
                )

    def must_show(self, reading: float, oddity: str) -> None:
        """Every face begins with this. Raises OutOfRangeError or, for a condition it cannot show, UnknownNameError."""
        self.must_reach(reading, reading)
        if oddity and oddity not in self.oddities:
            raise UnknownNameError(what=f"condition of {self.name}", name=oddity)

    @abstractmethod
    def face(self, reading: float, *, ident: str, oddity: str = "") -> Face:
        """Draw the face at a reading (inner unit), exactly there, whether or not it is a whole step.

        ident: unique on the page, prefixes every id. oddity: one of `oddities`, or nothing.
        Drawn for a width of 360 units, so that lettering is never under 12 px on a 390 px screen.
        Raises OutOfRangeError, UnknownNameError.
        """
