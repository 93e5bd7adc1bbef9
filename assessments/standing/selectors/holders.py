"""Who may do a task: by working it out for any day, or from the table for today."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Max, Q

from assessments.standing.models import CurrentStanding, TaskRule
from assessments.standing.rules import Standing, State
from assessments.standing.selectors.board import Cell, people_on_board, standings_of
from courses.people.models import Person
from courses.tasks.models import Task

NEAREST_SHOWN = 8


@dataclass(frozen=True, slots=True)
class Holder:
    person: Person
    cell: Cell


@dataclass(frozen=True, slots=True)
class Near:
    """Somebody who does not hold the task, and how much is missing."""

    person: Person
    cell: Cell

    @property
    def count(self) -> int:
        return len(self.cell.standing.missing)


@dataclass(frozen=True, slots=True)
class Holders:
    task: Task
    on: date
    free: tuple[Holder, ...]
    restricted: tuple[Holder, ...]
    near: tuple[Near, ...]
    stopped: tuple[Holder, ...]


def holders(*, task: Task, on: date, today: date, as_known_at: datetime | None = None) -> Holders:
    """Who may do a task on a day, who only under a restriction, who is nearest to it, and who is stopped.

    Today's holders come from the table; for another day, or as known once, they are worked out like everybody else.
    """
    from_table = holders_today(task, today) if on == today and as_known_at is None else []
    holding = [Holder(row.person, Cell(task, _standing_of(row))) for row in from_table]
    found = {row.person_id for row in from_table}
    people = [person for person in people_on_board(on, today) if person.pk not in found]
    answers = standings_of(people, on, as_known_at)
    rows = [Holder(person, Cell(task, answers[person.pk][task.code])) for person in people]
    holding += [row for row in rows if row.cell.standing.state.holds]
    learning = {State.READY, State.IN_TRAINING, State.LAPSED, State.NOT_STARTED}
    near = sorted(
        (Near(row.person, row.cell) for row in rows if row.cell.standing.state in learning),
        key=lambda each: (
            each.count,
            list(State).index(State.READY) != list(State).index(each.cell.standing.state),
            each.person.full_name,
        ),
    )
    return Holders(
        task=task,
        on=on,
        free=tuple(row for row in holding if not row.cell.standing.restrictions),
        restricted=tuple(row for row in holding if row.cell.standing.restrictions),
        near=tuple(near[:NEAREST_SHOWN]),
        stopped=tuple(row for row in rows if row.cell.standing.state in {State.SUSPENDED, State.WITHDRAWN}),
    )


def _standing_of(row: CurrentStanding) -> Standing:
    return Standing(State(row.state), tuple(row.reasons), until=row.holds_until, restrictions=tuple(row.restrictions))


def holders_today(task: Task, today: date) -> list[CurrentStanding]:
    """The everyday question from the table, by index: who may do this task today.

    Rows that no longer speak for today, or that are older than the last change of a rule or procedure, are worked out
    anew for this answer. Learners' readings and drills cannot make or unmake a holder, so they need no such care.
    """
    changed_at = last_change_of_rules()
    rows = CurrentStanding.objects.filter(task=task, person__is_active=True).select_related("person__crew")
    speaks = Q(from_on__lte=today) & (Q(until_on=None) | Q(until_on__gte=today))
    if changed_at is not None:
        speaks &= Q(computed_at__gte=changed_at)
    held = list(rows.filter(speaks, state__in=[State.QUALIFIED, State.DUE]))
    stale = list(rows.exclude(speaks))
    if stale:
        answers = standings_of([row.person for row in stale], today)
        for row in stale:
            answer = answers[row.person_id][task.code]
            if answer.state.holds:
                row.state, row.reasons, row.restrictions = answer.state, list(answer.reasons), list(answer.restrictions)
                row.holds_until = answer.until
                held.append(row)
    return sorted(held, key=lambda row: row.person.full_name)


def last_change_of_rules() -> datetime | None:
    """The last instant at which something changed that concerns everybody: a rule, or a task's procedure."""
    rule = TaskRule.objects.aggregate(last=Max("entered_at"))["last"]
    revision = Task.objects.aggregate(last=Max("revisions__issued_at"))["last"]
    return max((each for each in (rule, revision) if each is not None), default=None)
