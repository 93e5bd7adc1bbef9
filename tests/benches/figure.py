"""One measured figure, held against its limit."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """ratio: how many times the thing it is compared with (or a plain count); limit: the most it may be."""

    name: str
    ratio: float
    limit: float
    detail: str = ""

    @property
    def is_over(self) -> bool:
        """True also for what is no number: it has not been shown to be under."""
        return not self.ratio <= self.limit
