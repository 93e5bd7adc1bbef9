"""Method 22: an order of steps, held against what must come before what.

A set of steps and the constraints between them are a partial order: any order of all the steps that breaks no
constraint is right. An answer is scored by the DIRECT constraints it breaks, those that are written down, each with its
reason; what follows from them (a before b, b before c, so a before c) is not counted again, so that one step out of
place is not held against a learner as often as there are steps behind it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

from assessments.engine.errors import BadOrderError, CircularOrderError


@dataclass(frozen=True, slots=True, kw_only=True)
class Constraint:
    """One step that must come before another. because: why, in a sentence to whoever had it the other way round."""

    before: str
    after: str
    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """An answer held against an order. broken: direct constraints it breaks, in the order they are written down."""

    broken: tuple[Constraint, ...]
    out_of: int

    @property
    def is_right(self) -> bool:
        return not self.broken

    @property
    def score(self) -> float:
        """From 0 to 1: the part of the direct constraints that is kept."""
        return 1.0 if not self.out_of else 1 - len(self.broken) / self.out_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """Steps, and what must come before what.

    Raises BadOrderError for a step named twice, a constraint with a step that is not there, one that is written down
    twice, or one without a reason; CircularOrderError if steps would have to come before themselves.
    """

    steps: tuple[str, ...]
    constraints: tuple[Constraint, ...]

    def __post_init__(self) -> None:
        _need_each_once(self.steps)
        pairs = set()
        for one in self.constraints:
            for step in (one.before, one.after):
                if step not in self.steps:
                    raise BadOrderError(step=step, reason=f"A constraint names a step that is not there: {step}.")
            if not one.because.strip():
                raise BadOrderError(step=one.after, reason=f"Why {one.before} comes before {one.after} has to be said.")
            if (one.before, one.after) in pairs:
                raise BadOrderError(step=one.after, reason=f"{one.before} before {one.after} is written down twice.")
            pairs.add((one.before, one.after))
        self.one_right()  # refuses a circle

    def one_right(self) -> tuple[str, ...]:
        """One order that breaks nothing: of the steps that may come next, always the one written down first."""
        after: dict[str, set[str]] = {step: set() for step in self.steps}
        for one in self.constraints:
            after[one.after].add(one.before)
        sorter = TopologicalSorter(after)
        try:
            sorter.prepare()
        except CycleError as error:
            raise CircularOrderError(circle=tuple(error.args[1])) from None
        found: list[str] = []
        ready: set[str] = set()
        while len(found) < len(self.steps):
            ready |= set(sorter.get_ready())
            step = min(ready, key=self.steps.index)
            ready.remove(step)
            sorter.done(step)
            found.append(step)
        return tuple(found)

    def hold(self, answer: Sequence[str]) -> Held:
        """What an answer breaks. Raises BadOrderError unless it has every step once."""
        _need_each_once(answer)
        for step in answer:
            if step not in self.steps:
                raise BadOrderError(step=step, reason=f"There is no step called {step} here.")
        for step in self.steps:
            if step not in answer:
                raise BadOrderError(step=step, reason=f"This step was left out: {step}.")
        place = {step: number for number, step in enumerate(answer)}
        return Held(
            broken=tuple(one for one in self.constraints if place[one.before] > place[one.after]),
            out_of=len(self.constraints),
        )


def _need_each_once(steps: Sequence[str]) -> None:
    seen = set()
    for step in steps:
        if step in seen:
            raise BadOrderError(step=step, reason=f"This step is there twice: {step}.")
        seen.add(step)
