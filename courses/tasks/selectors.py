"""Reading tasks. They are open to every signed-in person."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Prefetch, QuerySet
from django.shortcuts import get_object_or_404

from courses.tasks.models import Task, TaskRevision
from courses.tasks.rules import in_order, ranks


@dataclass(frozen=True, slots=True)
class RankOfTasks:
    """Tasks that can begin once everything in the ranks above is done."""

    number: int
    tasks: tuple[Task, ...]


def all_tasks() -> QuerySet[Task]:
    """Every task by code, with what comes before it at hand. Two queries."""
    return Task.objects.prefetch_related("comes_after")


def get_task(code: str) -> Task:
    """One task, with what stands before and after it, its lessons and its revisions, newest first.

    Http404 if there is none. Five queries, however much hangs on the task.
    """
    rows = Task.objects.prefetch_related(
        "comes_after",
        "comes_before",
        "lessons",
        Prefetch("revisions", TaskRevision.objects.select_related("issued_by").order_by("-number")),
    )
    return get_object_or_404(rows, code=code)


def order_of_codes() -> dict[str, tuple[str, ...]]:
    """For each task's code the codes that come before it. Two queries."""
    return after_of(list(all_tasks()))


def after_of(tasks: list[Task]) -> dict[str, tuple[str, ...]]:
    """The same of tasks already at hand (as `all_tasks` gives them). No query."""
    return {task.code: tuple(sorted(other.code for other in task.comes_after.all())) for task in tasks}


def tasks_in_order() -> list[Task]:
    """Every task in one order of work that breaks nothing. Two queries."""
    by_code = {task.code: task for task in all_tasks()}
    return [by_code[code] for code in in_order(after_of(list(by_code.values())))]


def ranks_of(tasks: list[Task]) -> list[RankOfTasks]:
    """Tasks already at hand in ranks, the first rank being 1. No query."""
    by_code = {task.code: task for task in tasks}
    return [
        RankOfTasks(number=number, tasks=tuple(by_code[code] for code in rank))
        for number, rank in enumerate(ranks(after_of(tasks)), start=1)
    ]
