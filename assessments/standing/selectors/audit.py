"""The table of current standing held against what follows from the events."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import Exists, OuterRef, Q

from assessments.ledger.models import Event
from assessments.standing.dossiers import Rulebook, standings
from assessments.standing.loading import load_book, load_dossiers
from assessments.standing.models import CurrentStanding
from assessments.standing.rules import Standing, State
from courses.people.models import Person

LEARNING = frozenset({State.NOT_STARTED, State.IN_TRAINING, State.READY})


@dataclass(frozen=True, slots=True)
class Difference:
    person_id: int
    task_code: str
    table_says: str
    events_say: str


def differences(limit: int = 20, chunk: int = 200) -> list[Difference]:
    """The first differences between the table and what follows from the events, each row held against its own first day.

    A missing row differs; so does one older than the last change of a rule or procedure whose answer is no longer right.
    States before a grant count as one: they move with every drill and are worked out on reading.
    """
    book = load_book()
    has_events = Event.objects.filter(person=OuterRef("pk"))
    people = Person.objects.filter(Q(Exists(has_events)) | Q(standings__isnull=False)).distinct().order_by("pk")
    found: list[Difference] = []
    block: list[Person] = []
    for person in people.iterator(chunk_size=chunk):
        block.append(person)
        if len(block) == chunk:
            found += _differences_of(block, book)
            block = []
            if len(found) >= limit:
                return found[:limit]
    return (found + _differences_of(block, book))[:limit]


def _differences_of(people: list[Person], book: Rulebook) -> list[Difference]:
    dossiers = load_dossiers(people)
    rows = {
        (row.person_id, row.task.code): row
        for row in CurrentStanding.objects.filter(person__in=people).select_related("task")
    }
    found = []
    for pk, dossier in dossiers.items():
        by_day: dict[date, dict[str, Standing]] = {}
        for code in book.codes:
            row = rows.get((pk, code))
            if row is None:
                found.append(Difference(pk, code, "no row", "one row"))
                continue
            if row.from_on not in by_day:
                by_day[row.from_on] = standings(book, dossier, row.from_on)
            answer = by_day[row.from_on][code]
            if answer.state in LEARNING and row.state in LEARNING:
                continue
            table = (str(row.state), row.holds_until, list(row.restrictions), list(row.reasons))
            events = (str(answer.state), answer.until, list(answer.restrictions), list(answer.reasons))
            if table != events:
                found.append(Difference(pk, code, _said(*table), _said(*events)))
    return found


def _said(state: str, until: date | None, restrictions: list[str], reasons: list[str]) -> str:
    parts = [state, f"until {until}" if until else "", "; ".join(restrictions), " ".join(reasons)]
    return ", ".join(part for part in parts if part)
