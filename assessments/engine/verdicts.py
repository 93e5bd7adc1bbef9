"""The five things a fit can be, and holding results against limits.

A verdict is always worked from numbers; what it is *called* at the bench (too tight, bent, worn)
belongs to the method.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from assessments.engine.arithmetic import size_of
from assessments.engine.kinds import Values
from assessments.engine.sheets import Limit


class Verdict(StrEnum):
    """In the order in which they go before one another: an earlier one wins."""

    VOID = "void"  # the measurement does not count, whatever its number
    LOW = "low"
    HIGH = "high"
    FORM = "form"  # taper, out-of-round, spread: the size may be right, the shape is not
    INSIDE = "inside"


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """A result held against a limit, and what it is to lie under or over it.

    either_side: the line that says how far either side of the result the true size may lie, where the method itself
    can tell no nearer. It is then under or over a bound only with all of that, inside only with all of that, and
    `undecided` where a bound runs through it (after the idea of ISO 14253-1: prove it inside, or prove it outside).
    floor: no sheet may put the low bound under this, inner unit: what the trade never does, whoever writes the sheet.
    """

    result: str
    limit: str
    below: Verdict = Verdict.LOW
    above: Verdict = Verdict.HIGH
    either_side: str = ""
    undecided: Verdict = Verdict.VOID
    floor: float | None = None

    def span(self, values: Mapping[str, Values]) -> tuple[Values, Values]:
        """The least and the greatest that the true size may be."""
        middle = values[self.result]
        if not self.either_side:
            return middle, middle
        # Without its sign: a minus that a learner gives does not make it narrower than nothing.
        reach = size_of(values[self.either_side])
        return middle - reach, middle + reach


ORDER: tuple[Verdict, ...] = tuple(Verdict)
CODE: dict[Verdict, int] = {verdict: code for code, verdict in enumerate(ORDER)}


def judge(results: Mapping[str, float], limits: Mapping[str, Limit], held: Sequence[Held]) -> tuple[Verdict, ...]:
    """All that is wrong with one set of results, worst first; (INSIDE,) if nothing is.

    A void measurement is nothing but void: its numbers say nothing about the fit.

    A result exactly on a limit is inside: a sheet that says 0.09 to 0.15 allows both.
    A result that is no number lies outside every bound, so that it is never accepted.
    """
    found = []
    for hold in held:
        limit = limits[hold.limit]
        least, most = hold.span(results)
        # A number that is none lies outside of every bound, so every question is put so that it has to pass.
        if limit.low is not None and not least >= limit.low - limit.grain:
            found.append(hold.undecided if most >= limit.low - limit.grain else hold.below)
        if limit.high is not None and not most <= limit.high + limit.grain:
            found.append(hold.undecided if least <= limit.high + limit.grain else hold.above)
    if not found:
        return (Verdict.INSIDE,)
    if Verdict.VOID in found:
        return (Verdict.VOID,)
    return tuple(sorted(set(found), key=CODE.__getitem__))


def judge_many(
    results: Mapping[str, Values], limits: Mapping[str, Limit], held: Sequence[Held], count: int
) -> NDArray[np.int8]:
    """The worst verdict of each of ``count`` sets of results, as codes into `ORDER`: the first that `judge` finds."""
    wrong: dict[Verdict, NDArray[np.bool_]] = {}
    for hold in held:
        limit = limits[hold.limit]
        least, most = hold.span(results)
        if limit.low is not None:
            is_under = np.logical_not(np.greater_equal(most, limit.low - limit.grain))
            _add(wrong, hold.below, is_under)
            if hold.either_side:
                is_not_clear = np.logical_not(np.greater_equal(least, limit.low - limit.grain))
                _add(wrong, hold.undecided, is_not_clear & ~is_under)
        if limit.high is not None:
            is_over = np.logical_not(np.less_equal(least, limit.high + limit.grain))
            _add(wrong, hold.above, is_over)
            if hold.either_side:
                is_not_clear = np.logical_not(np.less_equal(most, limit.high + limit.grain))
                _add(wrong, hold.undecided, is_not_clear & ~is_over)
    codes = np.full(count, CODE[Verdict.INSIDE], dtype=np.int8)
    for verdict in reversed(ORDER):
        if verdict in wrong:
            overrule(codes, wrong[verdict], verdict)
    return codes


def overrule(codes: NDArray[np.int8], here: NDArray[np.bool_], verdict: Verdict) -> None:
    """Put a verdict in the place of every other one where `here` is true."""
    # Plain arithmetic on small integers: several times faster than writing through a mask.
    codes += here.view(np.int8) * (np.int8(CODE[verdict]) - codes)


def _add(wrong: dict[Verdict, NDArray[np.bool_]], verdict: Verdict, here: NDArray[np.bool_]) -> None:
    wrong[verdict] = wrong[verdict] | here if verdict in wrong else here
