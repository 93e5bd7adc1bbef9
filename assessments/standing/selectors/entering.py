"""Whether the reader may enter evidence about a person, and which entry they want to correct."""

from __future__ import annotations

from dataclasses import dataclass

from assessments.ledger.models import Occurrence, WorkDone
from assessments.ledger.selectors import may_correct, may_enter_evidence, may_read_record
from courses.people.models import Person


@dataclass(frozen=True, slots=True)
class Entering:
    """What is to be entered about whom. ``row``: the entry that it corrects; ``may_read_record``: where to go afterwards."""

    person: Person
    row: WorkDone | Occurrence | None
    may_read_record: bool


def entering(reader: Person, person_pk: int, kind: str, row_pk: int | None) -> Entering | None:
    """None where the person or the entry does not exist, or is not for the reader to enter or correct."""
    person = Person.objects.filter(pk=person_pk).first()
    if person is None or not may_enter_evidence(reader, person):
        return None
    row = None if row_pk is None else _entry(person, kind, row_pk)
    if row_pk is not None and (row is None or not may_correct(reader, row)):
        return None
    return Entering(person, row, may_read_record(reader, person))


def _entry(person: Person, kind: str, pk: int) -> WorkDone | Occurrence | None:
    """An entry that says that something happened; one that only takes another back is not corrected again."""
    if kind == "work":
        return WorkDone.objects.select_related("task").filter(pk=pk, person=person, happened=True).first()
    return Occurrence.objects.select_related("task").filter(pk=pk, person=person, happened=True).first()
