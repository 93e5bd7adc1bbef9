"""Rows are appended; the chain holds whatever is entered, and two at once cannot fork it."""

from __future__ import annotations

import datetime as dt
import uuid

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from assessments.ledger import chain, services
from assessments.ledger.models import Event, Kind, Line, Meaning, WorkDone
from assessments.ledger.selectors import first_break_of
from courses.people.roles import Role
from tests.factories.ledger import AT, EventFactory, OccurrenceFactory, WorkDoneFactory
from tests.factories.people import PersonFactory
from tests.factories.tasks import TaskFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def said():
    return {
        "person": PersonFactory(), "task": TaskFactory(code="B4"), "by": PersonFactory(full_name="M. Oduya"),
        "kind": Kind.GRANTED, "effective_on": dt.date(2026, 11, 24), "meaning": Meaning.AUTHORISED,
        "reason": " Watched twice. ", "at": AT,
    }  # fmt: skip


def test_the_first_event_follows_the_start_and_the_next_follows_it(said):
    first, second = services.append(**said), services.append(**said)
    assert (first.sequence, first.previous_hash) == (1, chain.START)
    assert (second.sequence, second.previous_hash) == (2, first.hash)
    line = Line.objects.get(person=said["person"])
    assert (line.length, line.head_hash) == (2, second.hash)


def test_what_is_read_back_from_the_database_gives_the_same_hash(said):
    about = services.append(**said)
    events = [
        services.append(
            **said,
            evidence={"lessons": ["caps", {"n": 3, "ok": True, "none": None}], "Ø": "é"},
            until_on=dt.date(2027, 1, 1),
        ),
        services.append(**{**said, "kind": Kind.RESTRICTED}, restriction="pump drives only", token=uuid.uuid4()),
        services.append(**{**said, "kind": Kind.CORRECTION}, about=about),
        services.append(**{**said, "at": AT.astimezone(dt.timezone(dt.timedelta(hours=5)))}),
    ]
    for event in events:
        stored = Event.objects.get(pk=event.pk)
        assert chain.link(stored.previous_hash, stored.facts) == stored.hash == event.hash
    assert first_break_of(said["person"]) is None


def test_the_facts_hold_everything_that_was_signed(said):
    event = services.append(**said)
    hashed = {field.attname.removesuffix("_id") for field in Event._meta.fields} - {"id", "hash", "previous_hash"}
    assert set(event.facts) == hashed
    assert event.facts["reason"] == "Watched twice."
    assert event.facts["signed_name"] == "M. Oduya"


def test_the_same_token_twice_enters_one_event(said):
    token = uuid.uuid4()
    first, again = services.append(**said, token=token), services.append(**said, token=token)
    assert first == again
    assert Event.objects.count() == 1


def test_a_token_used_for_something_else_is_refused(said):
    token = uuid.uuid4()
    first = services.append(**said, token=token)
    with pytest.raises(services.TokenUsedError) as caught:
        services.append(**{**said, "kind": Kind.SUSPENDED}, token=token)
    assert caught.value.event == first


def test_an_event_answers_only_one_of_its_own_person_and_task(said):
    elsewhere = EventFactory()
    with pytest.raises(services.OtherLineError):
        services.append(**{**said, "kind": Kind.CORRECTION}, about=elsewhere)


@pytest.mark.parametrize(
    "changes",
    [
        {"reason": "  "},
        {"kind": "promoted"},
        {"meaning": "noticed"},
        {"kind": Kind.RESTRICTED},
        {"restriction": "only by day"},
        {"kind": Kind.CORRECTION},
    ],
)
def test_a_row_that_does_not_hold_is_refused_and_the_line_does_not_grow(said, changes):
    with pytest.raises(ValidationError):
        services.append(**{**said, **changes})
    assert not Event.objects.exists()
    assert not Line.objects.filter(length__gt=0).exists()


def test_nobody_signs_about_themself_even_past_the_service(said):
    with pytest.raises(ValidationError, match="Nobody signs about themself"):
        services.append(**{**said, "by": said["person"]})
    event = services.append(**said)
    fields = {
        field.attname: getattr(event, field.attname) for field in Event._meta.fields if field.name not in {"id", "hash"}
    }
    with pytest.raises(IntegrityError), transaction.atomic():
        Event.objects.create(**{**fields, "entered_by_id": said["person"].pk, "sequence": 9, "hash": "f"})


