"""Opening, keeping, handing in: nothing is lost, nothing counts twice."""

from __future__ import annotations

import threading
from datetime import timedelta

import pytest
from django.db import IntegrityError, connection

from assessments.drills import services
from assessments.drills.models import Attempt
from assessments.drills.services import (
    LONGEST_TYPED,
    ChangedMeanwhileError,
    UnreadableAnswerError,
    hand_in,
    keep_typed,
    open_attempt,
)
from assessments.engine.draws import draw
from assessments.engine.errors import UnfairScenarioError
from assessments.engine.quantities.reading import LONGEST
from assessments.scenarios.adapters import engine_scenario
from fixtures_demo.learners import typed_accepting, typed_with_slip
from tests.factories.drills import AT, AttemptFactory, handed_in, right_text
from tests.factories.people import PersonFactory
from tests.factories.scenarios import ScenarioFactory, ScenarioRevisionFactory

pytestmark = pytest.mark.django_db
LATER = AT + timedelta(minutes=30)


def opened(person, scenario, seed=1):
    return open_attempt(person=person, scenario=scenario, revision=scenario.current, seed=seed, at=AT)


def now_is(attempt):
    return Attempt.objects.get(pk=attempt.pk)


def twice(call):
    """The same call from two sides at once: two threads on PostgreSQL, one after the other where one connection writes."""
    if connection.vendor != "postgresql":
        return [call(), call()]
    found, gate = [], threading.Barrier(2)

    def side():
        gate.wait()
        try:
            found.append(call())
        finally:
            connection.close()

    sides = [threading.Thread(target=side) for _ in range(2)]
    for one in sides:
        one.start()
    for one in sides:
        one.join()
    return found


# --- opening ----------------------------------------------------------------------------------------------------


def test_a_draw_is_what_the_engine_draws_from_its_seed(apprentice):
    scenario = ScenarioFactory()

    attempt = opened(apprentice, scenario, seed=7)

    assert now_is(attempt).draw == draw(engine_scenario(scenario.current), 7).document()
    assert (attempt.seed, attempt.opened_at, attempt.typed, attempt.is_handed_in) == (7, AT, {}, False)


def test_draw_another_pressed_twice_gives_one_open_draw(apprentice):
    scenario = ScenarioFactory()

    first, second = opened(apprentice, scenario, seed=1), opened(apprentice, scenario, seed=2)

    assert first == second
    assert second.seed == 1
    assert Attempt.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_two_devices_that_draw_at_once_get_the_same_draw(apprentice):
    scenario = ScenarioFactory()

    found = twice(lambda: opened(apprentice, scenario))

    assert len({one.pk for one in found}) == 1
    assert Attempt.objects.count() == 1


def test_whoever_comes_second_past_the_first_look_gets_the_draw_that_came_first(apprentice, monkeypatch):
    scenario = ScenarioFactory()
    first = opened(apprentice, scenario)
    look = iter([None, first])
    monkeypatch.setattr(services, "_open_one", lambda *_: next(look))

    assert opened(apprentice, scenario, seed=9) == first


def test_another_fault_of_the_database_is_not_hidden(apprentice, monkeypatch):
    scenario = ScenarioFactory()
    opened(apprentice, scenario)
    monkeypatch.setattr(services, "_open_one", lambda *_: None)

    with pytest.raises(IntegrityError):
        opened(apprentice, scenario, seed=9)


def test_a_draw_stays_on_its_revision_when_the_scenario_gets_a_newer_one(apprentice):
    scenario = ScenarioFactory()
    attempt = opened(apprentice, scenario)

    ScenarioRevisionFactory(scenario=scenario)

    assert opened(apprentice, scenario).revision == attempt.revision != scenario.current


def test_a_seed_without_a_fair_draw_leaves_nothing_behind(apprentice, monkeypatch):
    def unfair(scenario, seed):
        raise UnfairScenarioError(scenario=scenario.name, tried=64, remedy="Take a finer instrument.")

    monkeypatch.setattr(services, "draw", unfair)

    with pytest.raises(UnfairScenarioError):
        opened(apprentice, ScenarioFactory())
    assert Attempt.objects.count() == 0


# --- keeping ----------------------------------------------------------------------------------------------------


def test_what_is_typed_is_kept_letter_by_letter(attempt):
    typed = {"reading-w_governor": " 2.4 mm", "result-taper": "1/64 in", "verdict": "low"}

    kept = keep_typed(attempt=attempt, typed=typed, at=LATER)

    assert kept.typed == now_is(attempt).typed == typed
    assert now_is(attempt).saved_at == LATER


def test_two_devices_do_not_blot_out_each_other(attempt):
    """Both opened the form when it was blank; one typed a reading, the other a verdict."""
    keep_typed(attempt=attempt, typed={"reading-w_governor": "2.4", "verdict": ""}, was={}, at=AT)

    keep_typed(attempt=attempt, typed={"reading-w_governor": "", "verdict": "low"}, was={}, at=LATER)

    assert now_is(attempt).typed == {"reading-w_governor": "2.4", "verdict": "low"}


def test_what_was_wiped_on_purpose_is_wiped(attempt):
    keep_typed(attempt=attempt, typed={"result-taper": "0.02"}, was={}, at=AT)

    keep_typed(attempt=attempt, typed={"result-taper": ""}, was={"result-taper": "0.02"}, at=LATER)

    assert now_is(attempt).typed == {"result-taper": ""}


