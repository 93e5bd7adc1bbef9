"""Scoring one answer: each part, errors carried forward, slips named, the unsafe acceptance caught.

Everything here is in inner units; text is made of it in `working` and `quantities`.

Marks. A reading is right within the scenario's part of a step. A result is right within what those
reading tolerances amount to when carried through the working. A result that is not right, but follows
from the learner's own earlier numbers, is *carried*: it earns its mark and says so. A verdict or an
action that follows from the learner's own numbers is carried likewise, unless it accepts a fit that
is not inside: that is unsafe and fails the whole item. Accepting a good fit against one's own wrong numbers,
or closing up what one has just called bad, is luck, and wrong. Of a measurement that is void by how it looks nothing
follows, so nothing is carried.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from assessments.engine.carrying import counts, tolerances
from assessments.engine.draws import Draw, truth
from assessments.engine.errors import BadScenarioError, ImpossibleReadingError
from assessments.engine.kinds import Kind
from assessments.engine.method import NOTHING, Line, Method, Reading, Rule, Slip
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

    readings: Mapping[str, float | None]
    results: Mapping[str, float | None]
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
    counts: of each asked result that is a count, all that is right. verdicts: what is true, worst first.
    actions: names of what is right to do, the first choice first. accepting: names of those that close up.
    asked: lines of the asked results, in the order of the working. slips: for each, what each slip makes of it.
    wrong_rules: for each, the rules of slips at that very line that follow from lines before it.
    unasked: slips at nothing that is asked, only at what is held against the sheet.
    """

    scenario: Scenario
    draw: Draw
    values: Mapping[str, float]
    allowed: Mapping[str, float]
    counts: Mapping[str, tuple[float, ...]]
    verdicts: tuple[Verdict, ...]
    actions: tuple[str, ...]
    accepting: frozenset[str]
    asked: tuple[Line, ...]
    unasked: tuple[Slip, ...]
    slips: Mapping[str, tuple[tuple[Slip, float], ...]]
    wrong_rules: Mapping[str, tuple[tuple[Slip, Rule], ...]]


def key_to(scenario: Scenario, draw: Draw) -> Key:
    """Work a draw out: the right numbers, their tolerances, and every slip's numbers.

    Raises BadScenarioError for a draw of another scenario or revision: its limits are not these.
    """
    if draw.scenario != scenario.name:
        raise BadScenarioError(scenario=scenario.name, reason=f"This is a draw of another scenario: {draw.scenario}.")
    method, dims = scenario.method, scenario.dims
    verdicts = truth(scenario, draw)
    asked = tuple(line for line in method.lines if line.name in scenario.asked)
    values = method.work_one(draw.readings, dims)
    wrong = [(slip, method.work_one(draw.readings, dims, instead=slip.rules)) for slip in method.slips]
    allowed = tolerances(scenario, draw.readings)
    allowed |= {reading.name: scenario.reading_tolerance(reading.name) for reading in method.readings}
    return Key(
        scenario=scenario,
        draw=draw,
        values=values,
        allowed=allowed,
        counts=counts(scenario, draw.readings),
        unasked=tuple(slip for slip in method.slips if slip.rules.keys().isdisjoint(scenario.asked)),
        verdicts=verdicts,
        actions=tuple(dict.fromkeys(method.actions[one].name for one in verdicts if one in method.actions)),
        accepting=frozenset(action.name for action in method.actions.values() if action.is_accepting),
        asked=asked,
        slips={line.name: tuple((slip, slipped[line.name]) for slip, slipped in wrong) for line in asked},
        wrong_rules={line.name: tuple(_following(method, line.name, values)) for line in asked},
    )


class _Watched(dict[str, float]):
    """Values that remember which of them were looked at."""

    def __init__(self, values: Mapping[str, float]) -> None:
        super().__init__(values)
        self.seen: set[str] = set()

    def __getitem__(self, name: str) -> float:
        self.seen.add(name)
        return super().__getitem__(name)


