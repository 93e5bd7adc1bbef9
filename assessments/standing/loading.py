"""Rows of the database become values that the rules work with. A fixed number of queries, however many people."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import TYPE_CHECKING

from django.utils.timezone import localdate, make_aware

from assessments.drills.selectors import results_by_task
from assessments.ledger.models import Event as EventRow
from assessments.ledger.models import OccurrenceKind
from assessments.ledger.selectors import events_of_all, occurrences_of_all, work_of_all
from assessments.standing.dossiers import Dossier, IssuedRule, Rulebook
from assessments.standing.models import TaskRule
from assessments.standing.rules import Absence, Event, Kind, MajorRevision, Occurrence, Reading, Result
from courses.lessons.selectors import readings_by_task
from courses.tasks.models import Task, TaskRevision

if TYPE_CHECKING:
    from collections.abc import Iterable

    from courses.people.models import Person


def end_of_day(day: date) -> datetime:
    """The last instant of a day of the plant's calendar."""
    return make_aware(datetime.combine(day, time.max))


def rule_event(row: EventRow) -> Event:
    """A ledger row as the rules see it (reads ``about``)."""
    return Event(
        sequence=row.sequence,
        kind=Kind(row.kind),
        effective_on=row.effective_on,
        by=row.entered_by_id,
        about=row.about.sequence if row.about else None,
        restriction=row.restriction,
        until_on=row.until_on,
        reason=row.reason,
        signed_name=row.signed_name,
    )


def load_book(as_known_at: datetime | None = None, tasks: Iterable[Task] | None = None) -> Rulebook:
    """Every task's rules and major revisions. Three queries, or two if every task is at hand in the order of the codes."""
    codes = (
        Task.objects.order_by("code").values_list("code", flat=True) if tasks is None else [task.code for task in tasks]
    )
    book = Rulebook(codes=tuple(codes))
    rows = TaskRule.objects.select_related("task").order_by("task__code", "number")
    revisions = TaskRevision.objects.filter(is_major=True).order_by("task__code", "number")
    if as_known_at is not None:
        rows = rows.filter(entered_at__lte=as_known_at)
        revisions = revisions.filter(issued_at__lte=as_known_at)
    for row in rows:
        book.issued[row.task.code].append(IssuedRule(row.number, row.effective_on, row.rule))
    for code, number, issued_at in revisions.values_list("task__code", "number", "issued_at"):
        book.major_revisions[code] = (*book.major_revisions.get(code, ()), MajorRevision(number, localdate(issued_at)))
    return book


def load_dossiers(
    people: Iterable[Person], as_known_at: datetime | None = None, on: date | None = None
) -> dict[int, Dossier]:
    """Everything known of these people, or what was known at an instant, by person.

    ``on``: the day that will be asked about. Readings are then those of that day, judged by the lesson revisions that had
    been issued by its end; what else came later is left out by the rules themselves.
    """
    day_end = None if on is None or on == date.max else end_of_day(on)
    lessons_at = min((at for at in (as_known_at, day_end) if at is not None), default=None)
    everyone = list(people)
    found = {person.pk: Dossier(person.pk) for person in everyone}
    for row in events_of_all(everyone, as_known_at):
        found[row.person_id].events[row.task.code].append(rule_event(row))
    for work in work_of_all(everyone, as_known_at):
        found[work.person_id].work_done[work.task.code].append(work.on)
    for seen in occurrences_of_all(everyone, as_known_at):
        code = seen.task.code if seen.task else None
        if seen.kind == OccurrenceKind.ABSENT:
            found[seen.person_id].absences[code].append(Absence(seen.on, seen.to_on))
        else:
            found[seen.person_id].occurrences[code].append(Occurrence(seen.on, seen.get_kind_display()))
    for read in readings_by_task(everyone, lessons_at):
        reading = Reading(read.lesson_slug, localdate(read.read_at), not read.changed_majorly_since)
        found[read.person_id].readings[read.task_code].append(reading)
    for result in sorted(results_by_task(everyone), key=lambda each: each.handed_in_at):
        if as_known_at is None or result.handed_in_at <= as_known_at:
            drill = Result(localdate(result.handed_in_at), result.is_right, result.is_unsafe, result.scenario)
            found[result.person_id].results[result.task_code].append(drill)
    return found
