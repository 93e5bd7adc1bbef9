from __future__ import annotations

import pytest
from django.http import Http404

from courses.people import selectors
from courses.people.roles import Role
from tests.factories.people import CrewFactory, PersonFactory

pytestmark = pytest.mark.django_db

BEYOND_MECHANIC = [role for role in Role if role != Role.MECHANIC]


@pytest.mark.parametrize("role", BEYOND_MECHANIC)
def test_those_who_teach_assess_plan_audit_or_keep_accounts_see_everybody(role):
    reader, other = PersonFactory(roles=[role]), PersonFactory(is_active=False)
    assert set(selectors.people_visible_to(reader)) == {reader, other}
    assert selectors.get_person_for(reader, other.pk) == other


@pytest.mark.parametrize("roles", [[], [Role.MECHANIC]])
def test_others_see_themselves_alone(roles):
    reader, other = PersonFactory(roles=roles), PersonFactory()
    assert list(selectors.people_visible_to(reader)) == [reader]
    with pytest.raises(Http404) as hidden:
        selectors.get_person_for(reader, other.pk)
    with pytest.raises(Http404) as missing:
        selectors.get_person_for(reader, 10**6)
    assert str(hidden.value) == str(missing.value)


def test_an_account_is_hidden_from_an_instructor_who_sees_the_person():
    reader, other = PersonFactory(roles=[Role.INSTRUCTOR, Role.ASSESSOR, Role.AUDITOR]), PersonFactory()
    assert selectors.get_person_for(reader, other.pk) == other
    assert selectors.get_account_for(reader, reader.pk) == reader
    with pytest.raises(Http404):
        selectors.get_account_for(reader, other.pk)


@pytest.mark.parametrize("role", [Role.SUPERVISOR, Role.ADMINISTRATOR])
def test_supervisors_and_administrators_see_accounts(role):
    reader, other = PersonFactory(roles=[role]), PersonFactory()
    assert selectors.get_account_for(reader, other.pk) == other


def test_accounts_are_narrowed_by_crew_and_by_every_word():
    crew = CrewFactory()
    reader = PersonFactory(roles=[Role.SUPERVISOR], full_name="Una Reader", username="u.reader")
    in_crew = PersonFactory(crew=crew, full_name="Jonah Okonkwo-Hale", username="j.okonkwo")
    PersonFactory(full_name="Jonah Stone", username="j.stone")
    assert list(selectors.accounts_visible_to(reader, crew=crew)) == [in_crew]
    assert list(selectors.accounts_visible_to(reader, words="jonah OKON")) == [in_crew]
    assert selectors.accounts_visible_to(reader, words="jonah").count() == 2
    assert not selectors.accounts_visible_to(reader, words="jonah reader").exists()


@pytest.mark.parametrize("rows", [2, 20])
def test_people_bring_crew_and_roles_in_two_queries(rows, django_assert_num_queries):
    reader = PersonFactory(roles=[Role.AUDITOR])
    PersonFactory.create_batch(rows, roles=[Role.MECHANIC, Role.ASSESSOR])
    assert reader.has_role(Role.AUDITOR)
    with django_assert_num_queries(2):
        shown = [(person.crew.name, person.role_names) for person in selectors.people_visible_to(reader)]
    assert len(shown) == rows + 1


def test_crews_come_by_name():
    second, first = CrewFactory(name="Crew B"), CrewFactory(name="Crew A")
    assert list(selectors.crews()) == [first, second]
