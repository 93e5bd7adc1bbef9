from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from courses.tasks.models import Task
from tests.factories.tasks import TaskFactory, TaskRevisionFactory

pytestmark = pytest.mark.django_db


def test_a_task_and_its_revision_say_what_they_are():
    revision = TaskRevisionFactory(task__code="B4", task__title="Check bearing clearance", number=3)

    assert str(revision.task) == "B4 Check bearing clearance"
    assert str(revision) == "B4 revision 3"


@pytest.mark.parametrize("code", ["b4", "B", "4B", "B444", "B4\n"])
def test_a_code_is_a_letter_and_a_number(code):
    with pytest.raises(ValidationError):
        Task(code=code, title="x", short_title="x").full_clean()


def test_the_database_refuses_a_reason_on_a_task_that_is_not_critical():
    with pytest.raises(IntegrityError), transaction.atomic():
        TaskFactory(is_critical=False, critical_because="lift")


def test_the_database_refuses_a_revision_number_twice():
    first = TaskRevisionFactory(number=1)

    with pytest.raises(IntegrityError), transaction.atomic():
        TaskRevisionFactory(task=first.task, number=1)


def test_the_database_refuses_revision_nought():
    with pytest.raises(IntegrityError), transaction.atomic():
        TaskRevisionFactory(number=0)


def test_the_database_refuses_a_code_twice():
    TaskFactory(code="B4")

    with pytest.raises(IntegrityError), transaction.atomic():
        Task.objects.create(code="B4", title="x", short_title="x")
