"""What a learner is asked in a scenario, and what was typed turned into an answer the engine can score."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from assessments.engine.errors import UnreadableQuantityError
from assessments.engine.kinds import Kind
from assessments.engine.quantities import Typed, read, understood
from assessments.engine.scenario import Scenario
from assessments.engine.scoring import Answer
from assessments.engine.verdicts import Verdict
from assessments.engine.working import unit_of

VERDICT = "verdict"
ACTION = "action"


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One number that is asked for. field: its name in a form. unit: the field's own, where none is typed.

    least: what it cannot be less than, inner unit: nothing, for what an instrument without a minus shows.
    """

    field: str
    name: str
    label: str
    where: str
    kind: Kind
    unit: str
    step: float
    is_reading: bool
    least: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Understood:
    """Everything typed, as it was understood.

    echoes: field to text, in both systems. errors: field to the sentence that refuses it.
    blanks: fields left empty that the answer needs.
    """

    answer: Answer
    echoes: Mapping[str, str]
    errors: Mapping[str, str]
    blanks: tuple[str, ...]


def questions(scenario: Scenario, system: str) -> tuple[Question, ...]:
    """Readings first, in their instruments' units; then the results asked, in the system's units."""
    finest = min(instrument.step for instrument in scenario.instruments.values())
    readings = [
        Question(
            field=f"reading-{reading.name}",
            name=reading.name,
            label=reading.label,
            where=reading.where,
            kind=reading.kind,
            unit=scenario.instruments[reading.name].unit,
            step=scenario.instruments[reading.name].step,
            is_reading=True,
            least=None if scenario.instruments[reading.name].low < 0 else 0.0,
        )
        for reading in scenario.method.readings
    ]
    results = [
        Question(
            field=f"result-{line.name}",
            name=line.name,
            label=line.label,
            where="",
            kind=line.kind,
            unit=unit_of(line, system),
            step=finest / 10,
            is_reading=False,
            least=line.least,
        )
        for line in scenario.method.results
        if line.name in scenario.asked
    ]
    return (*readings, *results)


def understand_one(question: Question, text: str) -> Typed:
    """One typed number. Raises UnreadableQuantityError."""
    return read(text, question.kind, question.unit, least=question.least)


def echo(question: Question, typed: Typed) -> str:
    """How it was understood, in both systems."""
    # One place finer than the instrument reads, or the other system would hide the difference of one line.
    return understood(typed, question.step / 10 if question.is_reading else question.step)


def understand(scenario: Scenario, system: str, typed: Mapping[str, str]) -> Understood:
    """All that was typed, by field. Choices that the method does not offer are refused like unreadable numbers.

    A verdict of void needs no results: what was not measured cannot be worked. Nor does it need readings in a
    method whose void is seen, not read.
    """
    numbers: dict[str, dict[str, float]] = {"reading": {}, "result": {}}
    echoes: dict[str, str] = {}
    errors: dict[str, str] = {}
    blanks: list[str] = []
    verdict = _chosen_verdict(scenario, typed, errors, blanks)
    action = _chosen_action(scenario, typed, errors, blanks)
    is_void, is_void_seen = verdict is Verdict.VOID, any(one.oddity for one in scenario.method.conditions)
    for question in questions(scenario, system):
        text = typed.get(question.field, "").strip()
        if not text:
            if not is_void or (question.is_reading and not is_void_seen):
                blanks.append(question.field)
            continue
        try:
            quantity = understand_one(question, text)
        except UnreadableQuantityError as error:
            errors[question.field] = str(error)
        else:
            numbers["reading" if question.is_reading else "result"][question.name] = quantity.value
            echoes[question.field] = echo(question, quantity)
    answer = Answer(readings=numbers["reading"], results=numbers["result"], verdict=verdict, action=action)
    return Understood(answer=answer, echoes=echoes, errors=errors, blanks=tuple(blanks))


def _chosen_verdict(
    scenario: Scenario, typed: Mapping[str, str], errors: dict[str, str], blanks: list[str]
) -> Verdict | None:
    words = scenario.method.verdict_words
    if not words:
        return None
    chosen = typed.get(VERDICT, "")
    if not chosen:
        blanks.append(VERDICT)
        return None
    if chosen not in {verdict.value for verdict in words}:
        errors[VERDICT] = "Choose one of the verdicts shown."
        return None
    return Verdict(chosen)


def _chosen_action(
    scenario: Scenario, typed: Mapping[str, str], errors: dict[str, str], blanks: list[str]
) -> str | None:
    actions = scenario.method.actions
    if not actions:
        return None
    chosen = typed.get(ACTION, "")
    if not chosen:
        blanks.append(ACTION)
        return None
    if chosen not in {action.name for action in actions.values()}:
        errors[ACTION] = "Choose one of the ways shown."
        return None
    return chosen
