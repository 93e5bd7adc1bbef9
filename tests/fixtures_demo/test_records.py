"""The records of the demo plant: every state is there, and the reason for it can be read."""

from __future__ import annotations

import pytest
from django.utils import timezone

from assessments.ledger.models import Event, Kind, WorkDone
from assessments.ledger.selectors import Walk
from assessments.standing.models import Signatory, TaskRule
from assessments.standing.rules import Act, State
from assessments.standing.selectors import board, differences
from courses.tasks.models import Task

pytestmark = pytest.mark.xdist_group("fixtures_demo")


@pytest.fixture(scope="module")
def cells(demo_plant):
    """Everybody's standing with every task today: (username, code) to standing."""
    today = timezone.localdate()
    return {
        (row.person.username, cell.task.code): cell.standing
        for row in board(on=today, today=today).rows
        for cell in row.cells
    }


def why(cells, state):
    return " ".join(reason for one in cells.values() if one.state is state for reason in one.reasons)


def test_every_state_is_on_the_board(cells):
    assert {one.state for one in cells.values()} == set(State)


@pytest.mark.parametrize("reason", ["for 12 months", "not done since", "must be held first"])
def test_people_have_lapsed_for_each_reason_there_is(cells, reason):
    """A term that ended, a task not practised, a task that comes first and is gone."""
    assert reason in why(cells, State.LAPSED)


def test_the_mechanic_has_lapsed_in_what_they_did_not_practise(cells):
    assert cells["p.achterberg", "D1"].state is State.LAPSED
    assert not WorkDone.objects.filter(person__username="p.achterberg", task__code="D1").exists()


def test_some_tasks_end_soon(cells):
    assert sum(one.state is State.DUE for one in cells.values()) >= 3


def test_a_signature_waits_for_its_second(cells):
    waits = cells["y.demirel", "F1"]

    assert waits.next_act is Act.COUNTERSIGN
    assert "Waits for a second signature" in waits.reasons[0]


def test_somebody_is_suspended_and_with_it_all_that_hangs_on_the_task(cells):
    assert cells["j.okonkwo-hale", "C2"].state is State.SUSPENDED
    assert cells["j.okonkwo-hale", "E1"].state is State.LAPSED


def test_somebody_came_back_from_a_suspension(cells):
    assert cells["f.zielinska", "D1"].state is State.QUALIFIED


def test_somebody_holds_a_task_under_a_restriction(cells):
    assert cells["s.lindqvist", "E2"].restrictions


def test_apprentices_are_ready_and_in_training(cells):
    assert cells["r.tamm", "B2"].state is State.READY
    assert cells["r.tamm", "B4"].state is State.IN_TRAINING


def test_a_grant_that_was_a_mistake_was_corrected(cells):
    correction = Event.objects.get(kind=Kind.CORRECTION)

    assert (correction.person.username, correction.task.code) == ("k.otieno", "D3")
    assert correction.about.kind == Kind.GRANTED
    assert not cells["k.otieno", "D3"].state.holds


@pytest.mark.usefixtures("demo_plant")
def test_every_kind_of_event_has_happened():
    assert set(Event.objects.values_list("kind", flat=True)) == set(Kind)


@pytest.mark.usefixtures("demo_plant")
def test_every_task_has_its_rule_and_people_to_sign_for_it():
    assert TaskRule.objects.values("task").distinct().count() == Task.objects.count()
    assert Signatory.objects.values("task").distinct().count() == Task.objects.count()
    assert Signatory.objects.values("person").distinct().count() >= 3


@pytest.mark.usefixtures("demo_plant")
def test_every_chain_holds_and_the_table_says_what_the_events_say():
    walk = Walk()

    assert list(walk.broken()) == []
    assert walk.lines > 10
    assert differences() == []


@pytest.mark.usefixtures("demo_plant")
def test_nobody_signed_for_themself_or_twice():
    for event in Event.objects.select_related("about"):
        assert event.entered_by_id != event.person_id
        if event.kind == Kind.COUNTERSIGNED:
            assert event.entered_by_id != event.about.entered_by_id


@pytest.mark.parametrize(("code", "least"), [("B1", 2), ("B4", 2), ("D3", 2), ("E1", None), ("A1", None)])
def test_drills_come_from_two_scenarios_where_the_plant_has_them(demo_plant, code, least):
    assert TaskRule.objects.get(task__code=code).scenarios_least == least
