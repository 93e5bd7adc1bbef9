from __future__ import annotations

import pytest
from django.db import connection
from django.urls import reverse

from courses.people.roles import Role
from tests.factories.ledger import EventFactory, OccurrenceFactory, WorkDoneFactory
from tests.factories.people import PersonFactory
from tests.ledger_guards import guards_lifted

pytestmark = pytest.mark.django_db


def page(client, reader, person):
    client.force_login(reader, backend="django.contrib.auth.backends.ModelBackend")
    return client.get(reverse("ledger:record_show", args=[person.pk]))


def test_a_record_shows_who_signed_what_when_and_what_it_means(client):
    event = EventFactory(by__full_name="M. Oduya", reason="Watched twice, both good.")
    WorkDoneFactory(person=event.person)
    OccurrenceFactory(person=event.person)
    shown = page(client, event.person, event.person).content.decode()
    for text in (
        "M. Oduya, authorised",
        "24 Nov 2026 09:26:53 GMT",
        "Watched twice, both good.",
        event.hash,
        "whole",
        "Tasks done",
        "near miss",
    ):
        assert text in shown


def test_a_broken_record_says_where_it_breaks(client):
    event = EventFactory()
    with guards_lifted(connection), connection.cursor() as cursor:
        cursor.execute("UPDATE ledger_event SET reason = 'another'")
    shown = page(client, event.person, event.person).content.decode()
    assert "This record does not hold." in shown
    assert "broken at event 1" in shown


def test_a_person_with_no_events_has_a_record_too(client):
    person = PersonFactory()
    assert "Nothing has been signed about" in page(client, person, person).content.decode()


def test_the_record_of_another_is_not_there_for_a_mechanic_and_that_is_logged(client, caplog):
    reader, person = PersonFactory(roles=[Role.MECHANIC]), PersonFactory()
    assert page(client, reader, person).status_code == 404
    assert f"{reader.username} asked for /records/{person.pk}/" in caplog.text


@pytest.mark.parametrize("role", [Role.ASSESSOR, Role.SUPERVISOR, Role.AUDITOR, Role.ADMINISTRATOR])
def test_those_who_oversee_read_every_record(client, role):
    assert page(client, PersonFactory(roles=[role]), PersonFactory()).status_code == 200


def test_a_long_record_takes_no_more_queries_than_a_short_one(client, django_assert_max_num_queries):
    event = EventFactory()
    address = reverse("ledger:record_show", args=[event.person.pk])
    page(client, event.person, event.person)
    with django_assert_max_num_queries(8) as short:
        client.get(address)
    for _ in range(10):
        EventFactory(person=event.person, task=event.task, by=event.entered_by)
        WorkDoneFactory(person=event.person, task=event.task)
    with django_assert_max_num_queries(len(short)):
        client.get(address)
