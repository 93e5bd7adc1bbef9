"""What a signature waits for, in words; the states that follow are in test_states.py."""

from __future__ import annotations

import datetime as dt

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
