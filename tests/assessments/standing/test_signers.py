"""Who may sign, and by which right; the refusals of the services are in services/test_signatures.py."""

from __future__ import annotations

import datetime as dt

import pytest

from assessments.standing.rules import Act, Rule, Standing, State
from assessments.standing.signers import SECOND_IS_ANOTHER, Signer, named_for
from tests.factories.people import PersonFactory
from tests.factories.standing import TODAY, SignatoryFactory

DAY = dt.timedelta(days=1)
HELD = Standing(State.QUALIFIED, ())


@pytest.mark.parametrize(
    ("begins", "ends", "is_named"),
    [(0, None, True), (1, None, False), (-9, 0, False), (-9, 1, True), (0, 0, False)],
)
def test_a_naming_counts_from_its_first_day_to_the_day_before_its_end(plant, begins, ends, is_named):
    person = PersonFactory()
    ended_on = None if ends is None else TODAY + ends * DAY
    SignatoryFactory(person=person, task=plant.b1, named_on=TODAY + begins * DAY, ended_on=ended_on)
    assert named_for(person, TODAY) == ({"B1"} if is_named else set())


def test_holding_goes_before_being_named(plant):
    assert Signer(plant.assessor, {"B1": HELD}, frozenset({"B1", "B4"})).right("B1") == "holds the task"
    assert Signer(plant.assessor, {"B1": HELD}, frozenset({"B1", "B4"})).right("B4") == "named for the task"


def test_who_never_held_a_task_and_is_not_named_for_it_cannot_sign(plant):
    signer = Signer(plant.assessor, {}, frozenset())
    assert signer.refusal(Rule("B1"), plant.person.pk) == (
        "To sign for B1 you must hold it or be named for it. You are: not started."
    )


def test_who_may_not_sign_in_cannot_sign(plant):
    plant.assessor.is_active = False
    assert Signer(plant.assessor, {"B1": HELD}, frozenset()).refusal(Rule("B1"), plant.person.pk)


@pytest.mark.parametrize("is_first", [True, False])
def test_the_first_signer_is_not_the_second(plant, is_first):
    first = plant.assessor if is_first else plant.boss
    waits = Standing(State.READY, (), next_act=Act.COUNTERSIGN, awaits_countersign=1, first_signer=first.pk)
    refused = Signer(plant.assessor, {"D1": HELD}, frozenset()).refusal(Rule("D1"), plant.person.pk, waits)
    assert refused == (SECOND_IS_ANOTHER if is_first else None)
