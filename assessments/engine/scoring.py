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

from assessments.engine.carrying import tolerances
from assessments.engine.draws import Draw, truth
from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.kinds import Kind
from assessments.engine.method import Method
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


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedSlip:
    """A slip whose number is the one given. parts_at: the line where the ways part; empty for a misreading."""

    name: str
    says: str
    parts_at: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
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


def score(scenario: Scenario, draw: Draw, answer: Answer) -> Score:
    """Score an answer to a draw."""
    method = scenario.method
    values = method.work_one(draw.readings, scenario.dims)
    verdicts = truth(scenario, draw)
    own = _own_values(scenario, draw, answer)
    parts = [
        *_readings(scenario, draw, answer),
        *_results(scenario, draw, answer, values, is_void=verdicts[0] is Verdict.VOID),
    ]
    if method.verdict_words:
        own_verdicts = () if own is None else judge(own, scenario.limits, method.held)
        parts.append(_verdict(scenario, draw, answer, verdicts, own_verdicts))
        parts.append(_action(method, answer, verdicts, own_verdicts))
    return Score(parts=tuple(parts), verdicts=verdicts)


def _own_values(scenario: Scenario, draw: Draw, answer: Answer) -> dict[str, float] | None:
    """The working as it follows from the learner's own numbers; the true readings stand in for blanks.

    None where the learner's readings cannot be worked at all.
    """
    readings = {**draw.readings, **answer.readings}
    try:
        scenario.method.check(readings, scenario.dims)
    except ImpossibleReadingError:
        return None
    return scenario.method.work_one(readings, scenario.dims, given=answer.results)


def _readings(scenario: Scenario, draw: Draw, answer: Answer) -> Iterator[Part]:
    for reading in scenario.method.readings:
        name = reading.name
        right = draw.readings[name]
        allowed = scenario.reading_tolerance(name)
        yours = answer.readings.get(name)
        slips: tuple[NamedSlip, ...] = ()
        if draw.oddity:
            # A disturbed measurement has no number worth a mark, right or wrong.
            mark = Mark.NOT_COUNTED
        elif yours is None:
            mark = Mark.BLANK
        elif abs(yours - right) <= allowed + GRAIN:
            mark = Mark.RIGHT
        else:
            mark = Mark.WRONG
            slips = tuple(
                NamedSlip(name=misread.name, says=misread.says)
                for misread in scenario.instruments[name].misreads
                if any(abs(yours - wrong) <= allowed + GRAIN for wrong in misread.wrong(right))
            )
        yield Part(
            what=What.READING,
            name=name,
            label=reading.label,
            kind=reading.kind,
            yours=yours,
            right=(right,),
            allowed=allowed,
            mark=mark,
            slips=slips,
        )


def _results(
    scenario: Scenario, draw: Draw, answer: Answer, values: Mapping[str, float], *, is_void: bool
) -> Iterator[Part]:
    allowed_of = tolerances(scenario, draw.readings) if scenario.asked else {}
    for name in scenario.asked:
        line = scenario.method.line(name)
        yours = answer.results.get(name)
        allowed = allowed_of[name]
        slips: tuple[NamedSlip, ...] = ()
        if is_void:
            mark = Mark.NOT_COUNTED
        elif yours is None:
            mark = Mark.BLANK
        elif abs(yours - values[name]) <= allowed + GRAIN:
            mark = Mark.RIGHT
        elif _follows(scenario, draw, answer, name, allowed):
            mark = Mark.CARRIED
        else:
            mark = Mark.WRONG
            slips = _slips(scenario, draw, answer, name, allowed)
        yield Part(
            what=What.RESULT,
            name=name,
            label=line.label,
            kind=line.kind,
            yours=yours,
            right=(values[name],),
            allowed=allowed,
            mark=mark,
            slips=slips,
        )


def _earlier(scenario: Scenario, answer: Answer, name: str) -> dict[str, float]:
    """What the learner gave for the lines before this one."""
    earlier: dict[str, float] = {}
    for line in scenario.method.lines:
        if line.name == name:
            break
        if line.name in answer.results:
            earlier[line.name] = answer.results[line.name]
    return earlier


