"""What the drill pages show, gathered from an attempt: pictures beside their fields, limits, given sizes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.forms import BoundField

from assessments.drills.forms import AnswerForm
from assessments.drills.models import Attempt
from assessments.engine.answers import ACTION, VERDICT, Understood, questions
from assessments.engine.draws import Draw
from assessments.engine.instrument import Instrument
from assessments.engine.kinds import Kind
from assessments.engine.marked import limit_text
from assessments.engine.quantities import show
from assessments.engine.scenario import Scenario
from assessments.engine.scoring import Mark
from assessments.engine.working import unit_for


@dataclass(frozen=True, slots=True)
class Picture:
    """One instrument as it is to be read."""

    ident: str
    instrument: Instrument
    reading: float
    oddity: str
    label: str
    where: str


@dataclass(frozen=True, slots=True)
class Seen:
    """A picture and the field for what is read off it."""

    picture: Picture
    field: BoundField


@dataclass(frozen=True, slots=True)
class Given:
    """A line of what is given: from the sheet, or of the gauge."""

    label: str
    text: str
    source: str


def pictures(scenario: Scenario, draw: Draw) -> tuple[Picture, ...]:
    """The faces of a draw in the order of the readings."""
    found = []
    for number, reading in enumerate(scenario.method.readings, start=1):
        instrument = scenario.instruments[reading.name]
        oddity = draw.oddity if draw.oddity in instrument.oddities else ""
        found.append(
            Picture(f"face{number}", instrument, draw.readings[reading.name], oddity, reading.label, reading.where)
        )
    return tuple(found)


def seen(form: AnswerForm, draw: Draw) -> tuple[Seen, ...]:
    """Each picture with its field."""
    return tuple(
        Seen(picture, form[question.field])
        for picture, question in zip(
            pictures(form.scenario, draw),
            (one for one in questions(form.scenario, form.system) if one.is_reading),
            strict=True,
        )
    )


def worked_fields(form: AnswerForm) -> tuple[BoundField, ...]:
    """The fields of what has to be worked out."""
    return tuple(form[one.field] for one in questions(form.scenario, form.system) if not one.is_reading)


def choice_fields(form: AnswerForm) -> tuple[BoundField, ...]:
    """Verdict and action, where the method has them."""
    return tuple(form[name] for name in (VERDICT, ACTION) if name in form.fields)


def given(scenario: Scenario, system: str) -> tuple[Given, ...]:
    """Sizes and limits a learner needs, as the sheet or the gauge gives them."""
    dims = [
        Given(dim.label, show(scenario.dims[dim.name], unit_for(dim.kind, system)), "")
        for dim in scenario.method.dims
        if dim.is_shown
    ]
    limits = [
        Given(words, limit_text(scenario.limits[name], _kind(scenario, name), system), scenario.limits[name].source)
        for name, words in scenario.method.limits.items()
    ]
    return (*dims, *limits)


def _kind(scenario: Scenario, limit: str) -> Kind:
    for hold in scenario.method.held:
        if hold.limit == limit:
            return scenario.method.line(hold.result).kind
    return Kind.LENGTH


@dataclass(frozen=True, slots=True)
class ReviewRow:
    """One line of the look-over page: what was asked, and how the answer was understood; "" if left blank."""

    label: str
    text: str


def review_rows(scenario: Scenario, attempt: Attempt, understood: Understood) -> tuple[ReviewRow, ...]:
    """Everything typed, as it will count."""
    numbers = [
        ReviewRow(question.label, understood.echoes.get(question.field, ""))
        for question in questions(scenario, attempt.revision.units)
    ]
    method = scenario.method
    if not method.verdict_words:
        return tuple(numbers)
    verdict = understood.answer.verdict
    actions = {action.name: action.words for action in method.actions.values()}
    return (
        *numbers,
        ReviewRow("Held against the sheet, it is", "" if verdict is None else method.verdict_words[verdict]),
        ReviewRow("So you would", actions.get(understood.answer.action or "", "")),
    )


def summary(marked: Mapping[str, Any]) -> str:
    """The first sentence of a marked answer."""
    if marked["is_unsafe"]:
        return "A fit that is not inside the sheet was accepted. That is unsafe, and fails the whole item."
    points, out_of = marked["points"], marked["out_of"]
    if marked["is_right"]:
        return "Every part is right."
    carried = sum(part["mark"] == Mark.CARRIED.value for part in marked["parts"])
    sentence = f"{points} of {out_of} parts earned their mark."
    if carried:
        sentence += " What follows rightly from an earlier wrong number is carried forward, and says so."
    return sentence


def title_block(attempt: Attempt, number: int) -> tuple[tuple[str, str], ...]:
    """The block at the foot: which task, machine, sheet, scenario and draw this is."""
    revision = attempt.revision
    machine = revision.sheet.machine
    invented = ", invented" if machine.is_invented else ""
    return (
        ("Task", str(revision.scenario.task)),
        ("Machine", machine.name),
        ("Sheet", f"revision {revision.sheet.number}{invented}"),
        ("Scenario", f"{revision.scenario.slug}, revision {revision.number}"),
        ("Draw", f"{number} of your drills"),
    )
