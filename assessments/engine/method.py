"""What every measurement method declares.

A method is one file in `methods/`: what is read, what is worked out of it, what it is held against,
the wrong ways of working it, and what to do then. Drills, previews, worked solutions and printed
sheets are made from these declarations alone.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType
from typing import Any, cast

from assessments.engine.instrument import Instrument
from assessments.engine.kinds import Kind, Values
from assessments.engine.verdicts import Held, Verdict

Numbers = Mapping[str, Values]
"""Name to value in the inner unit: readings, dims or lines."""
NOTHING: Mapping[str, Any] = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """Something read off an instrument. families: instrument files that can read it."""

    name: str
    symbol: str
    label: str
    where: str
    families: tuple[str, ...]
    kind: Kind = Kind.LENGTH

    def is_read_with(self, instrument: Instrument) -> bool:
        """Whether an instrument can give it: it is of one of the families, and measures that kind."""
        return instrument.family in self.families and instrument.kind is self.kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Dim:
    """A dimension taken from the machine sheet, or of the gauge used.

    is_shown: False for what only steers the draw, such as the range to draw in, and would help nobody.
    """

    name: str
    symbol: str
    label: str
    kind: Kind = Kind.LENGTH
    is_shown: bool = True


Rule = Callable[[Numbers], Values]
"""From the readings, dims and earlier lines, all by name, to the value of one line. Pure; floats or arrays."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of the working.

    formula: the right-hand side in symbols; the worked solution puts the numbers in for them.
    rule: the same as a function. Because every line has its own, an error can be carried forward
    from any line to those after it, and a slip is simply a wrong rule at one line.
    is_result: a learner can be asked for it, and it can be held against a limit.
    least: what it cannot be less than whatever is read and however it is worked, inner unit; None where a wrong
      way may well give less, so that it has to be taken and marked.
    unit: what it is written in, where that is not what its kind is written in elsewhere: turns or flats of a screw.
    """

    name: str
    symbol: str
    label: str
    formula: str
    rule: Rule
    kind: Kind = Kind.LENGTH
    is_result: bool = True
    least: float | None = None
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A named wrong way of working: a wrong rule at one line or more; the lines after follow from it.

    says: what went wrong, in plain words to the person who did it.
    rules: line name to the wrong rule. The first of them is where the wrong way leaves the right one.
    """

    name: str
    says: str
    rules: Mapping[str, Rule]

    @property
    def parts_at(self) -> str:
        return next(iter(self.rules))


class Band(StrEnum):
    """Where, about its limit, an aim is drawn."""

    INSIDE = "inside"
    WELL_INSIDE = "well inside"
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
    oddity: shown by every face that can show it; makes the draw void whatever its numbers.
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

    lines: in the order of the working; the names of readings, dims and lines are all different.
    check: raises ImpossibleReadingError for readings no machine could give (floats). Without any readings it
      checks the dims alone.
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
    check: Callable[[Numbers, Numbers], None]
    simulate: Callable[[Numbers, Numbers, Sequence[Values]], dict[str, Values]]
    chances: int
    slips: tuple[Slip, ...]
    verdict_words: Mapping[Verdict, str]
    actions: Mapping[Verdict, Action]
    caution: str
    source: str
    rules: Mapping[str, Rule] = field(init=False)
    """The right rule of every line, in the order of the working."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "rules", {line.name: line.rule for line in self.lines})

    @property
    def results(self) -> tuple[Line, ...]:
        return tuple(line for line in self.lines if line.is_result)

    def work(
        self,
        readings: Numbers,
        dims: Numbers,
        *,
        instead: Mapping[str, Rule] = NOTHING,
        given: Numbers = NOTHING,
    ) -> dict[str, Values]:
        """Every reading, dim and line by name. Floats or arrays alike.

        instead: wrong rules, by line, as a slip has them.
        given: values already decided, by line, as a learner wrote them: later lines follow from these.
        """
        values: dict[str, Values] = {**dims, **readings}
        rules = {**self.rules, **instead} if instead else self.rules
        for name, rule in rules.items():
            values[name] = given[name] if name in given else rule(values)
        return values

    def work_one(
        self,
        readings: Mapping[str, float],
        dims: Mapping[str, float],
        *,
        instead: Mapping[str, Rule] = NOTHING,
        given: Mapping[str, float] = NOTHING,
    ) -> dict[str, float]:
        """`work` for one case: floats in, floats out."""
        return cast("dict[str, float]", self.work(readings, dims, instead=instead, given=given))

    def line(self, name: str) -> Line:
        return next(line for line in self.lines if line.name == name)

    def condition(self, name: str) -> Condition:
        return next(condition for condition in self.conditions if condition.name == name)
