"""What the forms themselves decide; how they look and answer is in test_views.py."""

from __future__ import annotations

import pytest

from courses.people.forms import (
    GivenPasswordForm,
    NewPersonForm,
    OwnPasswordForm,
    PersonListForm,
    PlaceForm,
    SignInForm,
)
from courses.people.roles import Role
from tests.factories.people import PASSWORD, CrewFactory, PersonFactory

pytestmark = pytest.mark.django_db


def test_a_sign_in_name_is_made_small_before_anything_is_counted(rf):
    PersonFactory(username="r.tamm")
    form = SignInForm(rf.post("/sign-in/"), {"username": " R.Tamm", "password": PASSWORD})
    assert form.is_valid()
    assert form.cleaned_data["username"] == "r.tamm"


def test_the_rules_for_a_new_password_are_told_beforehand(rf):
    form = OwnPasswordForm(PersonFactory(), request=rf.get("/password/"))
    assert "at least 15 characters" in form.fields["new_password1"].help_text
    assert form.fields["old_password"].widget.attrs["autocomplete"] == "current-password"
    assert form.fields["new_password1"].widget.attrs["autocomplete"] == "new-password"


def test_spaces_at_the_ends_of_a_password_are_kept():
    person = PersonFactory()
    form = GivenPasswordForm({"password": " seven green kettles "}, person=person, back="/")
    assert form.is_valid()
    assert form.cleaned_data["password"] == " seven green kettles "


def test_a_given_password_must_not_be_made_of_the_persons_own_names():
    person = PersonFactory(full_name="Aleksander Tamm-Ferreira")
    assert not GivenPasswordForm({"password": "Aleksander Tamm-Ferreira"}, person=person, back="/").is_valid()


def test_a_list_may_be_asked_for_with_nothing_said():
    assert PersonListForm({}).is_valid()


def test_crews_are_offered_as_they_are_now():
    form = PlaceForm(back="/")
    crew = CrewFactory(name="Crew Heron")
    assert [name for _, name in PlaceForm(back="/").fields["crew"].choices] == ["no crew", "Crew Heron"]
    assert form.fields["crew"].queryset.get() == crew


def test_a_new_person_is_asked_for_in_the_order_people_think_of_it():
    assert list(NewPersonForm(back="/").fields) == [
        "full_name",
        "username",
        "job_title",
        "crew",
        "joined_on",
        "roles",
        "password",
    ]
    assert [value for value, _ in NewPersonForm(back="/").fields["roles"].choices] == Role.values
