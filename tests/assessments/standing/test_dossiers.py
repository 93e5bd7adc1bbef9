from __future__ import annotations

import datetime as dt

import pytest

from assessments.standing.dossiers import Dossier, IssuedRule, Rulebook, RuleLoopError, in_order, standings
from assessments.standing.rules import Absence, Event, Interruption, Kind, Occurrence, Rule, State

DAY = dt.date(2026, 1, 1)
TODAY = dt.date(2026, 11, 24)


def book_of(*rules, codes=None, since=DAY):
    book = Rulebook(tuple(codes or sorted(rule.task for rule in rules)))
    for rule in rules:
        book.issued[rule.task].append(IssuedRule(len(book.issued[rule.task]) + 1, since, rule))
    return book


def holding(*codes):
    dossier = Dossier(1)
    for number, code in enumerate(codes, start=1):
        dossier.events[code].append(Event(number, Kind.GRANTED, DAY, 2))
    return dossier


def test_tasks_are_worked_out_after_those_they_ask_for_whatever_their_codes():
    book = book_of(Rule("A1", tasks_first=("C1",)), Rule("B1"), Rule("C1", tasks_first=("B1",)))
    assert in_order(book, TODAY) == ["B1", "C1", "A1"]
    found = standings(book, holding("A1", "B1", "C1"), TODAY)
    assert list(found) == ["A1", "B1", "C1"]
    assert {answer.state for answer in found.values()} == {State.QUALIFIED}


def test_one_lost_task_takes_those_that_hang_on_it_along():
    book = book_of(Rule("A1"), Rule("B1", tasks_first=("A1",)), Rule("C1", tasks_first=("B1",)), Rule("D1"))
    found = standings(book, holding("B1", "C1", "D1"), TODAY)
    assert [found[code].state for code in ("A1", "B1", "C1", "D1")] == [
        State.READY,
        State.LAPSED,
        State.LAPSED,
        State.QUALIFIED,
    ]


def test_a_task_that_asks_for_one_not_on_the_list_is_never_held():
    assert standings(book_of(Rule("A1", tasks_first=("Q1",))), holding("A1"), TODAY)["A1"].state is State.LAPSED


def test_tasks_that_ask_for_each_other_are_an_error():
    with pytest.raises(RuleLoopError, match="A1, B1"):
        in_order(book_of(Rule("A1", tasks_first=("B1",)), Rule("B1", tasks_first=("A1",))), TODAY)


def test_a_task_without_a_rule_is_held_by_nobody():
    assert standings(book_of(codes=["A1"]), holding("A1"), TODAY)["A1"].state is State.NOT_STARTED


def test_the_rule_in_force_is_the_latest_that_has_taken_effect():
    book = book_of(Rule("A1", valid_months=12))
    book.issued["A1"].append(IssuedRule(2, dt.date(2026, 12, 1), Rule("A1", valid_months=6)))
    found = standings(book, holding("A1"), TODAY)["A1"]
    assert (found.state, found.steady_until) == (State.QUALIFIED, dt.date(2026, 11, 30))
    assert standings(book, holding("A1"), dt.date(2026, 12, 1))["A1"].state is State.LAPSED
    assert book.rule_on("A1", dt.date(2025, 12, 31)) is None


def test_a_long_interruption_or_a_call_without_a_task_concerns_every_task():
    book = book_of(Rule("A1", interruption=Interruption(1, 60, 5)), Rule("B1", refresher_days=0))
    dossier = holding("A1", "B1")
    dossier.absences[None].append(Absence(dt.date(2026, 3, 1)))
    dossier.occurrences[None].append(Occurrence(dt.date(2026, 3, 1), "near miss"))
    assert {answer.state for answer in standings(book, dossier, TODAY).values()} == {State.LAPSED}
    other = holding("A1", "B1")
    other.occurrences["A1"].append(Occurrence(dt.date(2026, 3, 1), "near miss"))
    assert standings(book, other, TODAY)["B1"].state is State.QUALIFIED
