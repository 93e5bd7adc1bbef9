"""What a method promises, on a small one of its own, and what every declared method has to keep."""

from __future__ import annotations

import re

import pytest

from assessments.engine.instruments import find_instrument
from assessments.engine.kinds import Kind
from assessments.engine.method import Line, Reading, Slip
from assessments.engine.methods import all_methods
from assessments.engine.methods.squashed_strip import METHOD as STRIP
from assessments.engine.verdicts import Verdict

METHODS = list(all_methods().values())
every_method = pytest.mark.parametrize("method", METHODS, ids=[method.name for method in METHODS])
PRINTS = {"w_governor": 4.0, "w_coupling": 3.0}
STRIP_DIMS = {"strip": 0.6}


def test_working_gives_every_reading_dim_and_line():
    worked = STRIP.work_one(PRINTS, STRIP_DIMS)

    assert set(worked) == {"w_governor", "w_coupling", "strip"} | {line.name for line in STRIP.lines}


def test_a_given_line_is_kept_and_later_lines_follow_from_it():
    worked = STRIP.work_one(PRINTS, STRIP_DIMS, given={"c_governor": 0.2, "c_coupling": 0.1})

    assert worked["c_governor"] == 0.2
    assert worked["mean"] == pytest.approx(0.15)
    assert worked["taper"] == pytest.approx(0.1)


def test_a_wrong_rule_at_one_line_runs_through_the_lines_after_it():
    worked = STRIP.work_one(PRINTS, STRIP_DIMS, instead={"c_governor": lambda values: values["w_governor"]})

    assert worked["c_governor"] == 4.0
    assert worked["loosest"] == 4.0
    assert worked["area"] == STRIP.work_one(PRINTS, STRIP_DIMS)["area"]


def test_what_is_given_goes_before_a_wrong_rule():
    worked = STRIP.work_one(PRINTS, STRIP_DIMS, given={"mean": 7.0}, instead={"mean": lambda _: 8.0})

    assert worked["mean"] == 7.0


def test_working_leaves_the_readings_alone():
    readings = dict(PRINTS)

    STRIP.work(readings, STRIP_DIMS)

    assert readings == PRINTS


def test_a_slip_parts_at_its_first_wrong_rule():
    slip = Slip(name="x", says="x.", rules={"mean": lambda _: 0.0, "taper": lambda _: 0.0})

    assert slip.parts_at == "mean"


def test_lines_results_and_conditions_are_found_by_name():
    assert STRIP.line("taper").symbol == "t"
    assert STRIP.condition("tight").words == "too tight all along"
    assert "area" not in {line.name for line in STRIP.results}


@pytest.mark.parametrize("find", [STRIP.line, STRIP.condition])
def test_a_name_that_is_not_there_is_not_found(find):
    with pytest.raises(StopIteration):
        find("guesswork")


@every_method
def test_names_and_symbols_are_all_different(method):
    parts = [*method.readings, *method.dims, *method.lines]

    assert len({part.name for part in parts}) == len(parts)
    assert len({part.symbol for part in parts}) == len(parts)
    for group in (method.conditions, method.slips, method.aims):
        assert len({one.name for one in group}) == len(group)


@every_method
def test_a_line_s_formula_uses_only_what_is_above_it(method):
    known = {part.symbol for part in (*method.readings, *method.dims)}
    symbols = known | {line.symbol for line in method.lines}
    for line in method.lines:
        used = set(re.findall(r"[A-Za-z]+[0-9]*", line.formula)) & symbols

        assert used, line.name
        assert used <= known, line.name
        known.add(line.symbol)


@every_method
def test_what_is_held_aimed_at_and_asked_is_declared(method):
    results = {line.name for line in method.results}

    assert {hold.result for hold in method.held} <= results
    assert {hold.limit for hold in method.held} == set(method.limits)
    assert {aim.limit for aim in method.aims} <= set(method.limits)
    assert set(method.asked) <= results
    for condition in method.conditions:
        assert set(condition.bands) <= {aim.name for aim in method.aims}


@every_method
def test_a_slip_goes_wrong_at_a_line_and_says_so_in_a_sentence(method):
    places = [line.name for line in method.lines]
    for slip in method.slips:
        order = [places.index(name) for name in slip.rules]

        assert order == sorted(order), f"{slip.name}: the first wrong rule has to be the first line"
        assert slip.says.endswith(".")


@every_method
def test_every_verdict_has_its_words_and_one_thing_to_do(method):
    assert set(method.actions) == set(method.verdict_words)
    assert [verdict for verdict, action in method.actions.items() if action.is_accepting] == (
        [Verdict.INSIDE] if method.actions else []
    )
    given = {hold.above for hold in method.held} | {Verdict.VOID for condition in method.conditions if condition.oddity}
    assert given <= set(method.verdict_words)
    words_by_name = {action.name: action.words for action in method.actions.values()}
    assert all(action.words == words_by_name[action.name] for action in method.actions.values())
    assert all(action.because.endswith(".") for action in method.actions.values())


@every_method
def test_a_method_says_what_it_is_for_whence_it_comes_and_what_can_hurt(method):
    for sentence in (method.purpose, method.caution, method.source):
        assert sentence.endswith(".")
    assert method.conditions
    assert all(reading.families and reading.where for reading in method.readings)


def test_a_line_is_a_length_that_can_be_asked_for_unless_it_says_otherwise():
    line = Line(name="x", symbol="x", label="X", formula="a", rule=lambda values: values["a"])

    assert line.kind is Kind.LENGTH
    assert line.is_result


def test_a_reading_is_read_with_an_instrument_of_its_families_and_of_its_kind():
    reading = Reading(name="t", symbol="t", label="T", where="", families=("written_note",), kind=Kind.TEMPERATURE)

    assert reading.is_read_with(find_instrument("written_note_temperature_celsius"))
    assert not reading.is_read_with(find_instrument("written_note_length_inches"))
    assert not reading.is_read_with(find_instrument("steel_rule_64ths"))