def _ways(
    scenario: Scenario, draw: Draw, answer: Answer, name: str
) -> Iterator[tuple[Mapping[str, float], Mapping[str, float]]]:
    """The readings and earlier lines a number can have been worked from: the true ones, or the learner's own."""
    readings = {**draw.readings, **answer.readings}
    try:
        scenario.method.check(readings, scenario.dims)
    except ImpossibleReadingError:
        readings = dict(draw.readings)
    earlier = _earlier(scenario, answer, name)
    yield readings, {}
    if earlier:
        yield readings, earlier
    if readings != draw.readings:
        yield draw.readings, {}


def _follows(scenario: Scenario, draw: Draw, answer: Answer, name: str, allowed: float) -> bool:
    """True if the number given is what the right rule makes of the learner's own earlier numbers."""
    yours = answer.results[name]
    return any(
        abs(yours - scenario.method.work_one(readings, scenario.dims, given=earlier)[name]) <= allowed + GRAIN
        for readings, earlier in _ways(scenario, draw, answer, name)
    )


def _slips(scenario: Scenario, draw: Draw, answer: Answer, name: str, allowed: float) -> tuple[NamedSlip, ...]:
    """Every slip of the method whose number is the one given."""
    yours = answer.results[name]
    method = scenario.method
    ways = tuple(_ways(scenario, draw, answer, name))
    return tuple(
        NamedSlip(name=slip.name, says=slip.says, parts_at=slip.parts_at)
        for slip in method.slips
        if any(
            abs(yours - method.work_one(readings, scenario.dims, instead=slip.rules, given=earlier)[name])
            <= allowed + GRAIN
            for readings, earlier in ways
        )
    )


def _verdict(
    scenario: Scenario, draw: Draw, answer: Answer, verdicts: tuple[Verdict, ...], own: tuple[Verdict, ...]
) -> Part:
    yours = answer.verdict
    slips: tuple[NamedSlip, ...] = ()
    if yours is None:
        mark = Mark.BLANK
    elif yours in verdicts:
        mark = Mark.RIGHT
    elif yours in own and yours is not Verdict.INSIDE:
        mark = Mark.CARRIED
    else:
        mark = Mark.UNSAFE if yours is Verdict.INSIDE else Mark.WRONG
        slips = () if draw.oddity else _verdict_slips(scenario, draw, yours)
    return Part(
        what=What.VERDICT,
        name="verdict",
        label="Against the sheet",
        kind=None,
        yours=yours,
        right=verdicts,
        allowed=None,
        mark=mark,
        slips=slips,
    )


def _verdict_slips(scenario: Scenario, draw: Draw, yours: Verdict) -> tuple[NamedSlip, ...]:
    """Slips that touch only what is held against the sheet, and would have given this verdict."""
    method = scenario.method
    return tuple(
        NamedSlip(name=slip.name, says=slip.says, parts_at=slip.parts_at)
        for slip in method.slips
        if not slip.rules.keys() & set(scenario.asked)
        and yours
        in judge(method.work_one(draw.readings, scenario.dims, instead=slip.rules), scenario.limits, method.held)
    )


def _action(method: Method, answer: Answer, verdicts: tuple[Verdict, ...], own: tuple[Verdict, ...]) -> Part:
    yours = answer.action
    right = tuple(dict.fromkeys(method.actions[verdict].name for verdict in verdicts))
    if yours is None:
        mark = Mark.BLANK
    elif yours in right:
        mark = Mark.RIGHT
    elif any(action.name == yours and action.is_accepting for action in method.actions.values()):
        mark = Mark.UNSAFE
    elif yours in {method.actions[verdict].name for verdict in own}:
        mark = Mark.CARRIED
    else:
        mark = Mark.WRONG
    return Part(
        what=What.ACTION,
        name="action",
        label="What to do",
        kind=None,
        yours=yours,
        right=right,
        allowed=None,
        mark=mark,
    )
