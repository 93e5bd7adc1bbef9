"""Evidence that people enter: work done, absences, what calls for a refresher."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db import transaction
from django.utils.timezone import localdate

from assessments.ledger import services as ledger
from assessments.standing import errors
from assessments.standing.services.table import refresh
from courses.people.roles import Role

if TYPE_CHECKING:
    from datetime import date, datetime

    from assessments.ledger.models import Occurrence, WorkDone
    from courses.machines.models import Machine
    from courses.people.models import Person
    from courses.tasks.models import Task


ENTERS_EVIDENCE = (Role.SUPERVISOR, Role.ASSESSOR, Role.INSTRUCTOR)


@transaction.atomic
def record_work(
    *, person: Person, task: Task, on: date, note: str, by: Person, at: datetime, machine: Machine | None = None
) -> WorkDone:
    """Enter that a person did a task, and work out their standing anew."""
    _check_enters_evidence(person, by)
    if on > localdate(at):
        raise errors.NotYetError(on)
    ledger.lock_line(person)
    row = ledger.record_work(person=person, task=task, on=on, note=note, by=by, at=at, machine=machine)
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
) -> Occurrence:
    """Enter an absence or what calls for a refresher, and work out the person's standing anew.

    An open absence is ended by a further row that ``corrects`` it and names the last day.
    """
    _check_enters_evidence(person, by)
    ledger.lock_line(person)
    row = ledger.record_occurrence(
        person=person, kind=kind, on=on, note=note, by=by, at=at, task=task, to_on=to_on, corrects=corrects
    )
    refresh(person=person, at=at)
    return row


def _check_enters_evidence(person: Person, by: Person) -> None:
    if person.pk == by.pk or not by.has_role(*ENTERS_EVIDENCE):
        raise errors.NotAuthorisedError("A supervisor, an assessor or an instructor enters this, for somebody else.")
