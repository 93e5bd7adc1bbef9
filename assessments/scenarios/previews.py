"""What an instructor sees of a scenario before anyone meets it: how its draws lie, and one of them worked out.

Numbers become text here, so that the templates only set it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from assessments.engine.draws import Spread, draw, spread, step_words
from assessments.engine.instrument import Instrument
from assessments.engine.kinds import Array, Kind
from assessments.engine.marked import document, limit_text
from assessments.engine.method import Method, Reading
from assessments.engine.plots import per_cent
from assessments.engine.scenario import Scenario
from assessments.engine.scoring import Answer, Key, key_to, score
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import ORDER
from assessments.engine.working import reading_text, shown_step, unit_of
from assessments.scenarios.adapters import engine_scenario
from assessments.scenarios.models import ScenarioRevision
from assessments.scenarios.services import PREVIEW

_TOLD = (*ORDER[-1:], *ORDER[1:-1], *ORDER[:1])
"""Verdicts in the order in which people tell them: inside first, void last."""

KEPT = 64
"""Spreads kept in memory: the slowest method takes a tenth of a second to draw, and a revision never changes."""
_spreads: dict[UUID, Spread] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class VerdictLine:
    """One verdict of a method: what it is called, what to do then and why."""

    words: str
    action: str
    because: str
    is_accepting: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseLine:
    """One kind of case: the share asked for, the share among fair draws, and how many have the verdict meant."""

    words: str
    asked: str
    lies: str
    as_meant: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultPlot:
    """A result over the fair draws, inner units. limit: what it is held against, or None."""

    name: str
    label: str
    limit: Limit | None
    limit_words: str
    values: Array
    unit: str
    step: float | None

    @property
    def ident(self) -> str:
        return f"spread-{self.name}"


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingRange:
    """What is drawn of a reading, within what its instrument reads; inner units."""

    reading: Reading
    instrument: Instrument
    least: float
    greatest: float

    @property
    def step(self) -> str:
        return step_words(self.instrument)

    @property
    def ident(self) -> str:
        return f"range-{self.reading.name}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Preview:
    """How the draws of a scenario lie."""

    count: int
    fair: str
    verdicts: tuple[tuple[str, str], ...]
    cases: tuple[CaseLine, ...]
    results: tuple[ResultPlot, ...]
    ranges: tuple[ReadingRange, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleReading:
    """One reading of a sample draw. value: inner unit; text: as the instrument gives it."""

    reading: Reading
    instrument: Instrument
    value: float
    text: str

    @property
    def ident(self) -> str:
        return f"face-{self.reading.name}"

    @property
    def caption(self) -> str:
        return f"{self.reading.label}: {self.reading.where}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """One draw, as a learner would meet it. marked: the right answer, marked as a learner's would be."""

    seed: int
    case: str
    oddity: str
    readings: tuple[SampleReading, ...]
    marked: dict[str, Any]


def verdict_lines(method: Method) -> tuple[VerdictLine, ...]:
    """The verdicts of a method with what to do, the accepting one first."""
    return tuple(
        VerdictLine(
            words=method.verdict_words[verdict],
            action=method.actions[verdict].words,
            because=method.actions[verdict].because,
            is_accepting=method.actions[verdict].is_accepting,
        )
        for verdict in _TOLD
        if verdict in method.verdict_words
    )


def preview_of(revision: ScenarioRevision) -> Preview:
    """How the draws of an issued revision lie; drawn once, then remembered."""
    scenario = engine_scenario(revision)
    lies = _spreads.get(revision.uid)
    if lies is None:
        if len(_spreads) >= KEPT:
            _spreads.pop(next(iter(_spreads)), None)
        lies = _spreads[revision.uid] = spread(scenario, PREVIEW)
    return preview(scenario, lies, revision.units)


def preview(scenario: Scenario, lies: Spread, units: str) -> Preview:
    """How draws lie, as text and as numbers for plots. units: "mm" or "in", the system it is told in."""
    method = scenario.method
    total = sum(scenario.shares.values())
    return Preview(
        count=lies.count,
        fair=per_cent(lies.fair_share),
        verdicts=tuple(
            (method.verdict_words[verdict], per_cent(lies.verdicts[verdict]))
            for verdict in _TOLD
            if verdict in method.verdict_words
        ),
        cases=tuple(
            CaseLine(
                words=condition.words,
                asked=per_cent(scenario.shares[condition.name] / total),
                lies=per_cent(lies.conditions.get(condition.name, 0.0)),
                as_meant=per_cent(lies.as_meant[condition.name]) if condition.name in lies.as_meant else "–",
            )
            for condition in method.conditions
            if scenario.shares.get(condition.name, 0.0) > 0
        ),
        results=tuple(_result_plots(scenario, lies, units)),
        ranges=tuple(
            ReadingRange(
                reading=reading,
                instrument=scenario.instruments[reading.name],
                least=lies.readings[reading.name][0],
                greatest=lies.readings[reading.name][1],
            )
            for reading in method.readings
            if reading.name in lies.readings
        ),
    )


def _result_plots(scenario: Scenario, lies: Spread, units: str) -> list[ResultPlot]:
    """Every held result about its limit, in the method's order; then what is asked besides."""
    method = scenario.method
    limits = {hold.result: scenario.limits[hold.limit] for hold in method.held}
    names = {hold.result: method.limits[hold.limit] for hold in method.held}
    finest = min(instrument.step for instrument in scenario.instruments.values())
    plots = []
    for name in (*limits, *(asked for asked in scenario.asked if asked not in limits)):
        line = method.line(name)
        limit = limits.get(name)
        words = f"{names[name]}: {limit_text(limit, line.kind, units)}" if limit else ""
        step = shown_step(scenario, finest) if line.kind is Kind.LENGTH else None
        plots.append(
            ResultPlot(
                name=name,
                label=line.label,
                limit=limit,
                limit_words=words,
                values=lies.results[name],
                unit=unit_of(line, units),
                step=step,
            )
        )
    return plots


def sample(scenario: Scenario, seed: int, units: str) -> Sample:
    """The fair draw of a seed, and the right answer to it marked. Raises UnfairScenarioError."""
    drawn = draw(scenario, seed)
    key = key_to(scenario, drawn)
    return Sample(
        seed=seed,
        case=scenario.method.condition(drawn.condition).words,
        oddity=drawn.oddity,
        readings=tuple(
            SampleReading(
                reading=reading,
                instrument=scenario.instruments[reading.name],
                value=drawn.readings[reading.name],
                text=reading_text(scenario, reading.name, drawn.readings[reading.name]),
            )
            for reading in scenario.method.readings
        ),
        marked=document(key, score(key, _right_answer(key)), {}, units),
    )


def _right_answer(key: Key) -> Answer:
    method, verdict = key.scenario.method, key.verdicts[0]
    return Answer(
        readings=key.draw.readings,
        results={name: key.values[name] for name in key.scenario.asked},
        verdict=verdict if method.verdict_words else None,
        action=method.actions[verdict].name if method.actions else None,
    )
