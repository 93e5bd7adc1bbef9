"""Scoring one answer: each part, errors carried forward, slips named, the unsafe acceptance caught.

Everything here is in inner units; text is made of it in `working` and `quantities`.

Marks. A reading is right within the scenario's part of a step. A result is right within what those
reading tolerances amount to when carried through the working. A result that is not right, but follows
from the learner's own earlier numbers, is *carried*: it earns its mark and says so. A verdict or an
action that follows from the learner's own numbers is carried likewise, unless it accepts a fit that
is not inside: that is unsafe and fails the whole item.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from assessments.engine.carrying import tolerances
from assessments.engine.draws import Draw, truth
from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.kinds import Kind, Values
from assessments.engine.method import NOTHING, Line, Rule, Slip
from assessments.engine.scenario import Scenario
from assessments.engine.verdicts import Verdict, judge

GRAIN = 1e-7
"""How far decimal figures may stray as floats, mm: a thousandth of the finest step read."""


class What(StrEnum):
    READING = "reading"
    RESULT = "result"
    VERDICT = "verdict"
    ACTION = "action"


class Mark(StrEnum):
    RIGHT = "right"
    CARRIED = "carried forward"
    WRONG = "wrong"
    BLANK = "left blank"
    UNSAFE = "unsafe"
    NOT_COUNTED = "not counted"


EARNS = frozenset({Mark.RIGHT, Mark.CARRIED})


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What a learner gave, numbers in inner units. What was left blank is not there, or None."""

    readings: Mapping[str, float]
    results: Mapping[str, float]
    verdict: Verdict | None = None
    action: str | None = None


class NamedSlip(NamedTuple):
    """A slip whose number is the one given. parts_at: the line where the ways part; empty for a misreading."""

    name: str
    says: str
    parts_at: str = ""


