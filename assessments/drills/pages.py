"""What the drill pages show, gathered from an attempt."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.forms import BoundField
from django.utils.formats import date_format
from django.utils.timezone import localtime

from assessments.drills.forms import AnswerForm
from assessments.drills.models import Attempt
from assessments.engine.answers import ACTION, VERDICT, Understood, questions, understand
from assessments.engine.draws import Draw
from assessments.engine.instrument import Instrument
from assessments.engine.instruments import find_instrument
from assessments.engine.kinds import Kind
from assessments.engine.marked import limit_text
from assessments.engine.methods import find_method
from assessments.engine.quantities import show, show_both
from assessments.engine.scenario import Scenario
from assessments.engine.scoring import Mark, What
from assessments.engine.working import unit_for
from assessments.scenarios.adapters import engine_scenario, kind_of_limit
from courses.people.models import Person

HUNDREDTH = 0.01  # mm: as strip and journals are named


@dataclass(frozen=True, slots=True)
class Picture:
    """One instrument as it is to be read. reads: what it reads, on the page where that is told."""

    ident: str
    instrument: Instrument
    reading: float
    oddity: str
    label: str
    reads: str = ""


@dataclass(frozen=True, slots=True)
class Seen:
    """A picture and the field for what is read off it."""

    picture: Picture
    field: BoundField


@dataclass(frozen=True, slots=True)
class Line:
    """What it is, how much, and where that is laid down."""

    label: str
    text: str
    source: str = ""


def pictures(attempt: Attempt, reads: Mapping[str, str] | None = None) -> tuple[Picture, ...]:
    """The faces of the attempt's own draw in the order of the readings. reads: what to say of each, by reading.

    They hang on the stored draw, the method and the instruments alone: nothing that was revised since can change them.
    """
    draw = Draw.of_document(attempt.draw)
    found = []
    for number, reading in enumerate(find_method(attempt.revision.method).readings, start=1):
        instrument = find_instrument(attempt.revision.instruments[reading.name])
        oddity = draw.oddity if draw.oddity in instrument.oddities else ""
        said = (reads or {}).get(reading.name, "")
        found.append(
            Picture(f"face{number}", instrument, draw.readings[reading.name], oddity, reading.label, reads=said)
        )
    return tuple(found)


def _size(shown: Sequence[object]) -> str:
    """How the drawings are laid out, by their number."""
    return {1: "one-face", 2: "two-faces"}.get(len(shown), "many-faces")


def answer_page(attempt: Attempt, form: AnswerForm, number: int, token: str) -> dict[str, Any]:
    """The form with each drawing beside its field, and what is given."""
    seen = [
        Seen(picture, form[one.field])
        for picture, one in zip(pictures(attempt), [one for one in form.asked if one.is_reading], strict=True)
    ]
    return {
        "attempt": attempt,
        "form": form,
        "token": token,
        "instruments": list(dict.fromkeys(one.picture.instrument.title for one in seen)),
        "seen": seen,
        "layout": _size(seen),
        "worked_fields": [form[one.field] for one in form.asked if not one.is_reading],
        "choice_fields": [form[name] for name in (VERDICT, ACTION) if name in form.fields],
        "given": given(form.scenario, form.system),
        "formulas": formulas(form.scenario),
        "caution": form.scenario.method.caution,
        "title_block": title_block(attempt, number),
    }


def given(scenario: Scenario, system: str) -> tuple[Line, ...]:
    """Sizes and limits a learner needs, as the sheet or the gauge gives them."""
    dims = [
        Line(dim.label, _size_text(scenario.dims[dim.name], dim.kind, system))
        for dim in scenario.method.dims
        if dim.is_shown
    ]
    limits = [
        Line(
            words,
            limit_text(scenario.limits[name], kind_of_limit(scenario.method, name), system),
            scenario.limits[name].source,
        )
        for name, words in scenario.method.limits.items()
    ]
    return (*dims, *limits)


def _size_text(value: float, kind: Kind, system: str) -> str:
    """A size as the gauge or the sheet has it; a length in both systems: an inch shop buys strip in millimetres."""
    unit = unit_for(kind, system)
    return show_both(value, kind, unit, HUNDREDTH) if kind is Kind.LENGTH else show(value, unit)


def formulas(scenario: Scenario) -> tuple[Line, ...]:
    """How the results are worked, in symbols: nothing where a reading is all that is asked."""
    method = scenario.method
    if not scenario.asked:
        return ()
    return (
        *(Line(reading.label, reading.symbol) for reading in method.readings),
        *(Line(dim.label, dim.symbol) for dim in method.dims if dim.is_shown),
        *(
            Line(line.label, f"{line.symbol} = {line.formula}")
            for line in method.lines
            if line.name in scenario.asked or not line.is_result
        ),
    )


def kept_answer(attempt: Attempt, scenario: Scenario, token: str) -> dict[str, Any]:
    """What the page is told after something was kept: all that is kept now, and how each field is understood."""
    if attempt.is_handed_in:
        return {"is_handed_in": True}
    understood = understand(scenario, attempt.revision.units, attempt.typed)
    return {
        "is_handed_in": False,
        "token": token,
        "kept": attempt.typed,
        "echoes": dict(understood.echoes),
        "errors": dict(understood.errors),
    }


def review_page(attempt: Attempt, number: int, token: str) -> dict[str, Any] | None:
    """Everything kept, as it would count. None if some of it cannot be read: the form says why."""
    scenario = engine_scenario(attempt.revision)
    understood = understand(scenario, attempt.revision.units, attempt.typed)
    if understood.errors:
        return None
    return {
        "attempt": attempt,
        "rows": review_rows(scenario, attempt.revision.units, understood),
        "blanks": len(understood.blanks),
        "token": token,
        "title_block": title_block(attempt, number),
    }


def review_rows(scenario: Scenario, system: str, understood: Understood) -> tuple[Line, ...]:
    """Each question with how its answer was understood; the text is empty where it was left blank."""
    rows = [Line(one.label, understood.echoes.get(one.field, "")) for one in questions(scenario, system)]
    method = scenario.method
    if method.verdict_words:
        verdict = understood.answer.verdict
        rows.append(Line("Held against the sheet, it is", "" if verdict is None else method.verdict_words[verdict]))
    if method.actions:
        actions = {action.name: action.words for action in method.actions.values()}
        rows.append(Line("So you would", actions.get(understood.answer.action or "", "")))
    return tuple(rows)


# --- the marked answer: from the stored document alone --------------------------------------------------------

MARK_NOTES = {
    Mark.CARRIED.value: "Carried forward: not the right figure, but it follows rightly from your own earlier one, "
    "and so it earns its mark.",
    Mark.NOT_COUNTED.value: "Not counted: a measurement that is void has no figure to be right or wrong.",
    Mark.UNSAFE.value: "Unsafe: a fit that is not inside the sheet was accepted. No part of such an item earns a mark.",
}
_TAG = {Mark.RIGHT.value: "firm", Mark.WRONG.value: "grave", Mark.UNSAFE.value: "grave"}


@dataclass(frozen=True, slots=True)
class PartRow:
    """A scored part. tag: how its mark is drawn. is_number: figures, to be set under one another."""

    label: str
    yours: str
    right: str
    allowed: str
    mark: str
    tag: str
    is_number: bool


@dataclass(frozen=True, slots=True)
class WorkRow:
    """A line of the working. yours: what was given instead, on the line where the ways part."""

    label: str
    begin: str
    numbers: str
    value: str
    is_result: bool
    is_parting: bool
    yours: str


def result_page(attempt: Attempt, number: int, reader: Person) -> dict[str, Any]:
    """A marked answer, exactly as it was given."""
    marked: dict[str, Any] = attempt.marked or {}
    reads = {part["name"]: part["right"][0] for part in marked["parts"] if part["what"] == What.READING.value}
    if marked["oddity"]:
        reads = dict.fromkeys(reads, "disturbed: no figure to be read")
    shown = pictures(attempt, reads)
    is_own = attempt.person_id == reader.pk
    return {
        "attempt": attempt,
        "marked": marked,
        "is_own": is_own,
        "may_draw": is_own and attempt.revision.scenario.is_open,
        "summary": summary(marked),
        "verdict": ", and ".join(marked["verdict_words"]),
        "parts": part_rows(marked),
        "notes": [note for mark, note in MARK_NOTES.items() if mark in {part["mark"] for part in marked["parts"]}],
        "working": work_rows(marked),
        "pictures": shown,
        "layout": _size(shown),
        "title_block": title_block(attempt, number, reader),
    }


def summary(marked: Mapping[str, Any]) -> str:
    """The first sentence of a marked answer."""
    points, out_of = marked["points"], marked["out_of"]
    if marked["is_unsafe"]:
        return "A fit that is not inside the sheet was accepted. That is unsafe, and fails the whole item."
    if marked["is_right"]:
        return "Every part is right."
    if points == out_of:
        return f"All {out_of} parts earned their mark, but not every figure is right: some follow from a wrong one."
    return f"{points} of {out_of} parts earned {'its' if points == 1 else 'their'} mark."


def part_rows(marked: Mapping[str, Any]) -> tuple[PartRow, ...]:
    """Part by part. What was not counted shows no right figure: there is none."""
    rows = []
    for part in marked["parts"]:
        is_counted = part["mark"] != Mark.NOT_COUNTED.value
        rows.append(
            PartRow(
                label=part["label"],
                yours=part["yours"] or "left blank",
                right=", or ".join(part["right"]) if is_counted else "none",
                allowed=part["allowed"] if is_counted else "",
                mark=part["mark"],
                tag=_TAG.get(part["mark"], ""),
                is_number=part["what"] in {What.READING.value, What.RESULT.value},
            )
        )
    return tuple(rows)


def work_rows(marked: Mapping[str, Any]) -> tuple[WorkRow, ...]:
    """The working, with the lines marked where the ways part: those of slips that are told for certain.

    A disturbed measurement has nothing to be worked.
    """
    if marked["oddity"]:
        return ()
    parting = {slip["parts_at"] for slip in marked["slips"] if slip["is_certain"]}
    yours = {part["name"]: part["yours"] for part in marked["parts"] if part["what"] == What.RESULT.value}
    return tuple(
        WorkRow(
            label=line["label"],
            begin=f"{line['symbol']} = {line['formula']}" if line["formula"] else f"{line['symbol']} = {line['value']}",
            numbers=line["numbers"],
            value=line["value"] if line["formula"] else "",
            is_result=line["is_result"],
            is_parting=line["name"] in parting,
            yours=yours.get(line["name"], "") if line["name"] in parting else "",
        )
        for line in marked["working"]
    )


def title_block(attempt: Attempt, number: int, reader: Person | None = None) -> tuple[tuple[str, str], ...]:
    """The block at the foot: which task, machine, sheet, scenario and draw this is, and when it was handed in."""
    revision = attempt.revision
    machine = revision.sheet.machine
    invented = ", invented" if machine.is_invented else ""
    whose = "your" if reader is None or reader.pk == attempt.person_id else f"{attempt.person}'s"
    handed_in = [] if attempt.handed_in_at is None else [("Handed in", _said(attempt))]
    return (
        ("Task", str(revision.scenario.task)),
        ("Machine", machine.name),
        ("Sheet", f"revision {revision.sheet.number}{invented}"),
        ("Scenario", f"{revision.scenario.slug}, revision {revision.number}"),
        ("Draw", f"number {number} of {whose} drills"),
        *handed_in,
    )


def _said(attempt: Attempt) -> str:
    return date_format(localtime(attempt.handed_in_at), "j F Y, H:i")