def _following(method: Method, name: str, values: Mapping[str, float]) -> Iterator[tuple[Slip, Rule]]:
    """Slips whose wrong rule at a line looks at other lines: at the learner's own, it may come to another number."""
    lines = {line.name for line in method.lines}
    for slip in method.slips:
        if name in slip.rules:
            watched = _Watched(values)
            slip.rules[name](watched)
            if watched.seen & lines:
                yield slip, slip.rules[name]


def score(key: Key, answer: Answer) -> Score:
    """Score an answer to a draw."""
    own = _Own(key, answer)
    parts = [_reading(key, answer, reading) for reading in key.scenario.method.readings]
    parts += [_result(key, answer, own, line) for line in key.asked]
    if key.scenario.method.verdict_words:
        is_luck = _is_luck(own, parts)
        parts.append(_verdict(key, answer, own, is_luck=is_luck))
        parts.append(_action(key, answer, own, is_luck=is_luck))
    return Score(parts=tuple(parts), verdicts=key.verdicts)


class _Own:
    """The learner's own numbers, and what follows from them.

    readings: those given; the true ones stand in for blanks, and for all of them if they cannot be worked at all.
    worked: the working of these. values: the same with every result given put in its line, so that each line
    follows from those before. verdicts: what the values come to; nothing for a measurement that is void by how it
    looks, since nothing follows from its numbers.
    """

    def __init__(self, key: Key, answer: Answer) -> None:
        scenario = key.scenario
        self._scenario = scenario
        self._slipped: dict[str, Mapping[str, float]] = {}
        self.readings = _workable(key, answer)
        self.given = {
            name: value
            for name in key.slips
            if (value := answer.results.get(name)) is not None and math.isfinite(value)
        }
        self.first_given = next(iter(self.given), "")
        self.are_readings_true = self.readings is key.draw.readings
        self.worked = key.values if self.are_readings_true else self._work(NOTHING, NOTHING)
        self.values = self.work(NOTHING) if self.given else self.worked
        self.verdicts = () if key.draw.oddity else judge(self.values, scenario.limits, scenario.method.held)

    def work(self, instead: Mapping[str, Rule]) -> Mapping[str, float]:
        """The working with the results given put in, and these rules in the place of the right ones."""
        return self._work(instead, self.given)

    def slipped(self, slip: Slip) -> Mapping[str, float]:
        """The working of the readings alone with this slip in it."""
        if slip.name not in self._slipped:
            self._slipped[slip.name] = self._work(slip.rules, NOTHING)
        return self._slipped[slip.name]

    def _work(self, instead: Mapping[str, Rule], given: Mapping[str, float]) -> Mapping[str, float]:
        return self._scenario.method.work_one(self.readings, self._scenario.dims, instead=instead, given=given)


def _workable(key: Key, answer: Answer) -> Mapping[str, float]:
    true = key.draw.readings
    given = {name: value for name in true if (value := answer.readings.get(name)) is not None}
    readings = {**true, **given}
    if readings == true:
        return true
    try:
        key.scenario.method.check(readings, key.scenario.dims)
    except ImpossibleReadingError:
        return true
    return readings


def _reading(key: Key, answer: Answer, reading: Reading) -> Part:
    name = reading.name
    right, near = key.values[name], key.allowed[name] + GRAIN
    yours = answer.readings.get(name)
    slips: tuple[NamedSlip, ...] = ()
    if key.draw.oddity:
        # A disturbed measurement has no number worth a mark, right or wrong.
        mark = Mark.NOT_COUNTED
    elif yours is None:
        mark = Mark.BLANK
    elif abs(yours - right) <= near:
        mark = Mark.RIGHT
    else:
        mark = Mark.WRONG
        slips = tuple(
            NamedSlip(misread.name, misread.says)
            for misread in key.scenario.instruments[name].misreads
            if any(abs(yours - wrong) <= near < abs(wrong - right) for wrong in misread.wrong(right))
        )
    return Part(What.READING, name, reading.label, reading.kind, yours, (right,), key.allowed[name], mark, slips)