class Part(NamedTuple):
    """One scored part. Numbers for readings and results; verdict or action names for the others.

    right: all that would have been right, the first choice first. allowed: either side, for numbers.
    slips: one is the slip; two or more cannot be told apart by the number given; none: nothing is guessed.
    """

    what: What
    name: str
    label: str
    kind: Kind | None
    yours: float | str | None
    right: tuple[float | str, ...]
    allowed: float | None
    mark: Mark
    slips: tuple[NamedSlip, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """The scored item. verdicts: what is true, worst first."""

    parts: tuple[Part, ...]
    verdicts: tuple[Verdict, ...]

    @property
    def out_of(self) -> int:
        return sum(part.mark is not Mark.NOT_COUNTED for part in self.parts)

    @property
    def points(self) -> int:
        """Marks earned; an unsafe acceptance leaves none."""
        return 0 if self.is_unsafe else sum(part.mark in EARNS for part in self.parts)

    @property
    def is_unsafe(self) -> bool:
        return any(part.mark is Mark.UNSAFE for part in self.parts)

    @property
    def is_right(self) -> bool:
        """True if every counted part is right in itself: what mastery is counted by."""
        return all(part.mark in {Mark.RIGHT, Mark.NOT_COUNTED} for part in self.parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """All that can be said of a draw before anybody answers it.

    values: every reading, dim and line. allowed: tolerance of each reading and asked result.
    verdicts: what is true, worst first. slips: for each asked result, what each slip makes of it.
    """

    scenario: Scenario
    draw: Draw
    values: Mapping[str, float]
    allowed: Mapping[str, float]
    verdicts: tuple[Verdict, ...]
    slips: Mapping[str, tuple[tuple[Slip, float], ...]]


def key_to(scenario: Scenario, draw: Draw) -> Key:
    """Work a draw out: the right numbers, their tolerances, and every slip's numbers."""
    method, dims = scenario.method, scenario.dims
    wrong = [(slip, method.work_one(draw.readings, dims, instead=slip.rules)) for slip in method.slips]
    allowed = tolerances(scenario, draw.readings) if scenario.asked else {}
    allowed |= {reading.name: scenario.reading_tolerance(reading.name) for reading in method.readings}
    return Key(
        scenario=scenario,
        draw=draw,
        values=method.work_one(draw.readings, dims),
        allowed=allowed,
        verdicts=truth(scenario, draw),
        slips={name: tuple((slip, values[name]) for slip, values in wrong) for name in scenario.asked},
    )


def score(key: Key, answer: Answer) -> Score:
    """Score an answer to a draw."""
    own = _Own.of(key, answer)
    parts = [*_readings(key, answer), *_results(key, answer, own)]
    if key.scenario.method.verdict_words:
        parts.append(_verdict(key, answer, own))
        parts.append(_action(key, answer, own))
    return Score(parts=tuple(parts), verdicts=key.verdicts)


class _Own(NamedTuple):
    """The learner's own numbers: readings (the true ones stand in for blanks), and what follows from them.

    differ: the readings given are not the true ones. Readings that cannot be worked at all are set aside.
    values: the working with every result given put in its line, so that each line follows from those before.
    """

    readings: Mapping[str, float]
    differ: bool
    values: Mapping[str, float]
    verdicts: tuple[Verdict, ...]

    @classmethod
    def of(cls, key: Key, answer: Answer) -> _Own:
        method, dims = key.scenario.method, key.scenario.dims
        readings = {**key.draw.readings, **answer.readings}
        differ = readings != key.draw.readings
        if differ:
            try:
                method.check(readings, dims)
            except ImpossibleReadingError:
                return cls(key.draw.readings, differ=False, values=key.values, verdicts=())
        values = method.work_one(readings, dims, given=answer.results)
        return cls(readings, differ=differ, values=values, verdicts=judge(values, key.scenario.limits, method.held))


def _readings(key: Key, answer: Answer) -> Iterator[Part]:
    for reading in key.scenario.method.readings:
        name = reading.name
        right = key.values[name]
        allowed = key.allowed[name]
        yours = answer.readings.get(name)
        slips: tuple[NamedSlip, ...] = ()
        if key.draw.oddity:
            # A disturbed measurement has no number worth a mark, right or wrong.
            mark = Mark.NOT_COUNTED
        elif yours is None:
            mark = Mark.BLANK
        elif abs(yours - right) <= allowed + GRAIN:
            mark = Mark.RIGHT
        else:
            mark = Mark.WRONG
            slips = tuple(
                NamedSlip(misread.name, misread.says)
                for misread in key.scenario.instruments[name].misreads
                if any(abs(yours - wrong) <= allowed + GRAIN for wrong in misread.wrong(right))
            )
        yield Part(What.READING, name, reading.label, reading.kind, yours, (right,), allowed, mark, slips)


def _results(key: Key, answer: Answer, own: _Own) -> Iterator[Part]:
    is_void = key.verdicts[0] is Verdict.VOID
    for line in key.scenario.method.lines:
        name = line.name
        if name not in key.allowed:
            continue
        right = key.values[name]
        allowed = key.allowed[name]
        yours = answer.results.get(name)
        slips: tuple[NamedSlip, ...] = ()
        if is_void:
            mark = Mark.NOT_COUNTED
        elif yours is None:
            mark = Mark.BLANK
        elif abs(yours - right) <= allowed + GRAIN:
            mark = Mark.RIGHT
        elif _is_made_by(key, own, line, yours, NOTHING):
            mark = Mark.CARRIED
        else:
            mark = Mark.WRONG
            slips = _slips(key, own, line, yours)
        yield Part(What.RESULT, name, line.label, line.kind, yours, (right,), allowed, mark, slips)


def _is_made_by(key: Key, own: _Own, line: Line, yours: float, rules: Mapping[str, Rule]) -> bool:
    """True if the right rules, or a slip's, make this number of the learner's own readings or earlier lines."""
    method, dims, near = key.scenario.method, key.scenario.dims, key.allowed[line.name] + GRAIN
    rule: Rule = rules.get(line.name, line.rule)
    if (not rules or line.name in rules) and _near(rule(own.values), yours, near):
        return True
    return own.differ and _near(method.work_one(own.readings, dims, instead=rules)[line.name], yours, near)


def _near(value: Values, yours: float, near: float) -> bool:
    return abs(float(value) - yours) <= near


def _slips(key: Key, own: _Own, line: Line, yours: float) -> tuple[NamedSlip, ...]:
    """Every slip whose number is the one given, worked from the true readings or from the learner's own numbers."""
    right, near = key.values[line.name], key.allowed[line.name] + GRAIN
    return tuple(
        NamedSlip(slip.name, slip.says, slip.parts_at)
        for slip, wrong in key.slips[line.name]
        if near < abs(wrong - right) and (abs(yours - wrong) <= near or _is_made_by(key, own, line, yours, slip.rules))
    )


def _verdict(key: Key, answer: Answer, own: _Own) -> Part:
    yours = answer.verdict
    slips: tuple[NamedSlip, ...] = ()
    if yours is None:
        mark = Mark.BLANK
    elif yours in key.verdicts:
        mark = Mark.RIGHT
    elif yours in own.verdicts and yours is not Verdict.INSIDE:
        mark = Mark.CARRIED
    else:
        mark = Mark.UNSAFE if yours is Verdict.INSIDE else Mark.WRONG
        slips = () if key.draw.oddity else _verdict_slips(key, yours)
    return Part(What.VERDICT, "verdict", "Against the sheet", None, yours, key.verdicts, None, mark, slips)


def _verdict_slips(key: Key, yours: Verdict) -> tuple[NamedSlip, ...]:
    """Slips at nothing that was asked, only at what is held against the sheet, that would give this verdict."""
    scenario, method = key.scenario, key.scenario.method
    return tuple(
        NamedSlip(slip.name, slip.says, slip.parts_at)
        for slip in method.slips
        if slip.rules.keys().isdisjoint(scenario.asked)
        and yours
        in judge(method.work_one(key.draw.readings, scenario.dims, instead=slip.rules), scenario.limits, method.held)
    )


def _action(key: Key, answer: Answer, own: _Own) -> Part:
    actions = key.scenario.method.actions
    yours = answer.action
    right = tuple(dict.fromkeys(actions[verdict].name for verdict in key.verdicts))
    if yours is None:
        mark = Mark.BLANK
    elif yours in right:
        mark = Mark.RIGHT
    elif any(action.name == yours and action.is_accepting for action in actions.values()):
        mark = Mark.UNSAFE
    elif any(actions[verdict].name == yours for verdict in own.verdicts):
        mark = Mark.CARRIED
    else:
        mark = Mark.WRONG
    return Part(What.ACTION, "action", "What to do", None, yours, right, None, mark)
