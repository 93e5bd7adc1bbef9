from __future__ import annotations

import datetime as dt

import pytest

from assessments.ledger.models import Occurrence, OccurrenceKind, WorkDone
from assessments.ledger.services import CorrectionRefusedError
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


# --- Sent twice, and corrected ----------------------------------------------------------------------------------


@pytest.fixture
def work(practised):
    return {
        "person": practised.person,
        "task": practised.b1,
        "on": TODAY,
        "note": "Done. ",
        "by": practised.boss,
        "at": NOW,
    }


@pytest.fixture
def away(practised):
    return {
        "person": practised.person, "kind": OccurrenceKind.ABSENT, "on": TODAY - 9 * DAY, "note": "Away.", "by": practised.boss,
        "at": NOW,
    }  # fmt: skip


def test_the_same_entry_sent_twice_is_entered_once(work, away):
    assert services.record_work(**work) == services.record_work(**{**work, "at": NOW + DAY / 24})
    assert services.record_occurrence(**away) == services.record_occurrence(**{**away, "at": NOW + DAY / 24})
    assert (WorkDone.objects.count(), Occurrence.objects.count()) == (1, 1)


def test_an_entry_that_says_anything_else_is_an_entry_of_its_own(work, away, practised):
    services.record_work(**work)
    for other in ({"note": "Done again."}, {"on": TODAY - DAY}, {"by": practised.other}, {"task": practised.b4}):
        services.record_work(**{**work, **other})
    assert WorkDone.objects.count() == 5
    services.record_occurrence(**away)
    services.record_occurrence(**{**away, "to_on": TODAY})
    assert Occurrence.objects.count() == 2


def test_a_task_done_that_was_a_mistake_counts_no_more_and_can_be_entered_anew(work, practised):
    at = NOW + 100 * DAY
    row_of = services.record_work(**{**work, "on": TODAY + 100 * DAY, "at": at})
    assert row(practised).holds_until == dt.date(2027, 9, 4)
    mistake = {**work, "on": row_of.on, "note": "Another person.", "at": at, "corrects": row_of, "happened": False}
    assert services.record_work(**mistake) == services.record_work(**mistake)
    assert row(practised).holds_until == dt.date(2027, 5, 24)
    services.record_work(**{**work, "on": row_of.on, "at": at})
    assert row(practised).holds_until == dt.date(2027, 9, 4)
    assert WorkDone.objects.count() == 3


def test_an_absence_that_never_was_is_taken_back(away, practised):
    entered = services.record_occurrence(**away)
    services.record_occurrence(**{**away, "note": "Was at work.", "corrects": entered, "happened": False})
    assert Occurrence.objects.filter(happened=True, corrected_by=None).count() == 0


def test_an_entry_is_corrected_once(work, away):
    entered = services.record_work(**work)
    services.record_work(**{**work, "note": "On the day before.", "on": TODAY - DAY, "corrects": entered})
    with pytest.raises(CorrectionRefusedError, match="corrected already"):
        services.record_work(**{**work, "note": "Two days before.", "on": TODAY - 2 * DAY, "corrects": entered})
    gone = services.record_occurrence(**away)
    back = services.record_occurrence(**{**away, "note": "At work.", "corrects": gone, "happened": False})
    with pytest.raises(CorrectionRefusedError, match="corrected already"):
        services.record_occurrence(**{**away, "note": "Away after all.", "corrects": back})


def test_an_entry_about_somebody_else_is_not_corrected_here(work, practised):
    entered = services.record_work(**{**work, "person": practised.assessor})
    with pytest.raises(CorrectionRefusedError, match="about somebody else"):
        services.record_work(**{**work, "note": "Mine.", "corrects": entered})


def test_what_is_still_to_come_is_no_evidence(away):
    with pytest.raises(errors.NotYetError):
        services.record_occurrence(**{**away, "on": TODAY + DAY})
    assert services.record_occurrence(**{**away, "to_on": TODAY + 30 * DAY}).to_on == TODAY + 30 * DAY


@pytest.mark.parametrize(
    "kind", [OccurrenceKind.UNSAFE_ACT, OccurrenceKind.NEAR_MISS, OccurrenceKind.FAILED_EVALUATION]
)
def test_a_refresher_call_is_taken_back_by_its_enterer_or_a_supervisor_only(practised, kind):
    said = {"person": practised.person, "task": practised.b1, "kind": kind, "on": TODAY, "note": "Seen.", "at": NOW}
    instructor, assessor = PersonFactory(roles=[Role.INSTRUCTOR]), practised.assessor
    for enterer, other in ((instructor, assessor), (assessor, instructor)):
        call = services.record_occurrence(**said, by=enterer)
        never = {**said, "note": "Not so.", "corrects": call, "happened": False}
        with pytest.raises(CorrectionRefusedError, match="by whoever entered it, or by a supervisor"):
            services.record_occurrence(**never, by=other)
        assert row(practised).holds_until == TODAY + 9 * DAY
        services.record_occurrence(**never, by=enterer)
        assert row(practised).holds_until == dt.date(2027, 5, 24)
    call = services.record_occurrence(**said, by=instructor)
    services.record_occurrence(**{**said, "note": "Not so.", "corrects": call, "happened": False}, by=practised.other)
    assert row(practised).holds_until == dt.date(2027, 5, 24)


def test_a_correction_keeps_what_it_is_and_its_task(practised):
    said = {"person": practised.person, "on": TODAY, "note": "Seen.", "by": practised.boss, "at": NOW}
    call = services.record_occurrence(**said, task=practised.b1, kind=OccurrenceKind.UNSAFE_ACT)
    for more in (
        {"task": practised.b1, "kind": OccurrenceKind.CHANGED_PLACE},
        {"task": practised.d1, "kind": OccurrenceKind.UNSAFE_ACT},
        {"task": None, "kind": OccurrenceKind.UNSAFE_ACT},
    ):
        with pytest.raises(CorrectionRefusedError, match="the same thing and the same task"):
            services.record_occurrence(**said, **more, corrects=call)
    assert row(practised).holds_until == TODAY + 9 * DAY
