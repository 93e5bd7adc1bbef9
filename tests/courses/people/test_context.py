from __future__ import annotations

import types

import pytest
from django.contrib.auth.models import AnonymousUser
from django.urls import NoReverseMatch

from courses.people import context
from courses.people.context import PAGE_NAMES, PageName, pages_for, site
from courses.people.models import Person
from courses.people.roles import Role
from tests.factories.people import PersonFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def _all_addresses(monkeypatch):
    monkeypatch.setattr(context, "reverse", lambda name: "/" + name.replace(":", "/") + "/")


def names(person, at=""):
    return [page.name for page in pages_for(person, at)]


@pytest.mark.usefixtures("_all_addresses")
def test_everybody_is_shown_bench_tasks_lessons_drills_and_machine_sheets():
    assert names(PersonFactory(roles=[Role.MECHANIC])) == ["Bench", "Tasks", "Lessons", "Drills", "Machine sheets"]


@pytest.mark.parametrize(
    ("role", "more"),
    [
        (Role.INSTRUCTOR, ["Scenarios", "Board"]),
        (Role.ASSESSOR, ["Board"]),
        (Role.AUDITOR, ["Scenarios", "Board"]),
        (Role.SUPERVISOR, ["Board", "People"]),
        (Role.ADMINISTRATOR, ["Scenarios", "Board", "People"]),
    ],
)
@pytest.mark.usefixtures("_all_addresses")
def test_a_role_adds_its_pages(role, more):
    assert names(PersonFactory(roles=[role])) == ["Bench", "Tasks", "Lessons", "Drills", "Machine sheets", *more]


@pytest.mark.usefixtures("_all_addresses")
def test_the_page_being_read_and_the_part_it_belongs_to_are_marked():
    person = PersonFactory(roles=list(Role))
    assert {p.name: p.current for p in pages_for(person, "drills:drill_list") if p.current} == {"Drills": "page"}
    assert {p.name: p.current for p in pages_for(person, "drills:attempt_answer") if p.current} == {"Drills": "true"}
    assert not [p for p in pages_for(person, "") if p.current]


@pytest.mark.usefixtures("_all_addresses")
def test_the_names_cost_one_query_for_the_roles(django_assert_num_queries):
    person = Person.objects.get(pk=PersonFactory(roles=list(Role)).pk)
    with django_assert_num_queries(1):
        assert len(names(person)) == len(PAGE_NAMES)


def test_a_name_without_an_address_is_an_error_and_no_silent_gap(monkeypatch):
    monkeypatch.setattr(context, "PAGE_NAMES", (PageName("nowhere:at_all", "Nowhere"),))
    with pytest.raises(NoReverseMatch):
        names(PersonFactory(roles=list(Role)))


def test_someone_not_signed_in_is_shown_no_pages_and_costs_no_query(rf, settings, django_assert_num_queries):
    request = rf.get("/")
    request.user = AnonymousUser()
    with django_assert_num_queries(0):
        known = site(request)
        assert known["site_pages"]() == []
    assert known["SITE_NAME"] == settings.SITE_NAME
    assert known["site_home"] == "/"


def test_the_pages_are_not_worked_out_until_a_template_asks(rf, django_assert_num_queries):
    request = rf.get("/")
    request.user = Person.objects.get(pk=PersonFactory(roles=[Role.SUPERVISOR]).pk)
    request.resolver_match = types.SimpleNamespace(view_name="people:person_list")
    with django_assert_num_queries(0):
        known = site(request)
    assert [page.name for page in known["site_pages"]() if page.current] == ["People"]
