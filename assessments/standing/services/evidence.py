"""Evidence that people enter: work done, absences, what calls for a refresher.

What may correct what is checked by the ledger, which raises ``CorrectionRefusedError``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db import transaction
from django.utils.timezone import localdate

from assessments.ledger import services as ledger
from assessments.ledger.models import Occurrence, WorkDone
from assessments.ledger.selectors import may_enter_evidence
from assessments.standing import errors
from assessments.standing.services.table import refresh

if TYPE_CHECKING:
    from datetime import date, datetime

    from courses.machines.models import Machine
    from courses.people.models import Person
    from courses.tasks.models import Task


@transaction.atomic
def record_work(
    *,
    person: Person,
    task: Task,
    on: date,
    note: str,
    by: Person,
    at: datetime,
    machine: Machine | None = None,
    corrects: WorkDone | None = None,
    happened: bool = True,
) -> WorkDone:
    """Enter that a person did a task, and work out their standing anew.

    The same entry by the same person, while it stands, is entered once however often it is sent.
    """
    _check_enters_evidence(person, by, on, at)
    ledger.lock_line(person)
    earlier = WorkDone.objects.filter(
        person=person, task=task, on=on, note=note.strip(), entered_by=by, machine=machine,
        corrects=corrects, happened=happened, corrected_by=None,
    ).first()  # fmt: skip
    if earlier:
        return earlier
    row = ledger.record_work(
        person=person, task=task, on=on, note=note, by=by, at=at, machine=machine, corrects=corrects, happened=happened
    )
    refresh(person=person, at=at)
    return row


@transaction.atomic
def record_occurrence(
    *,
    person: Person,
    kind: str,
    on: date,
    note: str,
    by: Person,
    at: datetime,
    task: Task | None = None,
    to_on: date | None = None,
    corrects: Occurrence | None = None,
    happened: bool = True,
) -> Occurrence:
    """Enter an absence or what calls for a refresher, and work out the person's standing anew.

    An open absence is ended by a further row that ``corrects`` it and names the last day, which may lie ahead.
    The same entry by the same person, while it stands, is entered once however often it is sent.
    """
    _check_enters_evidence(person, by, on, at)
    ledger.lock_line(person)
    earlier = Occurrence.objects.filter(
        person=person, task=task, kind=kind, on=on, to_on=to_on, note=note.strip(), entered_by=by,
        corrects=corrects, happened=happened, corrected_by=None,
    ).first()  # fmt: skip
    if earlier:
        return earlier
    row = ledger.record_occurrence(
        person=person,
        kind=kind,
        on=on,
        note=note,
        by=by,
        at=at,
        task=task,
        to_on=to_on,
        corrects=corrects,
        happened=happened,
    )
    refresh(person=person, at=at)
    return row


def _check_enters_evidence(person: Person, by: Person, on: date, at: datetime) -> None:
    if not may_enter_evidence(by, person):
        raise errors.NotAuthorisedError("A supervisor, an assessor or an instructor enters this, for somebody else.")
    if on > localdate(at):
        raise errors.NotYetError(on)
