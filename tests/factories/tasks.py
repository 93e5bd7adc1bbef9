"""Rows of the task list."""

from __future__ import annotations

from datetime import UTC, datetime

import factory
from factory.django import DjangoModelFactory

from courses.tasks.models import Task, TaskRevision
from tests.factories.people import PersonFactory


class TaskFactory(DjangoModelFactory[Task]):
    """A code of its own that no test names: those of the job end with F, those of tests with Z."""

    class Meta:
        model = Task
        django_get_or_create = ("code",)

    code = factory.Sequence(lambda n: f"{'RSTUVWXY'[n // 99 % 8]}{n % 99 + 1}")
    title = factory.LazyAttribute(lambda row: f"Task {row.code} of the list")
    short_title = factory.LazyAttribute(lambda row: f"Task {row.code}")


class TaskRevisionFactory(DjangoModelFactory[TaskRevision]):
    class Meta:
        model = TaskRevision

    task = factory.SubFactory(TaskFactory)
    number = factory.Sequence(lambda n: n + 1)
    change = "Wording."
    issued_at = datetime(2026, 1, 5, 8, 0, tzinfo=UTC)
    issued_by = factory.SubFactory(PersonFactory)
