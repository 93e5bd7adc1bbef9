"""What a signature waits for, in words; the states that follow are in test_states.py."""

from __future__ import annotations

import datetime as dt

import pytest

from assessments.standing.mastery import SequentialTest
from assessments.standing.rules import Evidence, Reading, Result, Rule, mastery_progress
from assessments.standing.rules.missing import missing_for_grant

DAY = dt.date(2026, 3, 3)
RULE = Rule("B4", tasks_first=("B1",), lessons=("caps",), mastery=SequentialTest(0.6, 0.85, 0.05, 0.1, 40))


def test_everything_missing_is_listed_in_the_order_tasks_lessons_drills():
    assert missing_for_grant(RULE, Evidence(1), None) == (
        "B1 held first (now: unknown)",
        "lesson caps read",
        "drill mastery: 0 right of 0 in this series, 9 more right in a row would do",
    )


def test_evidence_up_to_the_day_from_which_one_starts_again_does_not_count():
    old = Evidence(1, readings=(Reading("caps", DAY, True),), results=(Result(DAY, True),) * 9)
    rule = Rule("B4", lessons=RULE.lessons, mastery=RULE.mastery)
    assert missing_for_grant(rule, old, None) == ()
    assert missing_for_grant(rule, old, DAY - dt.timedelta(days=1)) == ()
    assert len(missing_for_grant(rule, old, DAY)) == 2
    assert mastery_progress(rule, old.results, DAY).runs == 0


def right_from(*scenarios):
    return tuple(Result(DAY, True, scenario=scenario) for scenario in scenarios)


@pytest.mark.parametrize(
    ("results", "says"),
    [
        ((), "0 right of 0 in this series, 9 more right in a row would do, with right drills from 2 more scenarios"),
        (right_from("strip"), "1 right of 1 in this series, 8 more right in a row would do, with right drills from 1 more scenario"),
        (right_from("strip", "inch"), "2 right of 2 in this series, 7 more right in a row would do"),
        (right_from(*["strip"] * 12), "12 right of 12 in this series, right drills from 1 more scenario wanted"),
    ],
)  # fmt: skip
def test_drills_from_too_few_scenarios_are_said_to_be_missing(results, says):
    rule = Rule("B4", mastery=RULE.mastery, scenarios_least=2)
    assert missing_for_grant(rule, Evidence(1, results=results), None) == (f"drill mastery: {says}",)


def test_a_pass_from_scenarios_enough_leaves_nothing_missing():
    rule = Rule("B4", mastery=RULE.mastery, scenarios_least=2)
    assert missing_for_grant(rule, Evidence(1, results=right_from(*["strip"] * 12, "inch")), None) == ()
