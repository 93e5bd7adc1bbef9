"""What a reading is worth once a lesson has moved on."""

from __future__ import annotations

from collections.abc import Iterable


def has_changed_majorly(read: int, majors: Iterable[int]) -> bool:
    """True if a revision marked major came after the one that was read."""
    return any(number > read for number in majors)
