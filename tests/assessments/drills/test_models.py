"""What the database itself does not let in."""

from __future__ import annotations

import pytest
from django.db import IntegrityError, transaction

from assessments.drills.models import Attempt
from tests.factories.drills import AT, AttemptFactory, handed_in

pytestmark = pytest.mark.django_db


def refused(**changed):
    row = handed_in()
    with pytest.raises(IntegrityError), transaction.atomic():
        Attempt.objects.filter(pk=row.pk).update(**changed)


def test_one_draw_of_a_scenario_is_open_for_one_person(attempt):
    with pytest.raises(IntegrityError), transaction.atomic():
        AttemptFactory(person=attempt.person, scenario=attempt.scenario)

    AttemptFactory(scenario=attempt.scenario)
    AttemptFactory(person=attempt.person)
    assert Attempt.objects.count() == 3


def test_another_draw_can_be_open_once_the_first_is_handed_in(attempt):
    handed_in(attempt)

    assert not AttemptFactory(person=attempt.person, scenario=attempt.scenario).is_handed_in


@pytest.mark.parametrize("field", ["marked", "is_right", "is_unsafe", "points", "out_of"])
def test_what_is_handed_in_is_marked_in_full(field):
    refused(**{field: None})


def test_nobody_earns_more_points_than_there_are():
    refused(points=8, out_of=7)


@pytest.mark.parametrize(
    "marked", [{"marked": {}}, {"is_right": True}, {"is_unsafe": False}, {"points": 0}, {"out_of": 7}]
)
def test_what_is_open_is_not_marked(attempt, marked):
    with pytest.raises(IntegrityError), transaction.atomic():
        Attempt.objects.filter(pk=attempt.pk).update(**marked)


def test_an_attempt_is_called_by_its_person_and_scenario(attempt):
    assert str(attempt) == f"{attempt.person}: {attempt.scenario}, draw {attempt.pk}"
    assert not attempt.is_handed_in
    attempt.handed_in_at = AT
    assert attempt.is_handed_in
