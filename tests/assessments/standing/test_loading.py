from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import pytest

from assessments.ledger.models import Kind as LedgerKind
from assessments.ledger.models import OccurrenceKind
from assessments.standing import loading, services
from assessments.standing.rules import Absence, Kind, MajorRevision, Occurrence, Reading, Result
from tests.factories.ledger import EventFactory, OccurrenceFactory, WorkDoneFactory
from tests.factories.standing import NOW
from tests.factories.tasks import TaskRevisionFactory

LATE = dt.datetime(2026, 6, 30, 23, 30, tzinfo=dt.UTC)  # already 1 July at the plant
JULY = dt.date(2026, 7, 1)


@dataclass(frozen=True)
class ReadingRow:
    person_id: int
    task_code: str
    lesson_slug: str
    revision_number: int
    current_number: int
    read_at: dt.datetime
    changed_majorly_since: bool


@dataclass(frozen=True)
class ResultRow:
    person_id: int
    task_code: str
    handed_in_at: dt.datetime
    is_right: bool
    is_unsafe: bool
    scenario: str


@pytest.fixture
def evidence(plant, monkeypatch):
    pk = plant.person.pk
    reads = [ReadingRow(pk, "B4", "caps", 1, 2, LATE, True)]
    results = [ResultRow(pk, "B4", NOW, False, True, "inch"), ResultRow(pk, "B4", LATE, True, False, "strip")]
    monkeypatch.setattr(
        loading, "readings_by_task", lambda people, at=None: [row for row in reads if at is None or row.read_at <= at]
    )
    monkeypatch.setattr(loading, "results_by_task", lambda people: results)
    return plant


def test_instants_become_days_of_the_plants_own_calendar(evidence):
    dossier = loading.load_dossiers([evidence.person])[evidence.person.pk]
    assert dossier.readings["B4"] == [Reading("caps", JULY, False)]
    assert dossier.results["B4"] == [Result(JULY, True, scenario="strip"), Result(NOW.date(), False, True, "inch")]


def test_what_was_handed_in_later_was_not_known_then(evidence):
    known = loading.load_dossiers([evidence.person], LATE)[evidence.person.pk]
    assert known.results["B4"] == [Result(JULY, True, scenario="strip")]


def test_rows_become_the_values_that_the_rules_know(evidence):
    plant = evidence
    granted = EventFactory(person=plant.person, task=plant.b4, by=plant.boss)
    EventFactory(person=plant.person, task=plant.b4, by=plant.boss, kind=LedgerKind.CORRECTION, about=granted)
    WorkDoneFactory(person=plant.person, task=plant.b4)
    OccurrenceFactory(person=plant.person, kind=OccurrenceKind.ABSENT, to_on=dt.date(2026, 11, 22))
    OccurrenceFactory(person=plant.person, task=plant.b4, kind=OccurrenceKind.UNSAFE_ACT)
    dossier = loading.load_dossiers([plant.person])[plant.person.pk]
    grant, correction = dossier.events["B4"]
    assert (grant.kind, grant.by, grant.signed_name) == (Kind.GRANTED, plant.boss.pk, "Maren Boss")
    assert (correction.kind, correction.about) == (Kind.CORRECTION, 1)
    assert dossier.work_done["B4"] == [dt.date(2026, 11, 20)]
    assert dossier.absences[None] == [Absence(dt.date(2026, 11, 20), dt.date(2026, 11, 22))]
    assert dossier.occurrences["B4"] == [Occurrence(dt.date(2026, 11, 20), "unsafe act seen")]


def test_the_book_holds_every_task_its_rules_and_major_revisions(plant):
    TaskRevisionFactory(task=plant.b4, number=2, is_major=True, issued_at=LATE, issued_by=plant.boss)
    TaskRevisionFactory(task=plant.b4, number=3, issued_by=plant.boss)
    book = loading.load_book()
    assert book.codes == ("B1", "B4", "D1")
    assert book.issue_on("B4", JULY).rule.tasks_first == ("B1",)
    assert book.major_revisions == {"B4": (MajorRevision(2, JULY),)}


def test_a_rule_or_revision_entered_later_was_not_known_then(plant):
    TaskRevisionFactory(task=plant.b4, number=2, is_major=True, issued_at=NOW, issued_by=plant.boss)
    services.issue_rule(
        task=plant.b1,
        rule=loading.load_book().rule_on("B1", JULY),
        effective_on=JULY,
        by=plant.boss,
        reason="Anew.",
        at=NOW,
    )
    known = loading.load_book(LATE)
    assert known.issue_on("B1", JULY).number == 1
    assert known.major_revisions == {}
    assert loading.load_book().issue_on("B1", JULY).number == 2


def test_twenty_people_take_as_many_queries_as_two(plant, django_assert_max_num_queries):
    from tests.factories.people import PersonFactory

    people = [PersonFactory() for _ in range(20)]
    with django_assert_max_num_queries(6) as two:
        loading.load_dossiers(people[:2])
    for person in people:
        EventFactory(person=person, task=plant.b1, by=plant.boss)
        WorkDoneFactory(person=person, task=plant.b1)
        OccurrenceFactory(person=person)
    with django_assert_max_num_queries(len(two)):
        loading.load_dossiers(people)
