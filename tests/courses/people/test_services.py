from __future__ import annotations

import datetime as dt
import logging

import pytest
from axes.models import AccessAttempt
from django.contrib.sessions.backends.db import SessionStore
from django.core.exceptions import ValidationError

from courses.people import services
from courses.people.models import Person
from courses.people.roles import Role
from tests.factories.people import PASSWORD, CrewFactory, PersonFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def administrator():
    return PersonFactory(username="boss", roles=[Role.ADMINISTRATOR])


def add(by, **changes):
    facts = {
        "username": "l.ferreira",
        "full_name": "Lia Ferreira",
        "job_title": "apprentice",
        "crew": None,
        "joined_on": dt.date(2026, 9, 1),
        "roles": [Role.MECHANIC],
        "password": PASSWORD,
    }
    return services.add_person(by=by, **(facts | changes))


def everything_that_writes(by, person):
    yield lambda: add(by)
    yield lambda: services.set_roles(by=by, person=person, roles=[Role.AUDITOR])
    yield lambda: services.set_place(by=by, person=person, job_title="fitter", crew=None)
    yield lambda: services.change_person(by=by, person=person, job_title="fitter", crew=None, roles=[Role.AUDITOR])
    yield lambda: services.switch_off(by=by, person=person)
    yield lambda: services.give_password(by=by, person=person, password="seven green kettles sing")
    yield lambda: services.switch_on(by=by, person=person)


def test_an_administrator_adds_a_person_who_can_then_sign_in(administrator):
    crew = CrewFactory()
    person = add(administrator, username=" L.Ferreira ", crew=crew, roles=["mechanic", Role.ASSESSOR])
    stored = Person.objects.get(username="l.ferreira")
    assert stored == person
    assert (stored.full_name, stored.crew, stored.is_active) == ("Lia Ferreira", crew, True)
    assert stored.roles == {Role.MECHANIC, Role.ASSESSOR}
    assert stored.check_password(PASSWORD)
    assert PASSWORD not in stored.password


def test_the_launcher_may_add_people_before_anybody_can_sign_in():
    assert add(None).roles == {Role.MECHANIC}


def test_a_sign_in_name_is_never_given_twice_even_after_switching_off(administrator):
    services.switch_off(by=administrator, person=add(administrator))
    with pytest.raises(ValidationError) as refused:
        add(administrator, full_name="Luis Ferreira")
    assert "username" in refused.value.message_dict


@pytest.mark.parametrize("password", ["too short", "Lia Ferreira 2027", "turbine bearing rotor"])
def test_a_weak_first_password_adds_nobody(administrator, password):
    with pytest.raises(ValidationError):
        add(administrator, password=password)
    assert not Person.objects.filter(username="l.ferreira").exists()


def test_a_role_that_does_not_exist_adds_nobody(administrator):
    with pytest.raises(ValueError, match="owner"):
        add(administrator, roles=["mechanic", "owner"])
    assert not Person.objects.filter(username="l.ferreira").exists()


@pytest.mark.parametrize("role", [role for role in Role if role != Role.ADMINISTRATOR])
def test_nobody_but_an_administrator_changes_accounts(role, caplog):
    by, person = PersonFactory(roles=[role]), PersonFactory(roles=[Role.MECHANIC], is_active=False)
    for write in everything_that_writes(by, person):
        with pytest.raises(services.NotAnAdministratorError), caplog.at_level(logging.WARNING, "refusals"):
            write()
        assert by.username in caplog.text
        caplog.clear()
    person.refresh_from_db()
    assert (person.roles, person.is_active, person.job_title) == ({Role.MECHANIC}, False, "mechanic")
    assert Person.objects.count() == 2


def test_an_administrator_who_is_switched_off_changes_nothing(administrator):
    PersonFactory(roles=[Role.ADMINISTRATOR])
    services.switch_off(by=None, person=administrator)
    with pytest.raises(services.NotAnAdministratorError):
        add(administrator)


def test_roles_become_exactly_those_named(administrator):
    person = PersonFactory(roles=[Role.MECHANIC, Role.ASSESSOR])
    assert person.has_role(Role.ASSESSOR)
    services.set_roles(by=administrator, person=person, roles=[Role.MECHANIC, "auditor"])
    assert person.roles == {Role.MECHANIC, Role.AUDITOR}
    assert Person.objects.get(pk=person.pk).roles == {Role.MECHANIC, Role.AUDITOR}


def test_the_last_administrator_keeps_the_role_and_the_sign_in(administrator):
    PersonFactory(roles=[Role.ADMINISTRATOR], is_active=False)  # cannot sign in, so does not count
    with pytest.raises(services.LastAdministratorError):
        services.set_roles(by=administrator, person=administrator, roles=[Role.MECHANIC])
    with pytest.raises(services.LastAdministratorError):
        services.switch_off(by=administrator, person=administrator)
    administrator.refresh_from_db()
    assert administrator.is_active
    assert Person.objects.get(pk=administrator.pk).roles == {Role.ADMINISTRATOR}


def test_one_of_two_administrators_may_go(administrator):
    second = PersonFactory(roles=[Role.ADMINISTRATOR])
    services.set_roles(by=administrator, person=second, roles=[Role.AUDITOR])
    third = PersonFactory(roles=[Role.ADMINISTRATOR])
    services.switch_off(by=third, person=administrator)
    assert not Person.objects.get(pk=administrator.pk).is_active