def test_what_cannot_be_signed_is_refused(said):
    with pytest.raises(chain.NotCanonicalError):
        services.append(**said, evidence={"gap_mm": 0.11})


def test_evidence_rows_are_entered_and_bad_ones_refused():
    assert (
        str(WorkDoneFactory(task__code="B4", person__full_name="P. Achterberg")) == "P. Achterberg did B4 on 2026-11-20"
    )
    assert str(OccurrenceFactory(person__full_name="P. Achterberg")) == "P. Achterberg: near miss on 2026-11-20"
    with pytest.raises(ValidationError):
        WorkDoneFactory(note="")
    with pytest.raises(ValidationError):
        OccurrenceFactory(kind="absent", to_on=dt.date(2026, 11, 19))
    with pytest.raises(ValidationError):
        OccurrenceFactory(to_on=dt.date(2026, 11, 21))  # only an absence has a last day


def test_a_second_row_cannot_correct_the_same_one_again():
    work = WorkDoneFactory()
    WorkDoneFactory(person=work.person, task=work.task, corrects=work)
    with pytest.raises(services.CorrectionRefusedError, match="corrected already"):
        WorkDoneFactory(person=work.person, task=work.task, corrects=work)
    assert WorkDone.objects.count() == 2


@pytest.mark.parametrize("factory", [WorkDoneFactory, OccurrenceFactory])
def test_a_row_of_one_person_does_not_correct_anothers(factory):
    row = factory()
    with pytest.raises(services.CorrectionRefusedError, match="about somebody else"):
        factory(corrects=row)
    assert type(row).objects.count() == 1


@pytest.mark.parametrize("factory", [WorkDoneFactory, OccurrenceFactory])
@pytest.mark.parametrize(
    ("roles", "may"),
    [
        ([Role.SUPERVISOR], True),
        ([Role.ASSESSOR], False),
        ([Role.INSTRUCTOR], False),
        ([Role.AUDITOR, Role.ADMINISTRATOR], False),
        ([], False),
    ],
)
def test_an_entry_is_corrected_by_its_enterer_or_a_supervisor(factory, roles, may):
    row = factory()
    said = {"person": row.person, "corrects": row, "happened": False, "by": PersonFactory(roles=roles)}
    if may:
        assert factory(**said).corrects == row
    else:
        with pytest.raises(services.CorrectionRefusedError, match="by a supervisor"):
            factory(**said)
    own = factory(by=PersonFactory(roles=[Role.INSTRUCTOR]))
    assert factory(person=own.person, corrects=own, happened=False, by=own.entered_by).corrects == own


def test_a_person_takes_nothing_back_about_themself():
    boss = PersonFactory(roles=[Role.SUPERVISOR])
    row = OccurrenceFactory(person=boss)
    with pytest.raises(services.CorrectionRefusedError):
        OccurrenceFactory(person=boss, corrects=row, happened=False, by=boss)


def test_a_correction_keeps_its_kind_and_its_task():
    row = OccurrenceFactory(kind="unsafe act")
    for more in ({"kind": "absent"}, {"kind": "unsafe act", "task": TaskFactory()}):
        with pytest.raises(services.CorrectionRefusedError, match="the same thing and the same task"):
            OccurrenceFactory(person=row.person, corrects=row, **more)
    work = WorkDoneFactory()
    with pytest.raises(services.CorrectionRefusedError, match="the same thing and the same task"):
        WorkDoneFactory(person=work.person, corrects=work, task=TaskFactory())


def test_twelve_entries_at_once_make_one_unforked_line(said, in_threads):
    def enter():
        return [services.append(**said).sequence for _ in range(3)]

    entered = in_threads(*[enter] * 4)
    assert sorted(number for numbers in entered for number in numbers) == list(range(1, 13))
    assert in_threads(lambda: first_break_of(said["person"])) == [None]


def test_a_form_sent_twice_at_once_makes_one_event(said, in_threads):
    token = uuid.uuid4()
    first, second = in_threads(*[lambda: services.append(**said, token=token)] * 2)
    assert first.hash == second.hash
    assert in_threads(Event.objects.count) == [1]
