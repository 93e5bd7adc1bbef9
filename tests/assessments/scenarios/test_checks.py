"""The checks at start-up find what they are there to find."""

from __future__ import annotations

from dataclasses import replace

from assessments.engine.methods import all_methods, find_method
from assessments.engine.verdicts import Verdict
from assessments.scenarios import checks


def found_with(monkeypatch, method):
    monkeypatch.setattr(checks, "all_methods", lambda: {method.name: method})
    return [(message.id, message.msg) for message in checks.methods_are_whole()]


def test_the_methods_there_are_whole():
    assert all_methods()
    assert checks.methods_are_whole() == []


def test_a_reading_that_nothing_reads_is_found(monkeypatch):
    method = find_method("squashed_strip")
    readings = (replace(method.readings[0], families=("crystal_ball",)), method.readings[1])
    assert found_with(monkeypatch, replace(method, readings=readings)) == [
        ("scenarios.E001", "squashed_strip: no instrument reads w_governor.")
    ]


def test_a_verdict_without_words_or_without_action_is_found(monkeypatch):
    method = find_method("squashed_strip")
    without_words = {verdict: words for verdict, words in method.verdict_words.items() if verdict is not Verdict.VOID}
    without_action = {verdict: one for verdict, one in method.actions.items() if verdict is not Verdict.INSIDE}
    found = found_with(monkeypatch, replace(method, verdict_words=without_words, actions=without_action))
    assert [ident for ident, _ in found] == ["scenarios.E002", "scenarios.E002"]
    assert "verdict inside" in found[0][1]
    assert "verdict void" in found[1][1]
