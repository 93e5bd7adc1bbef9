from __future__ import annotations

import datetime as dt
import sys

from assessments.ledger.models import OccurrenceKind
from assessments.standing import selectors, services
from assessments.standing.models import CurrentStanding
from assessments.standing.rules import Rule
from assessments.standing.selectors import standings_of
from courses.people.roles import Role
from tests.factories.people import PersonFactory
from tests.factories.standing import NOW, TODAY, TaskRuleFactory
from tests.factories.tasks import TaskRevisionFactory

DAY = dt.timedelta(days=1)


def test_a_straight_answer_to_who_may_do_this(plant, said):
    people = {
        name: PersonFactory(full_name=name, roles=[Role.MECHANIC]) for name in ("Free", "Bound", "Stopped", "Gone")
    }
    for person in people.values():
        services.grant(**{**said, "person": person})
    services.restrict(**{**said, "person": people["Bound"]}, restriction="by day only")
    services.suspend(**{**said, "person": people["Stopped"]})
    services.withdraw(**{**said, "person": people["Gone"]})
    found = selectors.holders(task=plant.b1, on=TODAY, today=TODAY)
    assert [row.person.full_name for row in found.free] == ["Free"]
    assert [row.person.full_name for row in found.restricted] == ["Bound"]
    assert {row.person.full_name for row in found.stopped} == {"Stopped", "Gone"}
    assert [row.person for row in found.near] == [plant.person]


def test_who_is_nearest_comes_first(plant, said):
    TaskRuleFactory(
        task=plant.d1, rule=Rule("D1", tasks_first=("B1",), lessons=("trip",)), effective_on=TODAY, by=plant.boss
    )
    nearer = PersonFactory(full_name="Zoe Nearer", roles=[Role.MECHANIC])
    services.grant(**{**said, "person": nearer})
    near = selectors.holders(task=plant.d1, on=TODAY, today=TODAY).near
    assert [(row.person, row.count) for row in near] == [(nearer, 1), (plant.person, 2)]


def test_todays_holders_come_from_the_table_and_those_of_another_day_are_worked_out(plant, said, monkeypatch):
    services.grant(**said)
    services.grant(**{**said, "person": plant.other})
    services.restrict(**{**said, "person": plant.other}, restriction="by day only")
    asked = []

    def noting(people, *more):
        asked.append({person.full_name for person in people})
        return standings_of(people, *more)

    monkeypatch.setattr(sys.modules["assessments.standing.selectors.holders"], "standings_of", noting)
    today = selectors.holders(task=plant.b1, on=TODAY, today=TODAY)
    tomorrow = selectors.holders(task=plant.b1, on=TODAY + DAY, today=TODAY)
    assert asked == [set(), {"Pim Learner", "Odd Other"}]
    for found in (today, tomorrow):
        assert [row.person.full_name for row in found.free] == ["Pim Learner"]
        (bound,) = found.restricted
        assert (bound.person, bound.cell.words, bound.cell.standing.restrictions) == (
            plant.other, "qualified, restricted", ("by day only",),
        )  # fmt: skip
        assert bound.cell.standing.until == dt.date(2029, 11, 24)
        assert (found.near, found.stopped) == ((), ())


def names(task, on):
    return [row.person.full_name for row in selectors.holders_today(task, on)]


def test_the_table_answers_the_everyday_question_in_three_queries(plant, said, django_assert_num_queries):
    services.grant(**said)
    with django_assert_num_queries(4):
        assert names(plant.b1, TODAY) == ["Pim Learner"]


def test_a_row_whose_day_has_passed_is_worked_out_anew(plant, said):
    services.grant(**said)
    assert names(plant.b1, dt.date(2029, 11, 24)) == ["Pim Learner"]  # due by now; the row ended a month before
    assert names(plant.b1, dt.date(2029, 11, 25)) == []
    assert CurrentStanding.objects.get(person=plant.person, task=plant.b1).state == "qualified"


def test_a_row_older_than_a_changed_procedure_is_worked_out_anew(plant, said):
    TaskRuleFactory(task=plant.b1, rule=Rule("B1", revision_grace_days=0), effective_on=TODAY, by=plant.boss)
    services.grant(**said)
    TaskRevisionFactory(task=plant.b1, is_major=True, number=2, issued_at=NOW + DAY, issued_by=plant.boss)
    assert names(plant.b1, TODAY + DAY) == ["Pim Learner"]
    assert names(plant.b1, TODAY + 2 * DAY) == []


def test_suspended_lapsed_and_signed_off_people_are_not_answers(plant, said):
    services.grant(**said)
    services.record_occurrence(
        person=plant.person, kind=OccurrenceKind.NEAR_MISS, on=TODAY, note="So.", by=plant.boss, at=NOW
    )
    assert names(plant.b1, TODAY) == ["Pim Learner"]  # this rule asks for no refresher
    services.suspend(**said)
    assert names(plant.b1, TODAY) == []
    services.reinstate(**said)
    plant.person.is_active = False
    plant.person.save()
    assert names(plant.b1, TODAY) == []


def test_the_table_and_the_working_out_give_the_same_holders(plant, said):
    for number in range(6):
        person = PersonFactory(roles=[Role.MECHANIC])
        services.grant(**{**said, "person": person}, until_on=TODAY + number * DAY)
    for day in (TODAY + number * DAY for number in range(8)):
        worked = selectors.holders(task=plant.b1, on=day, today=day)
        assert names(plant.b1, day) == sorted(row.person.full_name for row in (*worked.free, *worked.restricted))


def test_without_any_rule_nobody_is_a_holder(db):
    from tests.factories.tasks import TaskFactory

    assert selectors.holders_today(TaskFactory(), TODAY) == []