def test_of_two_who_change_one_field_the_later_stays(attempt):
    keep_typed(attempt=attempt, typed={"result-taper": "0.02"}, was={}, at=AT)

    keep_typed(attempt=attempt, typed={"result-taper": "0.03"}, was={}, at=LATER)

    assert now_is(attempt).typed == {"result-taper": "0.03"}


def test_a_zero_byte_is_kept_as_a_mark_that_no_number_is_read_from(attempt):
    kept = keep_typed(attempt=attempt, typed={"reading-w_governor": "0.\x0006"}, at=AT)

    assert kept.typed == {"reading-w_governor": "0.\ufffd06"}
    with pytest.raises(UnreadableAnswerError):
        hand_in(attempt=attempt, at=LATER)


def test_text_is_cut_only_where_it_was_too_long_to_be_read_anyway(attempt):
    kept = keep_typed(attempt=attempt, typed={"reading-w_governor": "2.4" + " " * 100 + "9"}, at=AT)

    assert len(kept.typed["reading-w_governor"]) == LONGEST_TYPED > LONGEST


def test_what_comes_after_handing_in_changes_nothing(attempt):
    row = handed_in(attempt)

    late = keep_typed(attempt=attempt, typed={"reading-w_governor": "9.9"}, at=LATER)

    assert late.typed == row.typed == now_is(attempt).typed
    assert now_is(attempt).saved_at == AT


# --- handing in -------------------------------------------------------------------------------------------------


def test_a_right_answer_earns_every_part(attempt):
    row = now_is(handed_in(attempt))

    assert (row.points, row.out_of, row.is_right, row.is_unsafe) == (7, 7, True, False)
    assert (row.marked["points"], row.marked["is_right"], row.handed_in_at) == (7, True, AT)


def test_a_slip_is_named_and_the_answer_is_not_right():
    row = handed_in(case="tight", typed=lambda *drawn: typed_with_slip(*drawn, "width_as_clearance"))

    assert [slip["name"] for slip in row.marked["slips"]] == ["width_as_clearance"]
    assert not row.is_right


def test_a_bad_fit_accepted_is_unsafe_and_earns_nothing():
    row = handed_in(case="tight", typed=typed_accepting)

    assert (row.is_unsafe, row.is_right, row.points) == (True, False, 0)


def test_an_answer_left_blank_is_scored_and_earns_nothing(attempt):
    row = hand_in(attempt=attempt, at=LATER)

    assert (row.points, row.out_of, row.is_right, row.is_unsafe) == (0, 7, False, False)


def test_handed_in_again_it_stays_as_it_was(attempt):
    first = handed_in(attempt)

    again = hand_in(attempt=attempt, at=LATER, looked_over={"anything": "else"})

    assert (again.handed_in_at, again.marked) == (AT, first.marked)
    assert Attempt.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_handed_in_from_two_sides_at_once_it_counts_once(attempt):
    keep_typed(attempt=attempt, typed=right_text(attempt), at=AT)
    moments = iter([AT, LATER])

    found = twice(lambda: hand_in(attempt=attempt, at=next(moments)))

    assert len(found) == 2
    assert len({one.handed_in_at for one in found}) == 1
    assert Attempt.objects.filter(handed_in_at__isnull=False).count() == 1


def test_what_cannot_be_read_is_not_handed_in_as_if_it_were_blank(attempt):
    keep_typed(attempt=attempt, typed={**right_text(attempt), "result-taper": "3600 rpm"}, at=AT)

    with pytest.raises(UnreadableAnswerError) as refused:
        hand_in(attempt=attempt, at=LATER)

    assert list(refused.value.errors) == ["result-taper"]
    assert str(refused.value) == refused.value.errors["result-taper"]
    assert not now_is(attempt).is_handed_in


def test_what_was_changed_after_it_was_looked_over_is_not_handed_in(attempt):
    looked_over = keep_typed(attempt=attempt, typed=right_text(attempt), at=AT).typed
    keep_typed(attempt=attempt, typed={"verdict": "low"}, at=AT)

    with pytest.raises(ChangedMeanwhileError):
        hand_in(attempt=attempt, at=LATER, looked_over=looked_over)

    assert not now_is(attempt).is_handed_in


def test_if_scoring_breaks_nothing_of_it_is_written(attempt, monkeypatch):
    def broken(*_):
        raise RuntimeError("in the middle of scoring")

    monkeypatch.setattr(services, "document", broken)

    with pytest.raises(RuntimeError):
        hand_in(attempt=attempt, at=LATER)
    assert now_is(attempt).handed_in_at is None


def test_only_the_attempt_itself_is_held_while_it_is_scored(attempt, django_assert_num_queries):
    """Two queries: the row with its revision, and the update. Somebody who issues a revision waits for nobody."""
    engine_scenario(attempt.revision)
    with django_assert_num_queries(4) as queries:  # and the savepoint about them
        hand_in(attempt=attempt, at=LATER)

    locking = [query["sql"] for query in queries if "FOR UPDATE" in query["sql"]]
    assert all('OF "drills_attempt"' in sql for sql in locking)
    assert bool(locking) == (connection.vendor == "postgresql")


def test_people_do_not_share_a_draw():
    scenario = ScenarioFactory()

    assert opened(PersonFactory(), scenario) != opened(PersonFactory(), scenario)
    assert AttemptFactory(scenario=scenario).person_id
