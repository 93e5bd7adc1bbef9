"""Rules, signatories and standings for tests."""

from __future__ import annotations

import datetime as dt
from types import SimpleNamespace

import factory
from factory.django import DjangoModelFactory

from assessments.standing import services
from assessments.standing.models import CurrentStanding, Signatory, TaskRule
from assessments.standing.rules import Rule, State
from courses.people.roles import Role
from tests.factories.people import PersonFactory
from tests.factories.tasks import TaskFactory

LONG_AGO = dt.datetime(2024, 1, 2, 9, 0, tzinfo=dt.UTC)
NOW = dt.datetime(2026, 11, 24, 9, 26, 53, tzinfo=dt.UTC)
TODAY = dt.date(2026, 11, 24)


class TaskRuleFactory(DjangoModelFactory[TaskRule]):
    """``TaskRuleFactory(task=task, rule=Rule(...))``, issued by the service."""

    class Meta:
        model = TaskRule

    task = factory.SubFactory(TaskFactory)
    rule = factory.LazyAttribute(lambda row: Rule(row.task.code))
    effective_on = dt.date(2024, 1, 2)
    by = factory.SubFactory(PersonFactory, roles=[Role.SUPERVISOR])
    reason = "Invented for a test."
    at = LONG_AGO

    @classmethod
    def _create(cls, _model, *_args, **said):
        return services.issue_rule(**said)


class SignatoryFactory(DjangoModelFactory[Signatory]):
    class Meta:
        model = Signatory

    person = factory.SubFactory(PersonFactory)
    task = factory.SubFactory(TaskFactory)
    named_on = dt.date(2024, 1, 2)
    named_by = factory.SubFactory(PersonFactory)
    named_at = LONG_AGO
    reason = "Named to begin with."


class CurrentStandingFactory(DjangoModelFactory[CurrentStanding]):
    class Meta:
        model = CurrentStanding

    person = factory.SubFactory(PersonFactory)
    task = factory.SubFactory(TaskFactory)
    state = State.QUALIFIED
    from_on = TODAY
    computed_at = NOW


def small_plant() -> SimpleNamespace:
    """Three tasks (B4 wants B1 first, D1 two signatures), two people named to sign for all of them, and one apprentice."""
    boss = PersonFactory(full_name="Maren Boss", roles=[Role.SUPERVISOR])
    other = PersonFactory(full_name="Odd Other", roles=[Role.SUPERVISOR])
    assessor = PersonFactory(full_name="Ada Assessor", roles=[Role.ASSESSOR])
    person = PersonFactory(full_name="Pim Learner", roles=[Role.MECHANIC])
    b1 = TaskFactory(code="B1", title="Measure with shop instruments", short_title="measure")
    b4 = TaskFactory(code="B4", title="Check bearing clearance", short_title="bearings")
    d1 = TaskFactory(code="D1", title="Set the trip gear", short_title="trip gear", is_critical=True)
    TaskRuleFactory(task=b1, rule=Rule("B1", valid_months=36, notice_days=30), by=boss)
    TaskRuleFactory(task=b4, rule=Rule("B4", valid_months=36, notice_days=30, tasks_first=("B1",)), by=boss)
    TaskRuleFactory(task=d1, rule=Rule("D1", valid_months=12, notice_days=30, second_signature=True), by=boss)
    for task in (b1, b4, d1):
        SignatoryFactory(person=boss, task=task, named_by=other)
        SignatoryFactory(person=assessor, task=task, named_by=other)
    return SimpleNamespace(boss=boss, other=other, assessor=assessor, person=person, b1=b1, b4=b4, d1=d1)
