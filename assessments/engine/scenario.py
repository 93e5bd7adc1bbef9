"""A scenario: a method on one machine's sheet, with instruments, a spread of cases, and what is asked."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from assessments.engine.errors import BadScenarioError, ImpossibleReadingError
from assessments.engine.instrument import Instrument
from assessments.engine.method import Band, Method
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict


class Carry(StrEnum):
    """How the tolerances of readings add up in a result."""

    WORST_CASE = "worst case"  # all of them at once, each the bad way
    ROOT_SUM_SQUARE = "root sum square"  # independent of one another: JCGM 100:2008, 5.1.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """One revision of a scenario. Together with a seed it decides a draw.

    name: of this very revision, for ever; it seeds the stream.
    dims: inner units. limits: by the method's limit names. instruments: by reading.
    shares: condition name to its share, from 0; they are taken in proportion.
    reach: how far beyond a limit the bad cases go, as a part of the limit's width.
    reading_steps: a reading is right within so many steps of its instrument, 0.5 or 1; a draw is fair to the same.
    asked: results a learner has to work out.
    Raises BadScenarioError, with a sentence, when anything is missing, unknown or cannot be drawn.
    """

    name: str
    method: Method
    dims: Mapping[str, float]
    limits: Mapping[str, Limit]
    instruments: Mapping[str, Instrument]
    shares: Mapping[str, float]
    asked: tuple[str, ...]
    reach: float = 0.6
    reading_steps: float = 0.5
    carry: Carry = Carry.WORST_CASE

    def __post_init__(self) -> None:
        self._need("a dimension", {dim.name for dim in self.method.dims}, set(self.dims))
        self._need("a limit", set(self.method.limits), set(self.limits))
        self._need(
            "an instrument for the reading", {reading.name for reading in self.method.readings}, set(self.instruments)
        )
        self._check_numbers()
        self._check_limits()
        self._check_instruments()
        self._check_cases()
        for name in self.asked:
            if name not in {line.name for line in self.method.results}:
                self._refuse(f"{self.method.title} has no result called {name}.")

    def _check_numbers(self) -> None:
        for name, value in self.dims.items():
            if not math.isfinite(value):
                self._refuse(f"The dimension {name} is not a finite number.")
        try:
            self.method.check({}, self.dims)
        except ImpossibleReadingError as error:
            self._refuse(f"The dimension {error.name} cannot be: {error.reason}")
        if not 0.1 <= self.reach <= 3:
            self._refuse("How far out bad cases go lies between 0.1 and 3 widths of the limit.")
        if self.reading_steps not in {0.5, 1.0}:
            self._refuse("A reading is right within half a step or within one step.")

    def _check_limits(self) -> None:
        for hold in self.method.held:
            limit = self.limits[hold.limit]
            if limit.low is not None and hold.above in {Verdict.FORM, Verdict.VOID}:
                # Taper, spread and the like are best when there is none; and a low bound on them could not be kept
                # fair by corners alone: see `carrying`.
                self._refuse(f"{self.method.limits[hold.limit]} has no use for a low bound: none of it is best.")
            if hold.floor is not None and (limit.low is None or limit.low < hold.floor - limit.grain):
                self._refuse(f"{self.method.limits[hold.limit]} needs a low bound, and none so low: it is never done.")
            for bound, verdict, side in ((limit.low, hold.below, "low"), (limit.high, hold.above, "high")):
                if bound is not None and verdict not in self.method.verdict_words:
                    self._refuse(f"{self.method.limits[hold.limit]} has no use for a {side} bound in this method.")

    def _check_instruments(self) -> None:
        for reading in self.method.readings:
            instrument = self.instruments[reading.name]
            if not reading.is_read_with(instrument):
                self._refuse(f"{reading.label} cannot be read with this: {instrument.title}.")

    def _check_cases(self) -> None:
        known = {condition.name: condition for condition in self.method.conditions}
        for name, share in self.shares.items():
            if name not in known:
                self._refuse(f"{self.method.title} knows no case called {name}.")
            if not (math.isfinite(share) and share >= 0):
                self._refuse("A share is a number from 0 up.")
            if share > 0:
                for aim in self.method.aims:
                    self.band(aim.limit, known[name].bands.get(aim.name, Band.INSIDE))
        if sum(self.shares.values()) <= 0:
            self._refuse("At least one case needs a share.")

    def _need(self, what: str, wanted: set[str], given: set[str]) -> None:
        for name in sorted(wanted - given):
            self._refuse(f"{self.method.title} needs {what} called {name}.")
        for name in sorted(given - wanted):
            self._refuse(f"{self.method.title} has no use for {what} called {name}.")

    def _refuse(self, reason: str) -> None:
        raise BadScenarioError(scenario=self.name, reason=reason)

    def band(self, limit_name: str, band: Band) -> tuple[float, float]:
        """From where to where an aim in that band about that limit is drawn, inner units."""
        limit = self.limits[limit_name]
        bounds = _bounds(limit.low, limit.high, self.reach).get(band)
        if bounds is None:
            raise BadScenarioError(
                scenario=self.name,
                reason=f"{self.method.limits[limit_name]} has one bound only: no case can lie {band} it.",
            )
        return bounds

    def reading_tolerance(self, reading: str) -> float:
        """How far from the right reading still counts as right, inner unit."""
        return self.reading_steps * self.instruments[reading].step


def _bounds(low: float | None, high: float | None, reach: float) -> dict[Band, tuple[float, float]]:
    # Bad cases start a little beyond the limit: how near they may come in the end is settled by
    # fairness, draw by draw, not here.
    if low is not None and high is not None:
        width = high - low
        floor = low - reach * width
        return {
            Band.INSIDE: (low + 0.08 * width, high - 0.08 * width),
            Band.WELL_INSIDE: (low + 0.3 * width, high - 0.3 * width),
            # A limit of positive sizes keeps its bad cases positive too.
            Band.BELOW: (max(floor, 0.25 * low) if low > 0 else floor, low - 0.05 * width),
            Band.ABOVE: (high + 0.05 * width, high + reach * width),
            Band.JUST_INSIDE_LOW: (low + 0.02 * width, low + 0.2 * width),
            Band.JUST_INSIDE_HIGH: (high - 0.2 * width, high - 0.02 * width),
        }
    if high is not None and high > 0:
        return {
            Band.INSIDE: (0.0, 0.85 * high),
            Band.WELL_INSIDE: (0.0, 0.4 * high),
            Band.ABOVE: (1.1 * high, (1.1 + reach) * high),
            Band.JUST_INSIDE_HIGH: (0.85 * high, 0.98 * high),
        }
    if low is not None and low > 0:
        return {
            Band.INSIDE: (1.1 * low, (1.1 + reach) * low),
            Band.WELL_INSIDE: (1.3 * low, (1.3 + reach) * low),
            Band.BELOW: (max(0.9 - reach, 0.1) * low, 0.9 * low),
            Band.JUST_INSIDE_LOW: (1.02 * low, 1.1 * low),
        }
    return {}
