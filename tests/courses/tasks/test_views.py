from __future__ import annotations

from pathlib import Path

import pytest
from django.urls import reverse
from django.utils import timezone

from courses.people.roles import Role
from courses.tasks.content import read_tasks
from courses.tasks.services import load_tasks
from tests.factories.lessons import LessonFactory
from tests.factories.people import PersonFactory
from tests.factories.tasks import TaskFactory, TaskRevisionFactory

pytestmark = pytest.mark.django_db
DEMO = Path(__file__).parents[3] / "fixtures_demo" / "tasks.toml"


def load():
    load_tasks(drafts=read_tasks(DEMO), by=PersonFactory(), at=timezone.now())


@pytest.fixture
def signed_in(client):
    client.force_login(PersonFactory(roles=[Role.MECHANIC]))
    return client


@pytest.mark.parametrize("role", Role)
@pytest.mark.parametrize("address", ["/tasks/", "/tasks/B4/"])
def test_every_role_may_see_the_tasks(client, role, address):
    load()
    client.force_login(PersonFactory(roles=[role]))

    response = client.get(address)

    assert response.status_code == 200
    assert response.content.count(b"<h1") == 1


@pytest.mark.parametrize("address", ["/tasks/", "/tasks/B4/"])
def test_a_stranger_is_sent_to_sign_in(client, address):
    load()

    assert client.get(address).status_code == 302


def test_the_list_draws_the_order_and_says_it_in_words(signed_in):
    load()

    page = signed_in.get(reverse("tasks:task_list")).content.decode()

    assert page.count('class="box"') == 15
    assert page.count('class="inner"') == 6
    assert "after C3, D1, D3, E1" in " ".join(page.split())


def test_an_empty_list_says_so(signed_in):
    assert "No task has been issued yet." in signed_in.get(reverse("tasks:task_list")).content.decode()


def test_a_task_shows_its_neighbours_revisions_and_lessons(signed_in):
    load()
    task = TaskFactory(code="B4")
    LessonFactory(task=task, title="How it is done")

    page = signed_in.get(reverse("tasks:task_show", args=["B4"])).content.decode()

    before, behind = "Set lower liners and lower the rotor", "Measure and fit carbon packing rings"
    for words in (before, behind, "First issue.", "How it is done"):
        assert words in page


def test_a_task_that_does_not_exist_is_not_found(signed_in):
    assert signed_in.get(reverse("tasks:task_show", args=["Q9"])).status_code == 404


def test_the_page_of_a_task_without_revisions_stands(signed_in):
    TaskFactory(code="A1")

    assert signed_in.get(reverse("tasks:task_show", args=["A1"])).status_code == 200


@pytest.mark.parametrize("count", [2, 20])
def test_the_pages_take_as_many_queries_for_many_rows(signed_in, count, django_assert_max_num_queries):
    for number in range(1, count + 1):
        TaskRevisionFactory(task=TaskFactory(code=f"A{number}"), number=1)

    with django_assert_max_num_queries(5):  # session, person, roles, tasks, what comes before
        signed_in.get(reverse("tasks:task_list"))
    with django_assert_max_num_queries(8):
        signed_in.get(reverse("tasks:task_show", args=["A1"]))
