"""The only way into the ledger: rows are appended, nothing else."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db import transaction

from assessments.ledger import chain
from assessments.ledger.models import Event, Line, Occurrence, WorkDone
from assessments.ledger.selectors import may_correct

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date, datetime
    from uuid import UUID

    from courses.machines.models import Machine
    from courses.people.models import Person
    from courses.tasks.models import Task


class TokenUsedError(ValueError):
    """The form's one-time token already made another event."""

    def __init__(self, event: Event) -> None:
        self.event = event
        super().__init__("This form was already used for another entry. Open the page again and sign anew.")


class OtherLineError(ValueError):
    """An event can only answer an earlier event of the same person and task."""

    def __init__(self) -> None:
        super().__init__("That event belongs to another person or another task.")


KEEPS_WHAT_IT_IS = (
    "A correction is about the same thing and the same task. Take the entry back and enter the other one."
)


class CorrectionRefusedError(ValueError):
    """An entry of evidence that this row may not take the place of. The message says why."""


def lock_line(person: Person) -> Line:
    """Hold the person's line until the transaction ends, so that no one else can add to it meanwhile.

    PostgreSQL locks the row; SQLite holds the whole file from BEGIN IMMEDIATE on.
    Raises ``TransactionManagementError`` outside a transaction, where nothing would be held.
    """
    if not transaction.get_connection().in_atomic_block:
        raise transaction.TransactionManagementError("A line is held only inside a transaction.")
    Line.objects.get_or_create(person=person)
    return Line.objects.select_for_update().get(person=person)


@transaction.atomic
def append(
    *,
    person: Person,
    task: Task,
    kind: str,
    effective_on: date,
    by: Person,
    meaning: str,
    reason: str,
    at: datetime,
    evidence: Mapping[str, chain.Json] | None = None,
    about: Event | None = None,
    restriction: str = "",
    until_on: date | None = None,
    token: UUID | None = None,
) -> Event:
    """Add an event to the end of a person's line.

    The same token twice gives the same event back and adds nothing. Raises ``TokenUsedError`` if the token made
    a different event, ``OtherLineError``, ``chain.NotCanonicalError``, and ``ValidationError`` for a row that does not hold.
    """
    line = lock_line(person)
    if token is not None and (earlier := Event.objects.filter(token=token).first()):
        if (earlier.person_id, earlier.task_id, earlier.kind, earlier.entered_by_id) != (
            person.pk,
            task.pk,
            kind,
            by.pk,
        ):
            raise TokenUsedError(earlier)
        return earlier
    if about is not None and (about.person_id, about.task_id) != (person.pk, task.pk):
        raise OtherLineError
    event = Event(
        person=person,
        task=task,
        sequence=line.length + 1,
        kind=str(kind),
        effective_on=effective_on,
        entered_at=at,
        entered_by=by,
        signed_name=by.full_name,
        meaning=str(meaning),
        reason=reason.strip(),
        evidence=dict(evidence or {}),
        about=about,
        restriction=restriction.strip(),
        until_on=until_on,
        token=token,
        previous_hash=line.head_hash,
    )
    event.hash = chain.link(line.head_hash, event.facts)
    event.full_clean(validate_unique=False, validate_constraints=False)  # a query each; clean() says the same
    event.save(force_insert=True)
    line.length = event.sequence
    line.head_hash = event.hash
    line.save(update_fields=["length", "head_hash"])
    return event


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
    """Enter that a person did a task; raises ``CorrectionRefusedError``. Standing is not worked out anew here: `standing.services.record_work` does both."""
    if corrects:
        _check_correction(corrects, person=person, task=task, by=by)
    row = WorkDone(
        person=person, task=task, on=on, note=note.strip(), entered_by=by, entered_at=at, machine=machine,
        corrects=corrects, happened=happened,
    )  # fmt: skip
    row.full_clean()
    row.save(force_insert=True)
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
    """Enter an absence, or what calls for a refresher; raises ``CorrectionRefusedError``. `standing.services.record_occurrence` also works out the standing."""
    if corrects:
        _check_correction(corrects, person=person, task=task, by=by)
        if corrects.kind != kind:
            raise CorrectionRefusedError(KEEPS_WHAT_IT_IS)
    row = Occurrence(
        person=person, task=task, kind=str(kind), on=on, to_on=to_on, note=note.strip(), entered_by=by, entered_at=at,
        corrects=corrects, happened=happened,
    )  # fmt: skip
    row.full_clean()
    row.save(force_insert=True)
    return row


def _check_correction(row: WorkDone | Occurrence, *, person: Person, task: Task | None, by: Person) -> None:
    """The row is about the same person and task, counts, is not corrected yet, and is for ``by`` to correct."""
    if row.person_id != person.pk:
        raise CorrectionRefusedError("That entry is about somebody else.")
    if not may_correct(by, row):
        raise CorrectionRefusedError("An entry is corrected by whoever entered it, or by a supervisor.")
    if row.task_id != (task.pk if task else None):
        raise CorrectionRefusedError(KEEPS_WHAT_IT_IS)
    if not row.happened or type(row).objects.filter(corrects_id=row.pk).exists():
        raise CorrectionRefusedError("That entry has been corrected already.")
