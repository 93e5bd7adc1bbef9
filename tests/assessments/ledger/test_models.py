"""Rows that do not hold are refused by the database itself, past every service."""

from __future__ import annotations

import datetime as dt

import pytest
from django.db import IntegrityError, transaction

from assessments.ledger.models import Event, Occurrence
from tests.factories.ledger import AT, EventFactory
from tests.factories.people import PersonFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    "columns",
    [
        {"sequence": 0},
        {"sequence": 1},
        {"kind": "promoted"},
        {"meaning": "noticed"},
        {"reason": ""},
        {"kind": "restricted", "restriction": ""},
        {"kind": "granted", "restriction": "by day only"},
        {"kind": "correction", "about_id": None},
        {"kind": "granted", "about_id": "itself"},
    ],
)
def test_an_event_that_does_not_hold_is_refused(columns):
    event = EventFactory()
    row = {field.attname: getattr(event, field.attname) for field in Event._meta.fields if field.name != "id"}
    row |= {"sequence": 2, "hash": "f" * 64, **columns}
    if row["about_id"] == "itself":
        row["about_id"] = event.pk
    with pytest.raises(IntegrityError), transaction.atomic():
        Event.objects.create(**row)
    assert Event.objects.get() == event


@pytest.mark.parametrize(
    "columns",
    [
        {"kind": "holiday"},
        {"kind": "absent", "to_on": dt.date(2026, 11, 19)},
        {"kind": "near miss", "to_on": dt.date(2026, 11, 21)},
    ],
)
def test_an_occurrence_that_does_not_hold_is_refused(columns):
    with pytest.raises(IntegrityError), transaction.atomic():
        Occurrence.objects.create(
            person=PersonFactory(),
            on=dt.date(2026, 11, 20),
            note="So.",
            entered_by=PersonFactory(),
            entered_at=AT,
            **columns,
        )
