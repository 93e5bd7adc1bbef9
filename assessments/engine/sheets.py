"""Limits as the engine sees them: two bounds, either of which may be missing, and where they come from."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Self

from assessments.engine.errors import BadLimitError


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """What a result is held against, in the inner unit of its kind.

    `source` says where the figure comes from; `outside` what the sheet says to do beyond it.
    Raises BadLimitError when no result could be inside, or when neither bound is given.
    """

    low: float | None
    high: float | None
    source: str
    outside: str = ""
    grain: float = 1e-9
    """How far floats of decimal figures may stray: never a tolerance of the shop."""

    def __post_init__(self) -> None:
        for bound in (self.low, self.high):
            if bound is not None and not math.isfinite(bound):
                raise BadLimitError(low=self.low, high=self.high, reason="A limit has to be a finite number.")
        if self.low is None and self.high is None:
            raise BadLimitError(low=None, high=None, reason="A limit needs at least one bound.")
        if self.low is not None and self.high is not None and self.low >= self.high:
            raise BadLimitError(low=self.low, high=self.high, reason="The low limit has to lie under the high one.")

    @classmethod
    def between(cls, low: float, high: float, *, source: str, outside: str = "") -> Self:
        return cls(low=low, high=high, source=source, outside=outside)

    @classmethod
    def at_least(cls, low: float, *, source: str, outside: str = "") -> Self:
        return cls(low=low, high=None, source=source, outside=outside)

    @classmethod
    def at_most(cls, high: float, *, source: str, outside: str = "") -> Self:
        return cls(low=None, high=high, source=source, outside=outside)

    @classmethod
    def plus_minus(cls, nominal: float, tolerance: float, *, source: str, outside: str = "") -> Self:
        return cls(low=nominal - tolerance, high=nominal + tolerance, source=source, outside=outside)

    def holds(self, value: float) -> bool:
        """True if the value is inside, bounds included."""
        return (self.low is None or value >= self.low - self.grain) and (
            self.high is None or value <= self.high + self.grain
        )