def _result(key: Key, answer: Answer, own: _Own, line: Line) -> Part:
    name = line.name
    right, near = key.values[name], key.allowed[name] + GRAIN
    yours = answer.results.get(name)
    slips: tuple[NamedSlip, ...] = ()
    if key.verdicts[0] is Verdict.VOID:
        mark = Mark.NOT_COUNTED
    elif yours is None:
        mark = Mark.BLANK
    elif abs(yours - right) <= near or (name in key.counts and yours in key.counts[name]):
        mark = Mark.RIGHT
    else:
        # What the line comes to by the right rule from all that was given before it.
        follows = own.worked[name] if own.first_given == name else float(line.rule(own.values))
        if abs(yours - follows) <= near or abs(yours - own.worked[name]) <= near:
            mark = Mark.CARRIED
        else:
            mark = Mark.WRONG
            slips = _slips(key, own, name, yours, follows)
    all_right = key.counts.get(name, (right,))
    return Part(What.RESULT, name, line.label, line.kind, yours, all_right, key.allowed[name], mark, slips)


def _slips(key: Key, own: _Own, name: str, yours: float, follows: float) -> tuple[NamedSlip, ...]:
    """Every slip that makes this number, and not the right one, of the true readings or of the learner's own numbers."""
    right, near, values = key.values[name], key.allowed[name] + GRAIN, own.values
    makers = [slip for slip, wrong in key.slips[name] if abs(yours - wrong) <= near < abs(wrong - right)]
    if own.first_given != name:
        makers += [
            slip
            for slip, rule in key.wrong_rules[name]
            if abs(yours - (wrong := float(rule(values)))) <= near < abs(wrong - follows)
        ]
    if not own.are_readings_true:
        right = own.worked[name]
        makers += [
            slip
            for slip, _ in key.slips[name]
            if abs(yours - (wrong := own.slipped(slip)[name])) <= near < abs(wrong - right)
        ]
    if not makers:
        return ()
    return tuple(NamedSlip(slip.name, slip.says, slip.parts_at) for slip, _ in key.slips[name] if slip in makers)


def _is_luck(own: _Own, parts: list[Part]) -> bool:
    """True if the learner's own numbers, not all right, speak against accepting: who accepts has not looked at them."""
    if Verdict.INSIDE in own.verdicts:
        return False
    return any(part.mark is Mark.WRONG or part.mark is Mark.CARRIED for part in parts)


def _verdict(key: Key, answer: Answer, own: _Own, *, is_luck: bool) -> Part:
    yours = answer.verdict
    is_accepting = yours == Verdict.INSIDE
    if yours is None:
        mark = Mark.BLANK
    elif yours in key.verdicts:
        mark = Mark.WRONG if is_accepting and is_luck else Mark.RIGHT
    elif is_accepting:
        mark = Mark.UNSAFE
    elif yours in own.verdicts:
        mark = Mark.CARRIED
    else:
        mark = Mark.WRONG
    slips: tuple[NamedSlip, ...] = ()
    if yours is not None and mark not in EARNS and yours not in own.verdicts and not key.draw.oddity:
        slips = _verdict_slips(key, own, yours)
    return Part(What.VERDICT, "verdict", "Against the sheet", None, yours, key.verdicts, None, mark, slips)


def _verdict_slips(key: Key, own: _Own, yours: Verdict) -> tuple[NamedSlip, ...]:
    """Slips at what is held against the sheet that make this verdict of the learner's own numbers."""
    limits, held = key.scenario.limits, key.scenario.method.held
    return tuple(
        NamedSlip(slip.name, slip.says, slip.parts_at)
        for slip in key.unasked
        if yours in judge(own.work(slip.rules), limits, held)
    )


def _action(key: Key, answer: Answer, own: _Own, *, is_luck: bool) -> Part:
    yours = answer.action
    is_accepting = yours in key.accepting
    if yours is None:
        mark = Mark.BLANK
    elif yours in key.actions:
        # Nobody closes up what by his own word, or by his own numbers, is not inside.
        is_against = is_luck or answer.verdict not in {None, Verdict.INSIDE}
        mark = Mark.WRONG if is_accepting and is_against else Mark.RIGHT
    elif is_accepting:
        mark = Mark.UNSAFE
    elif any(key.scenario.method.actions[verdict].name == yours for verdict in own.verdicts):
        mark = Mark.CARRIED
    else:
        mark = Mark.WRONG
    return Part(What.ACTION, "action", "What to do", None, yours, key.actions, None, mark)