def test_a_refused_role_leaves_job_and_crew_as_they_were(administrator):
    with pytest.raises(services.LastAdministratorError):
        services.change_person(
            by=administrator, person=administrator, job_title="fitter", crew=None, roles=["mechanic"]
        )
    stored = Person.objects.get(pk=administrator.pk)
    assert (stored.job_title, stored.crew is None) == ("mechanic", False)


def test_switching_off_signs_out_at_once_and_switching_on_lets_in_again(administrator, sign_in):
    person = PersonFactory(roles=[Role.MECHANIC])
    browser = sign_in(person)
    assert browser.get("/password/").status_code == 200
    services.switch_off(by=administrator, person=person)
    assert browser.get("/password/").status_code == 302
    services.switch_on(by=administrator, person=person)
    assert browser.get("/password/").status_code == 200


@pytest.fixture
def request_of(rf):
    def make(person, path="/records/sign/"):
        request = rf.post(path)
        request.user, request.session = person, SessionStore()
        return request

    return make


def test_the_right_password_signs_and_a_wrong_one_is_refused_and_logged(request_of, caplog):
    person = PersonFactory()
    assert services.password_is_theirs(request=request_of(person), person=person, password=PASSWORD)
    with caplog.at_level(logging.WARNING, "refusals"):
        assert not services.password_is_theirs(request=request_of(person), person=person, password="not the one I have")
    assert person.username in caplog.text
    assert "/records/sign/" in caplog.text
    assert "not the one I have" not in caplog.text


def test_a_miss_leaves_nothing_of_what_was_typed_in_the_database(rf):
    person = PersonFactory()
    words = {
        "old_password": "brass kettle mistyped",
        "new_password1": "orchid lantern quarry",
        "reason": "watched twice",
    }
    request = rf.post("/password/", words)
    request.user, request.session = person, SessionStore()

    assert not services.password_is_theirs(request=request, person=person, password="brass kettle mistyped")

    kept = AccessAttempt.objects.values().get()
    assert kept["username"] == person.username
    assert not any(word in str(kept) for word in words.values())
    assert request.POST["reason"] == "watched twice"


def test_who_changes_an_account_is_written_to_the_log(settings):
    assert settings.LOGGING["loggers"]["accounts"]["handlers"] == ["console"]
    assert logging.getLogger("accounts").isEnabledFor(logging.INFO)


def test_somebody_elses_password_does_not_sign(request_of):
    person, other = PersonFactory(), PersonFactory()
    other.set_password("seven green kettles sing")
    other.save()
    assert not services.password_is_theirs(
        request=request_of(person), person=person, password="seven green kettles sing"
    )


def test_after_five_misses_even_the_right_password_does_not_sign(request_of):
    person = PersonFactory()
    for _ in range(5):
        assert not services.password_is_theirs(request=request_of(person), person=person, password="wrong")
    assert not services.password_is_theirs(request=request_of(person), person=person, password=PASSWORD)


def test_a_signature_that_succeeds_forgets_earlier_misses(request_of):
    person = PersonFactory()
    for password in ["wrong"] * 4 + [PASSWORD] + ["wrong"] * 4:
        services.password_is_theirs(request=request_of(person), person=person, password=password)
    assert services.password_is_theirs(request=request_of(person), person=person, password=PASSWORD)


def test_a_person_switched_off_cannot_sign(request_of):
    person = PersonFactory(is_active=False)
    assert not services.password_is_theirs(request=request_of(person), person=person, password=PASSWORD)


def test_a_given_password_replaces_the_lost_one_signs_out_and_ends_the_wait(administrator, request_of, sign_in):
    person = PersonFactory()
    browser = sign_in(person)
    for _ in range(6):
        services.password_is_theirs(request=request_of(person), person=person, password="wrong")
    services.give_password(by=administrator, person=person, password="seven green kettles sing")
    assert services.password_is_theirs(request=request_of(person), person=person, password="seven green kettles sing")
    assert not services.password_is_theirs(request=request_of(person), person=person, password=PASSWORD)
    assert browser.get("/password/").status_code == 302


@pytest.mark.parametrize("password", ["short", "turbine bearing rotor"])
def test_a_given_password_keeps_the_same_rules(administrator, password):
    person = PersonFactory()
    with pytest.raises(ValidationError):
        services.give_password(by=administrator, person=person, password=password)
    person.refresh_from_db()
    assert person.check_password(PASSWORD)


def test_nobody_gives_themselves_a_password_without_the_old_one(administrator):
    with pytest.raises(ValidationError):
        services.give_password(by=administrator, person=administrator, password="seven green kettles sing")
    administrator.refresh_from_db()
    assert administrator.check_password(PASSWORD)


def test_an_administrator_can_take_on_another_role(administrator):
    services.set_roles(by=administrator, person=administrator, roles=[Role.ADMINISTRATOR, Role.AUDITOR])
    assert Person.objects.get(pk=administrator.pk).roles == {Role.ADMINISTRATOR, Role.AUDITOR}


def test_a_person_added_without_a_password_cannot_sign_in_until_given_one(administrator, request_of):
    person = add(administrator, password=None)
    for guess in ("", "None", "!"):
        assert not services.password_is_theirs(request=request_of(person), person=person, password=guess)
    services.give_password(by=administrator, person=person, password=PASSWORD)
    assert services.password_is_theirs(request=request_of(person), person=person, password=PASSWORD)
