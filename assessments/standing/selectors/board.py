"""Who stands where on a day: everybody by every task."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Exists, F, OuterRef, Q, QuerySet

from assessments.ledger.models import Event
from assessments.standing.dossiers import standings
from assessments.standing.loading import load_book, load_dossiers
from assessments.standing.rules import Standing
from courses.people.models import Crew, Person, RoleHeld
from courses.people.roles import Role
from courses.tasks.models import Task

READERS = (Role.SUPERVISOR, Role.ASSESSOR, Role.INSTRUCTOR, Role.AUDITOR, Role.ADMINISTRATOR)


THIN_COVER = 2


def standings_of(
    people: Iterable[Person], on: date, as_known_at: datetime | None = None, tasks: Iterable[Task] | None = None
) -> dict[int, dict[str, Standing]]:
    """Where each person stands with each task on a day, by person and task code. A fixed number of queries.

    Worked out from events and evidence, so it is never stale. ``as_known_at``: leaving out what was entered later.
    ``tasks``: every task, if they are at hand.
    """
    book = load_book(as_known_at, tasks)
    return {pk: standings(book, dossier, on) for pk, dossier in load_dossiers(people, as_known_at, on).items()}


def may_read_board(reader: Person) -> bool:
    return reader.has_role(*READERS)


def people_on_board(on: date, today: date) -> QuerySet[Person]:
    """Those who do the work or ever signed for a task; people who have left appear on past days only."""
    has_events = Event.objects.filter(person=OuterRef("pk"))
    works = RoleHeld.objects.filter(person=OuterRef("pk"), role=Role.MECHANIC)
    people = Person.objects.filter(Q(Exists(works)) | Q(Exists(has_events)), joined_on__lte=on)
    if on >= today:
        people = people.filter(is_active=True)
    return people.select_related("crew").order_by(F("crew__name").asc(nulls_last=True), "full_name")


@dataclass(frozen=True, slots=True)
class Cell:
    task: Task
    standing: Standing

    @property
    def mark(self) -> str:
        """The name of the mark: the state, or restricted where a held task is bound to a condition."""
        if self.standing.state.holds and self.standing.restrictions:
            return "restricted"
        return str(self.standing.state).replace(" ", "-")

    @property
    def words(self) -> str:
        restricted = ", restricted" if self.mark == "restricted" else ""
        return f"{self.standing.state}{restricted}"


@dataclass(frozen=True, slots=True)
class BoardRow:
    person: Person
    cells: tuple[Cell, ...]

    @property
    def held(self) -> int:
        return sum(cell.standing.state.holds for cell in self.cells)


@dataclass(frozen=True, slots=True)
class Cover:
    """A task and how many people may do it."""

    task: Task
    holders: int


@dataclass(frozen=True, slots=True)
class Board:
    on: date
    tasks: tuple[Task, ...]
    rows: tuple[BoardRow, ...]
    thin: tuple[Cover, ...]


def board(
    *, on: date, today: date, crew: Crew | None = None, task: Task | None = None, as_known_at: datetime | None = None
) -> Board:
    """Every person by every task on a day. Cover is counted over everybody, not only over the crew shown."""
    people = list(people_on_board(on, today))
    tasks = list(Task.objects.order_by("code"))
    answers = standings_of(people, on, as_known_at, tasks)
    shown = [task] if task else tasks
    rows = tuple(
        BoardRow(person, tuple(Cell(each, answers[person.pk][each.code]) for each in shown))
        for person in people
        if crew is None or person.crew_id == crew.pk
    )
    covers = [Cover(each, sum(answers[person.pk][each.code].state.holds for person in people)) for each in shown]
    return Board(on, tuple(shown), rows, tuple(cover for cover in covers if cover.holders < THIN_COVER))


@dataclass(frozen=True, slots=True)
class MarkWord:
    mark: str
    words: str


KEY = (
    MarkWord("qualified", "qualified"),
    MarkWord("due", "due: ends soon"),
    MarkWord("restricted", "held under a restriction"),
    MarkWord("ready-for-sign-off", "ready for sign-off"),
    MarkWord("in-training", "in training"),
    MarkWord("lapsed", "lapsed"),
    MarkWord("suspended", "suspended"),
    MarkWord("withdrawn", "withdrawn"),
    MarkWord("not-started", "not started"),
)
