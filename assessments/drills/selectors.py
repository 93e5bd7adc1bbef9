"""Reading attempts: a person's own, and for those who teach, examine or audit, everybody's that are handed in."""

from __future__ import annotations

import logging
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from django.db.models import Count, FilteredRelation, Max, Q, QuerySet
from django.http import Http404

from assessments.drills.models import Attempt
from assessments.scenarios.models import Scenario
from courses.people.models import Person
from courses.people.roles import Role

refusals = logging.getLogger("refusals")

READERS = (Role.INSTRUCTOR, Role.ASSESSOR, Role.SUPERVISOR, Role.AUDITOR, Role.ADMINISTRATOR)


class ResultRow(NamedTuple):
    """One handed-in attempt as evidence."""

    person_id: int
    task_code: str
    handed_in_at: datetime
    is_right: bool
    is_unsafe: bool
    scenario: str


@dataclass(frozen=True, slots=True)
class DrillRow:
    """One open scenario as a learner sees it in the list."""

    scenario: Scenario
    handed_in: int
    right: int
    last_at: datetime | None
    has_open: bool


def attempts_visible_to(person: Person) -> QuerySet[Attempt]:
    """With everything its pages show, in one query."""
    rows = Attempt.objects.select_related("person", "revision__scenario__task", "revision__sheet__machine")
    if person.has_role(*READERS):
        return rows.filter(Q(person=person) | Q(handed_in_at__isnull=False))
    return rows.filter(person=person)


def get_attempt_for(person: Person, pk: int) -> Attempt:
    """Raises Http404 for hidden and missing alike."""
    attempt = attempts_visible_to(person).filter(pk=pk).first()
    if attempt is None:
        refusals.warning("%s asked for attempt %s, which is missing or not theirs to see", person.username, pk)
        raise Http404
    return attempt


def get_own_attempt(person: Person, pk: int) -> Attempt:
    """An attempt to be worked on: nobody works on another's. Raises Http404."""
    attempt = get_attempt_for(person, pk)
    if attempt.person_id != person.pk:
        refusals.warning("%s tried to work on attempt %s of somebody else", person.username, pk)
        raise Http404
    return attempt


def past_attempts(person: Person, scenario: Scenario | None = None) -> QuerySet[Attempt]:
    """A person's handed-in attempts, newest first, without the documents that lists do not show."""
    rows = (
        Attempt.objects.filter(person=person, handed_in_at__isnull=False)
        .select_related("revision", "scenario__task")
        .defer("draw", "typed", "marked")
        .order_by("-handed_in_at")
    )
    return rows if scenario is None else rows.filter(scenario=scenario)


def drill_rows(person: Person) -> list[DrillRow]:
    """Every open scenario with how the person stands in it. One query, over the person's own attempts alone."""
    handed_in = Q(own__handed_in_at__isnull=False)
    scenarios = (
        Scenario.objects.filter(is_open=True)
        .select_related("task", "current__sheet__machine")
        .annotate(
            own=FilteredRelation("attempts", condition=Q(attempts__person=person)),
            handed_in=Count("own", filter=handed_in),
            right=Count("own", filter=Q(own__is_right=True)),
            still_open=Count("own", filter=~handed_in),
            last_at=Max("own__handed_in_at"),
        )
        .order_by("task__code", "slug")
    )
    return [DrillRow(one, one.handed_in, one.right, one.last_at, has_open=one.still_open > 0) for one in scenarios]


def open_attempt_of(person: Person, scenario: Scenario) -> Attempt | None:
    """The draw a person has open in a scenario."""
    return Attempt.objects.filter(person=person, scenario=scenario, handed_in_at=None).first()


def number_of(attempt: Attempt) -> int:
    """Which of the person's drills this is, counted from 1 in the order of opening."""
    return Attempt.objects.filter(person_id=attempt.person_id, pk__lte=attempt.pk).count()


def results_by_task(people: Iterable[Person]) -> list[ResultRow]:
    """Every handed-in attempt of these people as evidence, oldest first. One query."""
    rows = (
        Attempt.objects.filter(person__in=list(people), handed_in_at__isnull=False)
        .order_by("handed_in_at", "pk")
        .values_list("person_id", "scenario__task__code", "handed_in_at", "is_right", "is_unsafe", "scenario__slug")
    )
    # The database holds these to be present once an attempt is handed in.
    return [
        ResultRow(person, task, at, bool(right), bool(unsafe), slug)
        for person, task, at, right, unsafe, slug in rows
        if at
    ]


@dataclass(frozen=True, slots=True)
class SlipSeen:
    """A slip that was named in a scenario, and how often."""

    slug: str
    title: str
    name: str
    says: str
    count: int


def slips_since(since: datetime, most: int) -> list[SlipSeen]:
    """The slips named most often in what was handed in since, those told for certain only. One query."""
    rows = (
        Attempt.objects.filter(handed_in_at__gte=since, is_right=False)
        .order_by("scenario__slug", "pk")
        .values_list("scenario__slug", "revision__title", "marked__slips")
    )
    counted: Counter[tuple[str, str, str, str]] = Counter()
    for slug, title, slips in rows:
        for slip in slips or ():
            if slip["is_certain"]:
                counted[slug, title, slip["name"], slip["says"]] += 1
    return [SlipSeen(*slip, count) for slip, count in counted.most_common(most)]


def newest_open_attempt(person: Person) -> Attempt | None:
    """What the person was working on last."""
    return attempts_visible_to(person).filter(person=person, handed_in_at=None).order_by("-opened_at").first()
