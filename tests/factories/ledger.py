"""Rows of the ledger for tests, appended by the services so that the chain holds."""

from __future__ import annotations

import datetime as dt

import factory

from assessments.ledger import services
from assessments.ledger.models import Event, Kind, Meaning, Occurrence, OccurrenceKind, WorkDone
from courses.people.roles import Role
from tests.factories.people import PersonFactory
from tests.factories.tasks import TaskFactory

AT = dt.datetime(2026, 11, 24, 9, 26, 53, 589793, tzinfo=dt.UTC)


class EventFactory(factory.django.DjangoModelFactory):
    """An event, appended by the service so that the chain holds."""

    class Meta:
        model = Event

    person = factory.SubFactory(PersonFactory)
    task = factory.SubFactory(TaskFactory)
    by = factory.SubFactory(PersonFactory)
    kind = Kind.GRANTED
    effective_on = dt.date(2026, 11, 24)
    meaning = Meaning.AUTHORISED
    reason = "Watched twice, both good."
    at = AT

    @classmethod
    def _create(cls, _model, *_args, **said):
        return services.append(**said)


class WorkDoneFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = WorkDone

    person = factory.SubFactory(PersonFactory)
    task = factory.Maybe("corrects", factory.SelfAttribute("corrects.task"), factory.SubFactory(TaskFactory))
    on = dt.date(2026, 11, 20)
    note = "Done on the feed pump turbine, invented."
    by = factory.SubFactory(PersonFactory, roles=[Role.SUPERVISOR])
    corrects = None
    at = AT

    @classmethod
    def _create(cls, _model, *_args, **said):
        return services.record_work(**said)


class OccurrenceFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Occurrence

    person = factory.SubFactory(PersonFactory)
    task = factory.Maybe("corrects", factory.SelfAttribute("corrects.task"), None)
    kind = OccurrenceKind.NEAR_MISS
    on = dt.date(2026, 11, 20)
    note = "Sling slipped, nobody hurt. Invented."
    by = factory.SubFactory(PersonFactory, roles=[Role.SUPERVISOR])
    corrects = None
    at = AT

    @classmethod
    def _create(cls, _model, *_args, **said):
        return services.record_occurrence(**said)
