from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from courses.people.models import Person
from courses.people.roles import Role
from tests.factories.people import PersonFactory, RoleHeldFactory

pytestmark = pytest.mark.django_db


def test_the_database_refuses_a_sign_in_name_with_a_capital():
    with pytest.raises(IntegrityError), transaction.atomic():
        PersonFactory(username="Tamm")


@pytest.mark.parametrize("name", ["Tamm", "1tamm", "r tamm", "r_tamm", "töns", "tamm\n", ""])
def test_a_sign_in_name_keeps_to_small_letters_digits_dot_and_hyphen(name):
    person = PersonFactory.build(username=name, crew=None)
    with pytest.raises(ValidationError) as refused:
        person.full_clean()
    assert "username" in refused.value.message_dict


def test_the_database_refuses_a_sign_in_name_given_twice():
    PersonFactory(username="r.tamm")
    with pytest.raises(IntegrityError), transaction.atomic():
        PersonFactory(username="r.tamm")


def test_a_sign_in_name_is_found_whatever_its_capitals():
    person = PersonFactory(username="r.tamm")
    assert Person.objects.get_by_natural_key(" R.Tamm") == person


@pytest.mark.parametrize("typed", [None, "", "nobody"])
def test_an_unknown_sign_in_name_is_not_found(typed):
    with pytest.raises(Person.DoesNotExist):
        Person.objects.get_by_natural_key(typed)


def test_the_database_refuses_a_role_that_does_not_exist():
    with pytest.raises(IntegrityError), transaction.atomic():
        RoleHeldFactory(role="owner")


def test_the_database_refuses_one_role_held_twice():
    held = RoleHeldFactory()
    with pytest.raises(IntegrityError), transaction.atomic():
        RoleHeldFactory(person=held.person, role=held.role)


def test_roles_cost_one_query_and_are_remembered(django_assert_num_queries):
    person = Person.objects.get(pk=PersonFactory(roles=[Role.ASSESSOR, Role.MECHANIC]).pk)
    with django_assert_num_queries(1):
        assert person.has_role(Role.ASSESSOR)
        assert not person.has_role(Role.AUDITOR, Role.SUPERVISOR)
        assert person.has_role(Role.AUDITOR, Role.MECHANIC)


def test_role_names_follow_the_order_of_the_roles():
    person = PersonFactory(roles=[Role.AUDITOR, Role.MECHANIC])
    assert person.role_names == ["mechanic or apprentice", "auditor"]


def test_a_person_switched_off_has_no_role():
    assert not PersonFactory(roles=[Role.ADMINISTRATOR], is_active=False).has_role(Role.ADMINISTRATOR)
