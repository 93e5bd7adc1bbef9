"""Who reads which attempt, and what lists count."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.http import Http404

from assessments.drills import selectors
from assessments.drills.selectors import DrillRow, ResultRow
from courses.people.roles import Role
from fixtures_demo.learners import typed_accepting, typed_with_slip
from tests.factories.drills import AT, AttemptFactory, handed_in, many_like
from tests.factories.people import PersonFactory
from tests.factories.scenarios import ScenarioFactory
from tests.factories.tasks import TaskFactory

pytestmark = pytest.mark.django_db
READERS = [Role.INSTRUCTOR, Role.ASSESSOR, Role.SUPERVISOR, Role.AUDITOR, Role.ADMINISTRATOR]
MISSING = 987654321


def test_a_person_sees_their_own_attempts_and_no_others(apprentice):
    own = [AttemptFactory(person=apprentice), handed_in(person=apprentice)]
    handed_in()

    assert set(selectors.attempts_visible_to(apprentice)) == set(own)


@pytest.mark.parametrize("role", READERS)
def test_who_teaches_examines_or_audits_sees_what_was_handed_in(role):
    done, reader = handed_in(), PersonFactory(roles=[role])

    assert selectors.get_attempt_for(reader, done.pk) == done


@pytest.mark.parametrize("role", [*READERS, Role.MECHANIC])
def test_nobody_sees_what_another_has_open(attempt, role):
    with pytest.raises(Http404):
        selectors.get_attempt_for(PersonFactory(roles=[role]), attempt.pk)


def test_hidden_and_missing_answer_alike(attempt):
    answers = []
    for pk in (attempt.pk, MISSING):
        with pytest.raises(Http404) as answer:
            selectors.get_attempt_for(PersonFactory(), pk)
        answers.append(answer.value.args)

    assert answers[0] == answers[1]


def test_nobody_works_on_anothers_attempt_even_if_they_may_read_it(apprentice):
    done = handed_in(person=apprentice)

    with pytest.raises(Http404):
        selectors.get_own_attempt(PersonFactory(roles=[Role.SUPERVISOR]), done.pk)
    assert selectors.get_own_attempt(apprentice, done.pk) == done


def test_an_attempt_comes_with_all_that_its_pages_show(attempt, django_assert_num_queries):
    assert attempt.person.roles
    with django_assert_num_queries(1):
        found = selectors.attempts_visible_to(attempt.person).get(pk=attempt.pk)
        assert str(found.person)
        assert str(found.revision.scenario.task)
        assert found.revision.sheet.machine.name


def test_past_attempts_are_handed_in_ones_newest_first(apprentice):
    scenario = ScenarioFactory()
    old = handed_in(person=apprentice, scenario=scenario, at=AT)
    new = handed_in(person=apprentice, scenario=scenario, at=AT + timedelta(days=1))
    other = handed_in(person=apprentice, at=AT + timedelta(days=2))
    AttemptFactory(person=apprentice, scenario=scenario)
    handed_in(scenario=scenario)

    assert list(selectors.past_attempts(apprentice)) == [other, new, old]
    assert list(selectors.past_attempts(apprentice, scenario)) == [new, old]


def test_a_drill_row_says_how_the_person_stands_in_the_scenario(apprentice, django_assert_num_queries):
    scenario = ScenarioFactory()
    handed_in(person=apprentice, scenario=scenario, at=AT + timedelta(days=3))
    handed_in(person=apprentice, scenario=scenario, at=AT, case="tight", typed=typed_accepting)
    AttemptFactory(person=apprentice, scenario=scenario)
    handed_in(scenario=scenario, at=AT + timedelta(days=9))
    untried = ScenarioFactory()
    ScenarioFactory(revision=False)

    with django_assert_num_queries(1):
        rows = selectors.drill_rows(apprentice)
        assert rows[0].scenario.current.sheet.machine.name

    last = AT + timedelta(days=3)
    assert rows == [
        DrillRow(scenario=scenario, handed_in=2, right=1, last_at=last, has_open=True),
        DrillRow(scenario=untried, handed_in=0, right=0, last_at=None, has_open=False),
    ]


def test_a_closed_scenario_is_not_in_the_list(apprentice):
    scenario = ScenarioFactory()
    scenario.is_open = False
    scenario.save()

    assert selectors.drill_rows(apprentice) == []


def test_the_open_draw_of_a_scenario_is_found(attempt):
    assert selectors.open_attempt_of(attempt.person, attempt.scenario) == attempt
    assert selectors.open_attempt_of(PersonFactory(), attempt.scenario) is None
    handed_in(attempt)
    assert selectors.open_attempt_of(attempt.person, attempt.scenario) is None


def test_drills_are_numbered_for_each_person_from_one(apprentice):
    first, theirs, second = handed_in(person=apprentice), handed_in(), handed_in(person=apprentice)

    assert [selectors.number_of(one) for one in (first, theirs, second)] == [1, 1, 2]


def test_results_are_evidence_by_task_oldest_first(apprentice, django_assert_num_queries):
    b4, d3 = ScenarioFactory(), ScenarioFactory(task=TaskFactory(code="D3"))
    other = PersonFactory()
    handed_in(person=apprentice, scenario=b4, at=AT + timedelta(days=2))
    handed_in(person=apprentice, scenario=d3, at=AT + timedelta(days=1), case="tight", typed=typed_accepting)
    handed_in(person=other, scenario=b4, at=AT, case="tight", typed={})
    handed_in(scenario=b4)
    AttemptFactory(person=apprentice, scenario=b4)

    with django_assert_num_queries(1):
        rows = selectors.results_by_task([apprentice, other])

    assert rows == [
        ResultRow(other.pk, "B4", AT, is_right=False, is_unsafe=False, scenario=b4.slug),
        ResultRow(apprentice.pk, "D3", AT + timedelta(days=1), is_right=False, is_unsafe=True, scenario=d3.slug),
        ResultRow(apprentice.pk, "B4", AT + timedelta(days=2), is_right=True, is_unsafe=False, scenario=b4.slug),
    ]


def _slipped(slip, **more):
    return handed_in(case="tight", typed=lambda *drawn: typed_with_slip(*drawn, slip), **more)


def test_slips_are_counted_by_scenario_the_commonest_first(django_assert_num_queries):
    scenario = ScenarioFactory(revision__title="The governor end")
    many_like(_slipped("width_as_clearance", scenario=scenario), 2)
    many_like(_slipped("inches_as_millimetres", scenario=scenario), 1)
    handed_in(scenario=scenario)

    with django_assert_num_queries(1):
        found = selectors.slips_since(AT - timedelta(days=1), most=5)

    assert [(slip.slug, slip.title, slip.name, slip.count) for slip in found] == [
        (scenario.slug, "The governor end", "width_as_clearance", 3),
        (scenario.slug, "The governor end", "inches_as_millimetres", 2),
    ]
    assert found[0].says


def test_old_slips_and_those_that_cannot_be_told_apart_are_not_counted():
    row = _slipped("width_as_clearance")
    row.marked["slips"][0]["is_certain"] = False
    row.save()
    _slipped("width_as_clearance", at=AT - timedelta(days=90))

    assert selectors.slips_since(AT - timedelta(days=1), most=5) == []


def test_no_more_slips_come_than_were_asked_for():
    _slipped("width_as_clearance")
    _slipped("inches_as_millimetres")

    assert len(selectors.slips_since(AT - timedelta(days=1), most=1)) == 1


def test_the_newest_open_draw_is_the_one_opened_last(apprentice):
    assert selectors.newest_open_attempt(apprentice) is None
    handed_in(person=apprentice, opened_at=AT + timedelta(days=5))
    AttemptFactory(person=apprentice, opened_at=AT)
    newest = AttemptFactory(person=apprentice, opened_at=AT + timedelta(hours=1))

    assert selectors.newest_open_attempt(apprentice) == newest


def test_a_supervisor_goes_on_with_their_own_draw_only(attempt):
    assert selectors.newest_open_attempt(PersonFactory(roles=[Role.SUPERVISOR])) is None
