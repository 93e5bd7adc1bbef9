from __future__ import annotations

from itertools import pairwise

import pytest
from django.http import Http404

from courses.tasks.selectors import all_tasks, get_task, order_of_codes, ranks_of, tasks_in_order
from courses.tasks.services import set_order
from tests.factories.tasks import TaskFactory, TaskRevisionFactory

pytestmark = pytest.mark.django_db


def chain(length):
    """So many tasks, each after the one before it; the codes run against the order."""
    tasks = [TaskFactory(code=f"Z{length - index}") for index in range(length)]
    for before, task in pairwise(tasks):
        set_order(task=task, comes_after=[before.code])
    return tasks


def test_tasks_come_in_an_order_of_work_and_not_by_code():
    chain(3)

    assert [task.code for task in tasks_in_order()] == ["Z3", "Z2", "Z1"]
    assert order_of_codes() == {"Z1": ("Z2",), "Z2": ("Z3",), "Z3": ()}


@pytest.mark.parametrize("length", [2, 20])
def test_the_order_takes_two_queries_however_long(length, django_assert_num_queries):
    chain(length)

    with django_assert_num_queries(2):
        assert len(tasks_in_order()) == length


def test_ranks_hold_the_tasks_of_each_stage():
    chain(2)
    TaskFactory(code="A1")

    found = [(rank.number, [task.code for task in rank.tasks]) for rank in ranks_of(list(all_tasks()))]

    assert found == [(1, ["A1", "Z2"]), (2, ["Z1"])]


@pytest.mark.parametrize("count", [2, 20])
def test_a_task_takes_five_queries_however_much_hangs_on_it(count, django_assert_num_queries):
    task = TaskFactory(code="M1")
    set_order(task=task, comes_after=[TaskFactory(code=f"A{n}").code for n in range(1, count + 1)])
    for number in range(1, count + 1):
        TaskRevisionFactory(task=task, number=number)

    with django_assert_num_queries(5):
        found = get_task("M1")
        assert len(found.comes_after.all()) == count
        assert [revision.number for revision in found.revisions.all()] == list(range(count, 0, -1))
        assert all(revision.issued_by.full_name for revision in found.revisions.all())


def test_a_task_that_does_not_exist_is_not_found():
    with pytest.raises(Http404):
        get_task("Q9")
