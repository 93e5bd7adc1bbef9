# ruff: noqa: S608  (reaching past the guards is what these tests do)
from __future__ import annotations

import datetime as dt

import pytest
from django.db import connection

from assessments.ledger import selectors
from assessments.ledger.models import Event, Line
from courses.people.roles import Role
from tests.factories.ledger import AT, EventFactory, OccurrenceFactory, WorkDoneFactory
from tests.factories.people import PersonFactory
from tests.factories.tasks import TaskFactory
from tests.ledger_guards import guards_lifted

pytestmark = pytest.mark.django_db
LATER = AT + dt.timedelta(days=30)


def tamper(sql, *values):
    with guards_lifted(connection), connection.cursor() as cursor:
        cursor.execute(sql, values)


def line_of(count, **said):
    first = EventFactory(**said)
    rest = [EventFactory(person=first.person, task=first.task, by=first.entered_by, **said) for _ in range(count - 1)]
    return [first, *rest]


def test_what_was_entered_later_was_not_known_then():
    early = EventFactory()
    EventFactory(person=early.person, task=early.task, at=LATER)
    assert selectors.events_of(early.person).count() == 2
    assert list(selectors.events_of(early.person, AT)) == [early]


def test_work_that_was_corrected_stands_as_it_was_known_then():
    wrong = WorkDoneFactory()
    right = WorkDoneFactory(person=wrong.person, task=wrong.task, on=dt.date(2026, 11, 21), corrects=wrong, at=LATER)
    assert list(selectors.work_of_all([wrong.person])) == [right]
    assert list(selectors.work_of_all([wrong.person], AT)) == [wrong]
    assert list(selectors.work_of_all([wrong.person], LATER)) == [right]


def test_work_that_never_happened_is_gone():
    wrong = WorkDoneFactory()
    WorkDoneFactory(person=wrong.person, task=wrong.task, corrects=wrong, happened=False)
    assert not selectors.work_of_all([wrong.person]).exists()


def test_an_open_absence_is_ended_by_a_row_that_corrects_it():
    away = OccurrenceFactory(kind="absent")
    back = OccurrenceFactory(person=away.person, kind="absent", to_on=dt.date(2026, 11, 23), corrects=away)
    assert list(selectors.occurrences_of_all([away.person])) == [back]


@pytest.mark.parametrize(
    ("role", "may"),
    [
        (Role.MECHANIC, False),
        (Role.INSTRUCTOR, False),
        (Role.ASSESSOR, True),
        (Role.SUPERVISOR, True),
        (Role.AUDITOR, True),
        (Role.ADMINISTRATOR, True),
    ],
)
def test_who_may_read_the_record_of_another(role, may):
    reader, person = PersonFactory(roles=[role]), PersonFactory()
    assert selectors.may_read_record(reader, person) is may
    assert (selectors.get_person_for(reader, person.pk) == person) is may


def test_everybody_reads_their_own_record_and_nobody_one_that_is_not_there():
    person, auditor = PersonFactory(), PersonFactory(roles=[Role.AUDITOR])
    assert selectors.get_person_for(person, person.pk) == person
    assert selectors.get_person_for(auditor, 10**9) is None


def test_a_person_without_events_has_a_whole_line():
    assert selectors.first_break_of(PersonFactory()) is None


def broken_lines():
    walk = selectors.Walk()
    return [(each.person_id, each.broken.sequence) for each in walk.broken()], walk


def test_whole_lines_are_walked_and_counted():
    line_of(3)
    line_of(2)
    assert broken_lines() == ([], selectors.Walk(lines=2, events=5))


@pytest.mark.parametrize(
    ("column", "value"),
    [("reason", "Another."), ("kind", "withdrawn"), ("effective_on", "2020-01-01"), ("signed_name", "X"), ("meaning", "observed"),
     ("entered_at", "2026-11-24 09:26:53.589794"), ("until_on", "2030-01-01"), ("hash", "0" * 64), ("previous_hash", "1" * 64)],
)  # fmt: skip
def test_any_column_changed_past_the_guards_is_found_where_it_stands(column, value):
    line, _other = line_of(4), line_of(2)
    tamper(f"UPDATE ledger_event SET {column} = %s WHERE id = %s", value, line[1].pk)
    found, walk = broken_lines()
    assert found == [(line[0].person_id, 2)]
    assert walk == selectors.Walk(lines=2, events=6)
    assert selectors.first_break_of(line[0].person).sequence == 2


def test_another_persons_event_cannot_be_carried_over():
    mine, other = line_of(2), line_of(2)
    tamper("UPDATE ledger_event SET person_id = %s, sequence = 3 WHERE id = %s", mine[0].person_id, other[1].pk)
    found, _walk = broken_lines()
    assert sorted(found) == sorted([(mine[0].person_id, 3), (other[0].person_id, 2)])


def test_a_cut_tail_and_a_line_cut_whole_are_found():
    short, gone = line_of(3), line_of(2)
    tamper("DELETE FROM ledger_event WHERE id = %s", short[2].pk)
    tamper("DELETE FROM ledger_event WHERE person_id = %s", gone[0].person_id)
    found, walk = broken_lines()
    assert sorted(found) == sorted([(short[0].person_id, 3), (gone[0].person_id, 1)])
    assert walk.lines == 2


def test_the_line_is_read_once_with_the_same_number_of_queries(django_assert_num_queries):
    line_of(2)
    with django_assert_num_queries(2):
        list(selectors.Walk().broken())
    for _ in range(4):
        line_of(3)
    with django_assert_num_queries(2):
        list(selectors.Walk().broken())


def test_a_line_knows_its_length_in_words():
    event = EventFactory(person__full_name="P. Achterberg", task=TaskFactory(code="B4"))
    assert str(Line.objects.get()) == "P. Achterberg: 1 events"
    assert str(Event.objects.get()) == f"P. Achterberg B4 granted {event.effective_on}"


# --- Evidence as the record lists it -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("factory", "lines"), [(WorkDoneFactory, selectors.work_lines), (OccurrenceFactory, selectors.occurrence_lines)]
)
def test_a_corrected_entry_stays_in_the_record_and_counts_no_more(factory, lines):
    wrong = factory()
    right = factory(person=wrong.person, corrects=wrong, at=LATER)
    assert [(line.entry, line.corrected_at, line.counts) for line in lines(wrong.person)] == [
        (wrong, LATER, False),
        (right, None, True),
    ]
    assert [(line.entry, line.counts) for line in lines(wrong.person, AT)] == [(wrong, True)]
    factory(person=wrong.person, corrects=right, happened=False, at=LATER)
    assert [line.counts for line in lines(wrong.person)] == [False, False, False]


@pytest.mark.parametrize("role", Role)
def test_evidence_is_entered_about_others_by_those_who_teach_assess_or_supervise(role):
    by = PersonFactory(roles=[role])
    may = role in {Role.SUPERVISOR, Role.ASSESSOR, Role.INSTRUCTOR}
    assert selectors.may_enter_evidence(by, PersonFactory()) is may
    assert not selectors.may_enter_evidence(by, by)
