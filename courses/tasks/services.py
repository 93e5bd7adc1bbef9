"""Writing tasks: new ones, what comes after what, and new revisions of a procedure."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import datetime

from django.db import transaction

from courses.people.models import Person
from courses.tasks.content import TaskDraft
from courses.tasks.models import Task, TaskRevision
from courses.tasks.rules import in_order, ranks
from courses.tasks.selectors import order_of_codes


@transaction.atomic
def issue_task(
    *,
    code: str,
    title: str,
    short_title: str,
    by: Person,
    at: datetime,
    is_critical: bool = False,
    critical_because: str = "",
    comes_after: Collection[str] = (),
    change: str = "First issue.",
) -> Task:
    """Add a task with revision 1 of its procedure.

    Raises UnknownTaskError when a code in `comes_after` does not exist, ValidationError on a bad or taken code.
    """
    ranks({**order_of_codes(), code: comes_after})
    task = Task(
        code=code,
        title=title,
        short_title=short_title,
        is_critical=is_critical,
        critical_because=critical_because,
    )
    task.full_clean()
    task.save()
    task.comes_after.set(Task.objects.filter(code__in=comes_after))
    issue_revision(task=task, change=change, is_major=False, by=by, at=at)
    return task


@transaction.atomic
def set_order(*, task: Task, comes_after: Collection[str]) -> None:
    """Say what has to be done before a task. Raises OrderLoopError and UnknownTaskError, and then changes nothing."""
    ranks({**order_of_codes(), task.code: comes_after})
    task.comes_after.set(Task.objects.filter(code__in=comes_after))


@transaction.atomic
def issue_revision(*, task: Task, change: str, is_major: bool, by: Person, at: datetime) -> TaskRevision:
    """Issue the next revision of a task's procedure; `change` says what is different, in words."""
    Task.objects.select_for_update().get(pk=task.pk)
    last = TaskRevision.objects.filter(task=task).order_by("-number").first()
    revision = TaskRevision(
        task=task,
        number=last.number + 1 if last else 1,
        is_major=is_major,
        change=change,
        issued_at=at,
        issued_by=by,
    )
    revision.full_clean()
    revision.save()
    return revision


@transaction.atomic
def load_tasks(*, drafts: Iterable[TaskDraft], by: Person, at: datetime) -> list[Task]:
    """Issue the tasks of a task list, in an order in which each one's predecessors exist already."""
    by_code = {draft.code: draft for draft in drafts}
    order = in_order({code: draft.after for code, draft in by_code.items()})
    return [
        issue_task(
            code=code,
            title=by_code[code].title,
            short_title=by_code[code].short_title,
            is_critical=by_code[code].is_critical,
            critical_because=by_code[code].critical_because,
            comes_after=by_code[code].after,
            by=by,
            at=at,
        )
        for code in order
    ]
