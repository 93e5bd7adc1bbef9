"""What comes after what: a partial order of tasks, and what can be said of it without a database."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from graphlib import CycleError, TopologicalSorter

After = Mapping[str, Collection[str]]
"""For each code the codes that have to be done before it."""


class OrderError(ValueError):
    """The tasks cannot be put in an order."""


class OrderLoopError(OrderError):
    """A task would have to come after itself. `loop` begins and ends with the same code."""

    def __init__(self, loop: tuple[str, ...]) -> None:
        self.loop = loop
        super().__init__(f"The order bites its own tail: {' before '.join(loop)}.")


class UnknownTaskError(OrderError):
    """A task comes after one that does not exist."""

    def __init__(self, *, code: str, missing: str) -> None:
        self.code = code
        self.missing = missing
        super().__init__(f"{code} comes after {missing}, and there is no task {missing}.")


def ranks(after: After) -> list[list[str]]:
    """The tasks in ranks: each as early as it can be, sorted by code within its rank.

    Whatever comes before a task stands in an earlier rank. Raises OrderLoopError and UnknownTaskError.
    """
    for code, before in sorted(after.items()):
        for other in sorted(before):
            if other not in after:
                raise UnknownTaskError(code=code, missing=other)
    sorter = TopologicalSorter(after)
    try:
        sorter.prepare()
    except CycleError as error:
        raise OrderLoopError(tuple(error.args[1])) from None
    found = []
    while sorter.is_active():
        rank = sorted(sorter.get_ready())
        found.append(rank)
        sorter.done(*rank)
    return found


def in_order(after: After) -> list[str]:
    """One order of work that breaks nothing: rank by rank. Several others may be right too."""
    return [code for rank in ranks(after) for code in rank]


def everything_before(after: After, code: str) -> set[str]:
    """All codes that have to be done before this one, directly or through others."""
    found: set[str] = set()
    waiting = list(after[code])
    while waiting:
        other = waiting.pop()
        if other not in found:
            found.add(other)
            waiting.extend(after[other])
    return found


def bare_edges(after: After) -> list[tuple[str, str]]:
    """The pairs (before, after) that no longer way implies: what a drawing needs lines for."""
    return [
        (other, code)
        for code in sorted(after)
        for other in sorted(after[code])
        if not any(other in everything_before(after, third) for third in after[code] if third != other)
    ]
