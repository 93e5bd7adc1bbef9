from __future__ import annotations

import datetime as dt

import pytest
from django.core.exceptions import ValidationError

from assessments.standing import errors, services
from assessments.standing.dossiers import RuleLoopError
from assessments.standing.mastery import SequentialTest
from assessments.standing.models import CurrentStanding, Signatory, TaskRule
from assessments.standing.rules import Interruption, RenewalWindow, Rule
from assessments.standing.selectors import board
from courses.people.roles import Role
from tests.factories.people import PersonFactory
from tests.factories.standing import NOW, TODAY, TaskRuleFactory
from tests.factories.tasks import TaskFactory

FULL = Rule(
    "E2", valid_months=60, notice_days=30, practised_every_months=6, tasks_first=("B1",), lessons=("align",),
    mastery=SequentialTest(0.6, 0.85, 0.05, 0.1, 40), scenarios_least=3, revision_grace_days=60, interruption=Interruption(12, 730, 30),
    renewal=RenewalWindow(6, 12), refresher_days=14, second_signature=True, signed_by_roles=("supervisor",),
)  # fmt: skip


def issue(plant, task, rule, **more):
    said = {"effective_on": TODAY, "by": plant.boss, "reason": "Because.", "at": NOW, **more}
    return services.issue_rule(task=task, rule=rule, **said)


def test_a_rule_comes_back_from_its_row_as_it_was_issued(plant):
    row = issue(plant, TaskFactory(code="E2"), FULL)
    assert TaskRule.objects.get(pk=row.pk).rule == FULL
    assert TaskRule.objects.get(task=plant.b1).rule == Rule("B1", valid_months=36, notice_days=30)
    assert str(row) == "E2 rule 1"


def test_a_further_revision_takes_the_next_number_and_does_not_reach_back(plant):
    assert issue(plant, plant.b1, Rule("B1")).number == 2
    with pytest.raises(errors.OutOfOrderError):
        issue(plant, plant.b1, Rule("B1"), effective_on=TODAY - dt.timedelta(days=1))


def test_a_new_rule_reaches_everybodys_standing_at_once(plant, said):
    services.grant(**said)
    issue(plant, plant.b1, Rule("B1", valid_months=1))
    assert CurrentStanding.objects.get(person=plant.person, task=plant.b1).holds_until == dt.date(2026, 12, 24)


def test_a_rule_to_come_bounds_how_long_the_row_speaks(plant, said):
    services.grant(**said)
    issue(plant, plant.b1, Rule("B1", valid_months=1), effective_on=dt.date(2027, 6, 1))
    row = CurrentStanding.objects.get(person=plant.person, task=plant.b1)
    assert (row.state, row.until_on) == ("qualified", dt.date(2027, 5, 31))


def test_tasks_that_ask_for_each_other_first_are_refused(plant):
    with pytest.raises(RuleLoopError, match="B1, B4") as caught:
        issue(plant, plant.b1, Rule("B1", tasks_first=("B4",)))
    assert caught.value.codes == ("B1", "B4")
    assert TaskRule.objects.filter(task=plant.b1).count() == 1


def test_a_loop_that_would_begin_later_is_refused_at_once(plant):
    """B4 asks for B1 from the start. D1 asks for B4 from December; B1 asking for D1 already now would loop from then on."""
    issue(plant, plant.d1, Rule("D1", tasks_first=("B4",)), effective_on=TODAY + dt.timedelta(days=20))
    with pytest.raises(RuleLoopError, match="B1, D1, B4"):
        issue(plant, plant.b1, Rule("B1", tasks_first=("D1",)))
    assert board(on=TODAY + dt.timedelta(days=30), today=TODAY).rows
    issue(plant, plant.b4, Rule("B4"), effective_on=TODAY + dt.timedelta(days=10))
    assert (
        issue(plant, plant.b1, Rule("B1", tasks_first=("D1",)), effective_on=TODAY + dt.timedelta(days=10)).number == 2
    )


def test_a_task_that_does_not_exist_is_refused(plant):
    with pytest.raises(errors.StandingError, match="There is no task Q7"):
        issue(plant, plant.b1, Rule("B1", tasks_first=("Q7",)))


def test_only_a_supervisor_or_an_administrator_issues_rules(plant):
    with pytest.raises(errors.NotAuthorisedError):
        issue(plant, plant.b1, Rule("B1"), by=plant.assessor)
    assert issue(plant, plant.b1, Rule("B1"), by=PersonFactory(roles=[Role.ADMINISTRATOR])).number == 2


def test_a_rule_needs_a_reason(plant):
    with pytest.raises(ValidationError):
        issue(plant, plant.b1, Rule("B1"), reason=" ")


@pytest.mark.parametrize(
    "columns",
    [
        {"p_master": 0.5},
        {"renew_months_before": 6},
        {"interruption_stretch_months": 12},
        {"number": 0},
        {"scenarios_least": 2},
    ],
)
def test_half_a_rule_is_refused_by_the_database_too(plant, columns):
    row = TaskRule(
        task=plant.b1,
        number=5,
        effective_on=TODAY,
        reason="So.",
        entered_at=NOW,
        entered_by=plant.boss,
        signed_by_roles=["supervisor"],
    )
    for name, value in columns.items():
        setattr(row, name, value)
    with pytest.raises(ValidationError):
        row.full_clean()


def test_naming_a_signatory(plant):
    person = PersonFactory(roles=[Role.ASSESSOR], full_name="Nell Named")
    said = {"person": person, "task": plant.b1, "reason": "Long experience.", "on": TODAY, "at": NOW}
    for by in (person, plant.assessor):
        with pytest.raises(errors.NotAuthorisedError):
            services.name_signatory(**said, by=by)
    row = services.name_signatory(**said, by=plant.boss)
    assert str(row) == "Nell Named signs for B1"
    with pytest.raises(ValidationError):
        services.name_signatory(**said, by=plant.boss)
    assert Signatory.objects.get(pk=row.pk).ended_on is None


def test_the_factory_issues_through_the_service(plant):
    assert TaskRuleFactory(task=plant.b1, by=plant.boss).number == 2
