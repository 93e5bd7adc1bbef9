"""The table of current standing, kept in step with events and evidence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db import transaction
from django.utils.timezone import localdate

from assessments.standing.dossiers import standings
from assessments.standing.loading import load_book, load_dossiers
from assessments.standing.models import CurrentStanding
from courses.people.models import Person
from courses.tasks.models import Task

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from assessments.standing.dossiers import Dossier, Rulebook


def refresh(*, person: Person, at: datetime) -> None:
    """Work out one person's standing with every task as of ``at`` (a task may hang on another)."""
    refresh_people(people=[person], at=at)


@transaction.atomic
def refresh_people(*, people: Iterable[Person], at: datetime) -> int:
    """The same for many people, in a fixed number of queries. Returns how many rows were written."""
    return keep(load_book(), load_dossiers(people).values(), at)


def keep(book: Rulebook, dossiers: Iterable[Dossier], at: datetime) -> int:
    on = localdate(at)
    task_ids = dict(Task.objects.values_list("code", "pk"))
    rows = [
        CurrentStanding(
            person_id=dossier.person,
            task_id=task_ids[code],
            state=answer.state,
            reasons=list(answer.reasons),
            restrictions=list(answer.restrictions),
            from_on=on,
            until_on=answer.steady_until,
            holds_until=answer.until,
            computed_at=at,
        )
        for dossier in dossiers
        for code, answer in standings(book, dossier, on).items()
    ]
    CurrentStanding.objects.bulk_create(
        rows,
        batch_size=500,
        update_conflicts=True,
        unique_fields=["person", "task"],
        update_fields=["state", "reasons", "restrictions", "from_on", "until_on", "holds_until", "computed_at"],
    )
    return len(rows)


@transaction.atomic
def rebuild(*, at: datetime, chunk: int = 200) -> int:
    """Empty the table and work it out anew for everybody, in blocks. Returns how many rows it holds then."""
    CurrentStanding.objects.all().delete()
    book = load_book()
    count = 0
    block: list[Person] = []
    for person in Person.objects.order_by("pk").iterator(chunk_size=chunk):
        block.append(person)
        if len(block) == chunk:
            count += keep(book, load_dossiers(block).values(), at)
            block = []
    return count + keep(book, load_dossiers(block).values(), at)
