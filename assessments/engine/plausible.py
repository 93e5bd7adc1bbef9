"""Refusing numbers that no machine could give, whatever the method."""

from __future__ import annotations

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.method import Numbers

MOST = 1e6
"""In inner units. A kilometre of shaft or a million turns a minute is a slip of the keyboard."""


def need_numbers(numbers: Numbers) -> None:
    """Raises ImpossibleReadingError unless each is a finite number no larger than `MOST`. Floats."""
    for name, value in numbers.items():
        if not abs(float(value)) <= MOST:  # also refuses what is not a number
            raise ImpossibleReadingError(
                name=name, value=float(value), reason="No machine here has a figure like that: look at it again."
            )


def need_sizes(numbers: Numbers) -> None:
    """The same, and each must be more than nothing."""
    need_numbers(numbers)
    for name, value in numbers.items():
        if not float(value) > 0:
            raise ImpossibleReadingError(
                name=name, value=float(value), reason="A size is more than nothing: look at the instrument again."
            )
