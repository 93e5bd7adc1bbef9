"""The table held against the events. Each fault is put in on purpose."""

from __future__ import annotations

import datetime as dt

import pytest

from assessments.ledger.models import Kind
from assessments.standing import selectors, services
from assessments.standing.models import CurrentStanding
from assessments.standing.rules import Rule
from courses.people.roles import Role
from tests.factories.ledger import EventFactory
from tests.factories.people import PersonFactory
from tests.factories.standing import NOW, TODAY, TaskRuleFactory


@pytest.fixture
def held(plant, said):
    services.grant(**said)
    return CurrentStanding.objects.filter(person=plant.person, task=plant.b1)


def test_table_and_events_agree_after_every_signature(plant, said):
    for service, more in (
        (services.grant, {}),
        (services.restrict, {"restriction": "by day only"}),
        (services.suspend, {}),
        (services.reinstate, {}),
    ):
        service(**said, **more)
        assert selectors.differences() == []


@pytest.mark.parametrize(
    "fault",
    [
        {"state": "suspended"},
        {"state": "due"},
        {"holds_until": dt.date(2039, 1, 1)},
        {"restrictions": ["by day only"]},
        {"reasons": ["Because."]},
        {"from_on": TODAY - dt.timedelta(days=1)},
    ],
)
def test_a_row_that_says_something_else_is_found(plant, held, fault):
    held.update(**fault)
    (found,) = selectors.differences()
    assert (found.person_id, found.task_code) == (plant.person.pk, "B1")
    assert found.table_says != found.events_say


def test_a_missing_row_is_found(plant, held):
    held.delete()
    (found,) = selectors.differences()
    assert (found.table_says, found.events_say) == ("no row", "one row")


def test_an_event_entered_past_the_services_is_found(plant, held):
    EventFactory(person=plant.person, task=plant.b1, by=plant.boss, kind=Kind.WITHDRAWN, effective_on=TODAY, at=NOW)
    (found,) = selectors.differences()
    assert found.events_say.startswith("withdrawn")


def test_a_learner_who_went_on_is_no_difference(plant, held):
    CurrentStanding.objects.filter(person=plant.person, task=plant.b4).update(state="in training")
    assert selectors.differences() == []


def test_a_row_that_no_longer_speaks_for_today_is_held_against_its_own_day(plant, held):
    assert selectors.differences() == []
    TaskRuleFactory(task=plant.b1, rule=Rule("B1", valid_months=1), effective_on=dt.date(2027, 1, 1), by=plant.boss)
    assert selectors.differences() == []


def test_only_the_first_differences_are_told_and_blocks_are_walked(plant, said):
    for _ in range(5):
        services.grant(**{**said, "person": PersonFactory(roles=[Role.MECHANIC])})
    CurrentStanding.objects.all().delete()
    assert len(selectors.differences(limit=4, chunk=2)) == 4
    assert len(selectors.differences(limit=100, chunk=2)) == 15
