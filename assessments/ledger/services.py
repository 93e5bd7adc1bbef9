"""The only way into the ledger: rows are appended, nothing else."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db import transaction

from assessments.ledger import chain
from assessments.ledger.models import Event, Line, Occurrence, WorkDone

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
    """Enter that a person did a task. Standing is not worked out anew here: `standing.services.record_work` does both."""
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
    """Enter an absence, or what calls for a refresher. `standing.services.record_occurrence` also works out the standing."""
    row = Occurrence(
        person=person, task=task, kind=str(kind), on=on, to_on=to_on, note=note.strip(), entered_by=by, entered_at=at,
        corrects=corrects, happened=happened,
    )  # fmt: skip
    row.full_clean()
    row.save(force_insert=True)
    return row
