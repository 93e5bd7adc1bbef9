from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.urls import reverse

from courses.people.roles import Role
from tests.factories.ledger import AT, EventFactory, OccurrenceFactory, WorkDoneFactory
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


def test_a_record_as_it_was_known_leaves_out_what_came_later_and_says_so(client, time_machine):
    time_machine.move_to(AT + timedelta(days=3), tick=False)
    event = EventFactory()
    later = EventFactory(person=event.person, task=event.task, by=event.entered_by, at=AT + timedelta(days=2))
    WorkDoneFactory(person=event.person, at=AT + timedelta(days=2), note="Done with the second.")
    reader = PersonFactory(roles=[Role.SUPERVISOR])
    now = page(client, reader, event.person).content.decode()
    assert later.hash in now
    assert "Done with the second." in now
    assert "/correct/" not in now
    assert reverse("standing:work_enter", args=[event.person.pk]) in now
    address = reverse("ledger:record_show", args=[event.person.pk])
    then = client.get(address, {"known": "2026-11-25"}).content.decode()
    assert "As it was known at the end of 25 November 2026." in then
    assert event.hash in then
    assert later.hash not in then
    assert "Done with the second." not in then
    assert "whole" in then
    assert "/evidence/" not in then


def test_a_correction_is_a_further_row(client):
    wrong = OccurrenceFactory(note="Was another person.")
    OccurrenceFactory(person=wrong.person, corrects=wrong, happened=False, note="Mistaken.")
    shown = page(client, PersonFactory(roles=[Role.SUPERVISOR]), wrong.person).content.decode()
    assert shown.count('<tr class="void">') == 2
    assert "Does not count: corrected by the entry made on 24 Nov 2026" in shown
    assert "Says that this never happened:" in shown
    assert f"/occurrence/{wrong.pk}/" not in shown


def test_evidence_is_entered_from_a_record_by_those_who_may_and_not_by_an_auditor(client):
    row = WorkDoneFactory()
    links = [
        reverse("standing:work_enter", args=[row.person.pk]),
        reverse("standing:occurrence_enter", args=[row.person.pk]),
        reverse("standing:work_correct", args=[row.person.pk, row.pk]),
    ]
    shown = page(client, PersonFactory(roles=[Role.SUPERVISOR]), row.person).content.decode()
    assert all(link in shown for link in links)
    shown = page(client, PersonFactory(roles=[Role.ASSESSOR]), row.person).content.decode()
    assert [link in shown for link in links] == [True, True, False]  # not theirs to correct
    for reader in (PersonFactory(roles=[Role.AUDITOR]), row.person):
        shown = page(client, reader, row.person).content.decode()
        assert not any(link in shown for link in links)
