"""What waits: signatures to give, and tasks that end soon."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from assessments.standing.rules import Act, State
from assessments.standing.selectors.board import Cell, people_on_board, standings_of
from courses.people.models import Person
from courses.tasks.models import Task


@dataclass(frozen=True, slots=True)
class Waiting:
    """A person and task that wants a signature, or will end soon."""

    person: Person
    cell: Cell


def waiting_for_signature(on: date, today: date) -> list[Waiting]:
    """Ready for sign-off, or waiting for a second signature, over everybody on the board."""
    return [
        each
        for each in everything(on, today)
        if each.cell.standing.state is State.READY or each.cell.standing.next_act is Act.COUNTERSIGN
    ]


def ending_within(days: int, on: date, today: date) -> list[Waiting]:
    """Held now, and ending within so many days, the first to end first."""
    last = on + timedelta(days=days)
    found = [
        (each.cell.standing.until, each)
        for each in everything(on, today)
        if each.cell.standing.state.holds and each.cell.standing.until is not None
    ]
    return [
        each for until, each in sorted(found, key=lambda pair: (pair[0], pair[1].person.full_name)) if until <= last
    ]


def everything(on: date, today: date) -> list[Waiting]:
    people = list(people_on_board(on, today))
    tasks = list(Task.objects.order_by("code"))
    answers = standings_of(people, on, tasks=tasks)
    return [Waiting(person, Cell(task, answers[person.pk][task.code])) for person in people for task in tasks]
