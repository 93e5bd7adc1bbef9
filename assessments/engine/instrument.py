"""What every instrument declares: what it can read, how it rounds, how it looks, how it is misread."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from assessments.engine.errors import OutOfRangeError
from assessments.engine.kinds import Kind, Values


@dataclass(frozen=True, slots=True)
class Face:
    """A drawing of an instrument as it is read.

    svg: one complete ``<svg>`` element, its ids made unique by the caller's ident.
    alt: what a sighted reader sees (which lines, which hand), never the reading itself.
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

    def read(self, true: Values) -> Values:
        """The true size as the instrument gives it: to the nearest step.

        Takes a float or an array. Raises OutOfRangeError if any of it is beyond the range.
        """
        lowest, highest = (true, true) if isinstance(true, float) else (float(np.min(true)), float(np.max(true)))
        slack = self.step / 2
        if not (lowest >= self.low - slack and highest <= self.high + slack):
            beyond = lowest if not lowest >= self.low - slack else highest
            raise OutOfRangeError(
                instrument=self.title, value=beyond, low=self.low, high=self.high, unit="(inner unit)"
            )
        if isinstance(true, float):
            return round(true / self.step) * self.step
        return np.rint(true / self.step) * self.step

    @abstractmethod
    def face(self, reading: float, *, ident: str, oddity: str = "") -> Face:
        """Draw the face at a reading.

        ident: unique on the page, prefixes every id. oddity: one of `oddities`, or nothing.
        Drawn for a width of 360 units, so that lettering is never under 12 px on a 390 px screen.
        """
