from __future__ import annotations

from datetime import UTC, datetime

import pytest
from django.core.exceptions import ValidationError

from courses.tasks.content import TaskDraft
from courses.tasks.models import Task
from courses.tasks.rules import OrderLoopError, UnknownTaskError
from courses.tasks.selectors import order_of_codes
from courses.tasks.services import issue_revision, issue_task, load_tasks, set_order
from tests.factories.people import PersonFactory
from tests.factories.tasks import TaskFactory

pytestmark = pytest.mark.django_db
AT = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)


def test_a_new_task_has_its_first_revision_and_its_place_in_the_order():
    by = PersonFactory()
    issue_task(code="A1", title="Take over", short_title="Take over", by=by, at=AT)
    task = issue_task(
        code="B2",
        title="Lower",
        short_title="Lower",
        is_critical=True,
        critical_because="lift",
        comes_after=["A1"],
        by=by,
        at=AT,
    )

    assert [other.code for other in task.comes_after.all()] == ["A1"]
    revision = task.revisions.get()
    assert (revision.number, revision.is_major, revision.issued_by, revision.issued_at) == (1, False, by, AT)


def test_a_task_after_an_unknown_one_is_not_issued():
    with pytest.raises(UnknownTaskError):
        issue_task(code="B2", title="x", short_title="x", comes_after=["A1"], by=PersonFactory(), at=AT)

    assert not Task.objects.exists()


def test_a_bad_code_is_not_issued():
    with pytest.raises(ValidationError):
        issue_task(code="b2", title="x", short_title="x", by=PersonFactory(), at=AT)


def test_a_new_order_that_loops_is_refused_and_nothing_changes():
    first, second = TaskFactory(code="A1"), TaskFactory(code="B2")
    set_order(task=second, comes_after=["A1"])

    with pytest.raises(OrderLoopError):
        set_order(task=first, comes_after=["B2"])

    assert order_of_codes() == {"A1": (), "B2": ("A1",)}


def test_revisions_are_numbered_one_after_the_other():
    task, by = TaskFactory(), PersonFactory()

    numbers = [
        issue_revision(task=task, change=change, is_major=is_major, by=by, at=AT).number
        for change, is_major in [("First.", False), ("Torque by stages.", True)]
    ]

    assert numbers == [1, 2]
    assert task.revisions.get(number=2).is_major


def test_a_revision_has_to_say_what_changed():
    with pytest.raises(ValidationError):
        issue_revision(task=TaskFactory(), change="", is_major=True, by=PersonFactory(), at=AT)


def test_a_list_is_loaded_whatever_its_order():
    drafts = [
        TaskDraft(code="B2", title="Lower", short_title="Lower", after=("A1",)),
        TaskDraft(code="A1", title="Take over", short_title="Take over"),
    ]

    assert [task.code for task in load_tasks(drafts=drafts, by=PersonFactory(), at=AT)] == ["A1", "B2"]


def test_a_list_that_loops_loads_nothing():
    drafts = [
        TaskDraft(code="A1", title="x", short_title="x", after=("B2",)),
        TaskDraft(code="B2", title="x", short_title="x", after=("A1",)),
    ]

    with pytest.raises(OrderLoopError):
        load_tasks(drafts=drafts, by=PersonFactory(), at=AT)

    assert not Task.objects.exists()
