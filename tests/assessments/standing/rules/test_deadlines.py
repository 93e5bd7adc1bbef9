"""The day on which a grant ends by itself, and why; the states that follow are in test_states.py."""

from __future__ import annotations

import datetime as dt

from assessments.standing.rules import Event, Evidence, Kind, MajorRevision, Occurrence, Rule
from assessments.standing.rules.deadlines import end_of

GRANT = Event(1, Kind.GRANTED, dt.date(2024, 2, 29), 2)


def test_the_first_of_all_ends_is_the_end_and_gives_its_reason():
    rule = Rule(
        "D1", valid_months=60, practised_every_months=12, refresher_days=20, revision_grace_days=10, notice_days=5
    )
    evidence = Evidence(1, work_done=(dt.date(2024, 12, 1),))
    assert end_of(rule, GRANT, evidence).last_day == dt.date(2025, 12, 1)
    called = Evidence(1, occurrences=(Occurrence(dt.date(2024, 6, 1), "near miss"),))
    end = end_of(rule, GRANT, called)
    assert (end.last_day, end.why[:25]) == (dt.date(2024, 6, 20), "near miss on 1 June 2024:")
    changed = Evidence(1, major_revisions=(MajorRevision(4, dt.date(2024, 6, 1)),))
    assert end_of(rule, GRANT, changed).last_day == dt.date(2024, 6, 16)


def test_a_rule_that_ends_nothing_gives_no_end():
    assert end_of(Rule("A1"), GRANT, Evidence(1)) is None
