"""What every measurement method declares.

A method is one file in `methods/`: what is read, what is worked out of it, what it is held against,
the wrong ways of working it, and what to do then. Drills, previews, worked solutions and printed
sheets are made from these declarations alone.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from assessments.engine.kinds import Kind, Values
from assessments.engine.verdicts import Verdict

Numbers = Mapping[str, Values]
"""Name to value in the inner unit: readings, dims or results."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """Something read off an instrument. families: instrument files that can read it."""

    name: str
    symbol: str
    label: str
    where: str
    families: tuple[str, ...]
    kind: Kind = Kind.LENGTH


@dataclass(frozen=True, slots=True, kw_only=True)
class Dim:
    """A dimension taken from the machine sheet, or of the gauge used."""

    name: str
    symbol: str
    label: str
    kind: Kind = Kind.LENGTH


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of the working.

    formula: the right-hand side in symbols; the worked solution puts the numbers in for them.
    is_result: a learner can be asked for it, and it can be held against a limit.
    """

    name: str
    symbol: str
    label: str
    formula: str
    kind: Kind = Kind.LENGTH
    is_result: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A named wrong way of working.

    says: what went wrong, in plain words to the person who did it.
    parts_at: name of the line of the working at which the wrong way leaves the right one.
    wrong: (readings, dims) to the results as this slip gives them; only those it changes.
    """

    name: str
    says: str
    parts_at: str
    wrong: Callable[[Numbers, Numbers], Mapping[str, Values]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """A result held against a limit, and what it is to lie under or over it."""

    result: str
    limit: str
    below: Verdict = Verdict.LOW
    above: Verdict = Verdict.HIGH


class Band(StrEnum):
    """Where, about its limit, an aim is drawn."""

    INSIDE = "inside"
    BELOW = "below"
    ABOVE = "above"
    JUST_INSIDE_LOW = "just inside low"
    JUST_INSIDE_HIGH = "just inside high"


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """A true state of the machine that is drawn about a limit, before anything is measured."""

    name: str
    limit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """A kind of case an instructor can ask for a share of.

    bands: aim name to band; an aim not named is drawn inside.
    oddity: shown by the faces of `odd_readings` (all of them if empty); makes the draw void.
    """

    name: str
    words: str
    bands: Mapping[str, Band]
    oddity: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Action:
    """What to do then. is_accepting: the machine is closed up on it."""

    name: str
    words: str
    because: str
    is_accepting: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Method:
    """A whole method. See methods/squashed_strip.py for a complete one.

    work: (readings, dims) to every line by name. Floats or arrays alike. Pure.
    check: raises ImpossibleReadingError for readings no machine could give (floats).
    simulate: (aims, dims, chance) to the true sizes behind the readings; `chance` holds `chances`
      numbers (or arrays) from 0 up to 1 for what aims leave open, such as which end is the tight one.
    limits: limit name to what it is called. defaults for a scenario: `asked` results.
    verdict_words and actions: for each verdict this method can give.
    """

    number: int
    name: str
    title: str
    purpose: str
    readings: tuple[Reading, ...]
    dims: tuple[Dim, ...]
    lines: tuple[Line, ...]
    limits: Mapping[str, str]
    held: tuple[Held, ...]
    aims: tuple[Aim, ...]
    conditions: tuple[Condition, ...]
    asked: tuple[str, ...]
    work: Callable[[Numbers, Numbers], dict[str, Values]]
    check: Callable[[Numbers, Numbers], None]
    simulate: Callable[[Numbers, Numbers, Sequence[Values]], dict[str, Values]]
    chances: int
    slips: tuple[Slip, ...]
    verdict_words: Mapping[Verdict, str]
    actions: Mapping[Verdict, Action]
    caution: str
    source: str

    @property
    def results(self) -> tuple[Line, ...]:
        return tuple(line for line in self.lines if line.is_result)

    def line(self, name: str) -> Line:
        return next(line for line in self.lines if line.name == name)

    def condition(self, name: str) -> Condition:
        return next(condition for condition in self.conditions if condition.name == name)
