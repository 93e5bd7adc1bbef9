from __future__ import annotations

import datetime as dt

import pytest

from assessments.ledger.models import Occurrence, OccurrenceKind, WorkDone
from assessments.standing import errors, services
from assessments.standing.models import CurrentStanding
from assessments.standing.rules import Interruption, Rule
from courses.people.roles import Role
from tests.factories.people import PersonFactory
from tests.factories.standing import NOW, TODAY, TaskRuleFactory

DAY = dt.timedelta(days=1)


@pytest.fixture
def practised(plant, said):
    TaskRuleFactory(
        task=plant.b1, rule=Rule("B1", practised_every_months=6, refresher_days=10, interruption=Interruption(1, 60, 5)),
        effective_on=dt.date(2024, 1, 3), by=plant.boss,
    )  # fmt: skip
    services.grant(**said)
    return plant


def row(plant):
    return CurrentStanding.objects.get(person=plant.person, task=plant.b1)


def test_work_done_moves_the_end_on_in_the_table_too(practised):
    assert row(practised).holds_until == dt.date(2027, 5, 24)
    at = NOW + 100 * DAY
    services.record_work(
        person=practised.person, task=practised.b1, on=TODAY + 100 * DAY, note="Done.", by=practised.boss, at=at
    )
    assert row(practised).holds_until == dt.date(2027, 9, 4)


def test_work_that_is_still_to_come_is_refused(practised):
    with pytest.raises(errors.NotYetError):
        services.record_work(
            person=practised.person, task=practised.b1, on=TODAY + DAY, note="Done.", by=practised.boss, at=NOW
        )


def test_an_occurrence_and_an_absence_reach_the_table(practised):
    said = {"person": practised.person, "by": practised.boss, "note": "So.", "on": TODAY}
    services.record_occurrence(**said, task=practised.b1, kind=OccurrenceKind.UNSAFE_ACT, at=NOW)
    assert row(practised).holds_until == TODAY + 9 * DAY
    away = services.record_occurrence(**{**said, "on": TODAY - 28 * DAY}, kind=OccurrenceKind.ABSENT, at=NOW)
    assert row(practised).holds_until == TODAY + 9 * DAY  # away counts from the grant on
    services.record_occurrence(
        **{**said, "on": TODAY - 28 * DAY}, kind=OccurrenceKind.ABSENT, to_on=TODAY - 1 * DAY, corrects=away, at=NOW
    )
    assert row(practised).state == "qualified"


@pytest.mark.parametrize("role", [Role.MECHANIC, Role.AUDITOR, Role.ADMINISTRATOR])
def test_evidence_is_entered_by_those_who_teach_assess_or_supervise(practised, role):
    by = PersonFactory(roles=[role])
    with pytest.raises(errors.NotAuthorisedError):
        services.record_work(person=practised.person, task=practised.b1, on=TODAY, note="Done.", by=by, at=NOW)
    with pytest.raises(errors.NotAuthorisedError):
        services.record_occurrence(
            person=practised.person, kind=OccurrenceKind.ABSENT, on=TODAY, note="Ill.", by=by, at=NOW
        )
    assert not WorkDone.objects.exists()
    assert not Occurrence.objects.exists()


def test_nobody_enters_evidence_for_themself(practised):
    with pytest.raises(errors.NotAuthorisedError):
        services.record_work(
            person=practised.boss, task=practised.b1, on=TODAY, note="Done.", by=practised.boss, at=NOW
        )
