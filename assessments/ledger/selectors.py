"""Reading the ledger: a person's line, as it is or as it was known at an instant, and who may read it."""

from __future__ import annotations

import itertools
from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db import connections
from django.db.models import Exists, OuterRef, Q, QuerySet

from assessments.ledger import chain
from assessments.ledger.guards import faulty_guards
from assessments.ledger.models import GUARDED_TABLES, Event, Line, Occurrence, WorkDone
from courses.people.models import Person
from courses.people.roles import Role

if TYPE_CHECKING:
    from datetime import datetime

READERS = (Role.SUPERVISOR, Role.ASSESSOR, Role.AUDITOR, Role.ADMINISTRATOR)
ENTERS_EVIDENCE = (Role.SUPERVISOR, Role.ASSESSOR, Role.INSTRUCTOR)


def may_read_record(reader: Person, person: Person) -> bool:
    """One's own record, and anybody's for those who assess, supervise, audit or administer."""
    return reader.pk == person.pk or reader.has_role(*READERS)


def may_enter_evidence(by: Person, person: Person) -> bool:
    """Those who teach, assess or supervise say what they saw of others, never of themselves."""
    return by.pk != person.pk and by.has_role(*ENTERS_EVIDENCE)


def may_correct(by: Person, entry: WorkDone | Occurrence) -> bool:
    """Evidence is corrected by whoever entered it or by a supervisor, never by the person whom it is about.

    A refresher call keeps somebody off the machine; it is not for every other teacher to take back.
    """
    is_theirs = entry.entered_by_id == by.pk or by.has_role(Role.SUPERVISOR)
    return is_theirs and by.pk != entry.person_id and by.has_role(*ENTERS_EVIDENCE)


def get_person_for(reader: Person, pk: int) -> Person | None:
    """The person whose record this is, or None: missing and hidden answer alike."""
    person = Person.objects.select_related("crew").filter(pk=pk).first()
    return person if person and may_read_record(reader, person) else None


def events_of(person: Person, as_known_at: datetime | None = None) -> QuerySet[Event]:
    """A person's line in order; with ``as_known_at``, only what had been entered by then."""
    return events_of_all([person], as_known_at)


def events_of_all(people: Iterable[Person], as_known_at: datetime | None = None) -> QuerySet[Event]:
    """The lines of several people, one after the other."""
    rows = Event.objects.filter(person__in=people).select_related("task", "about").order_by("person_id", "sequence")
    return rows if as_known_at is None else rows.filter(entered_at__lte=as_known_at)


def work_of_all(people: Iterable[Person], as_known_at: datetime | None = None) -> QuerySet[WorkDone]:
    """Work done that stands: not corrected by a later row, and not itself a retraction."""
    rows = WorkDone.objects.filter(person__in=people, happened=True).select_related("task", "machine", "entered_by")
    return rows.filter(_standing_entries(as_known_at)).order_by("person_id", "on", "pk")


def occurrences_of_all(people: Iterable[Person], as_known_at: datetime | None = None) -> QuerySet[Occurrence]:
    """Absences and refresher calls that stand."""
    rows = Occurrence.objects.filter(person__in=people, happened=True).select_related("task", "entered_by")
    return rows.filter(_standing_entries(as_known_at)).order_by("person_id", "on", "pk")


@dataclass(frozen=True, slots=True)
class EntryLine:
    """Evidence as the record lists it, also where a later row has taken its place."""

    entry: WorkDone | Occurrence
    corrected_at: datetime | None
    may_correct: bool = False

    @property
    def counts(self) -> bool:
        return self.entry.happened and self.corrected_at is None


def work_lines(person: Person, as_known_at: datetime | None = None, reader: Person | None = None) -> list[EntryLine]:
    """Every entry of work done about a person, by its day. ``reader`` may correct some of them. One query."""
    rows = WorkDone.objects.select_related("task", "machine", "entered_by", "corrects", "corrected_by")
    return _lines(rows.filter(person=person).order_by("on", "pk"), as_known_at, reader)


def occurrence_lines(
    person: Person, as_known_at: datetime | None = None, reader: Person | None = None
) -> list[EntryLine]:
    """Every absence and refresher call entered about a person, by its day. ``reader`` may correct some of them. One query."""
    rows = Occurrence.objects.select_related("task", "entered_by", "corrects", "corrected_by")
    return _lines(rows.filter(person=person).order_by("on", "pk"), as_known_at, reader)


def _lines(
    rows: Iterable[WorkDone] | Iterable[Occurrence], as_known_at: datetime | None, reader: Person | None
) -> list[EntryLine]:
    found = []
    for row in rows:
        later = getattr(row, "corrected_by", None)
        corrected_at = later.entered_at if later and _was_known(later.entered_at, as_known_at) else None
        if _was_known(row.entered_at, as_known_at):
            counts = row.happened and corrected_at is None
            may = as_known_at is None and counts and reader is not None and may_correct(reader, row)
            found.append(EntryLine(row, corrected_at, may))
    return found


def _was_known(entered_at: datetime, as_known_at: datetime | None) -> bool:
    return as_known_at is None or entered_at <= as_known_at


def _standing_entries(as_known_at: datetime | None) -> Q:
    if as_known_at is None:
        return Q(corrected_by=None)
    return Q(entered_at__lte=as_known_at) & (Q(corrected_by=None) | Q(corrected_by__entered_at__gt=as_known_at))


def first_break_of(person: Person, events: Iterable[Event] | None = None) -> chain.Break | None:
    """Walk one person's line against its own hashes and against its noted length and head; ``events`` if they are at hand."""
    line = Line.objects.filter(person=person).first()
    links = (event.link for event in (events_of(person) if events is None else events))
    return chain.first_break(links, length=line.length if line else 0, head=line.head_hash if line else chain.START)


@dataclass(frozen=True, slots=True)
class BrokenLine:
    person_id: int
    broken: chain.Break


@dataclass(slots=True)
class Walk:
    """A walk over every line, in constant memory: ``broken`` yields, the counts grow while it does."""

    lines: int = 0
    events: int = 0

    def broken(self) -> Iterator[BrokenLine]:
        """The first break of every line that has one."""
        rows = (
            Event.objects.select_related("task", "about", "person__line")
            .order_by("person_id", "sequence")
            .iterator(chunk_size=2000)
        )
        for person_id, events in itertools.groupby(rows, key=lambda event: event.person_id):
            self.lines += 1
            found = self._first_break(events)
            if found:
                yield BrokenLine(person_id, found)
        has_events = Event.objects.filter(person=OuterRef("person"))
        for line in Line.objects.filter(~Exists(has_events), length__gt=0).order_by("person_id"):
            self.lines += 1
            yield BrokenLine(line.person_id, chain.Break(1, f"the line has no events, {line.length} were entered"))

    def _first_break(self, events: Iterator[Event]) -> chain.Break | None:
        """Walk one line, counting its events, also those behind the break."""
        first = next(events)
        line: Line | None = getattr(first.person, "line", None)  # its row may be gone: then nothing was noted
        rest = (self._count(event) for event in itertools.chain([first], events))
        noted = (line.length, line.head_hash) if line else (0, chain.START)
        found = chain.first_break(rest, length=noted[0], head=noted[1])
        deque(rest, maxlen=0)
        return found

    def _count(self, event: Event) -> chain.Link:
        self.events += 1
        return event.link


def guards_missing(tables: Mapping[str, Sequence[Sequence[str]]] = GUARDED_TABLES, using: str = "default") -> list[str]:
    """Guards that should stand in this database and do not, or do not say what they should."""
    return faulty_guards(connections[using], tables)
