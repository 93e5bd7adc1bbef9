"""Every method is whole: nobody has to remember what belongs to one."""

from __future__ import annotations

import importlib

import pytest

from assessments.engine.instruments import all_instruments
from assessments.engine.methods import all_methods
from tests.house.reading import ROOT

METHODS = list(all_methods().values())


@pytest.fixture(params=METHODS, ids=lambda method: method.name)
def method(request):
    return request.param


def test_there_are_methods():
    assert METHODS


def test_a_method_is_named_after_its_file(method):
    assert importlib.import_module(f"assessments.engine.methods.{method.name}").METHOD is method


def test_a_method_names_its_slips_a_caution_and_its_source(method):
    """One that only reads an instrument has that instrument's own slips."""
    assert method.slips or not method.held
    assert all(slip.says.strip() for slip in method.slips)
    assert method.caution.strip()
    assert method.source.strip()


def test_a_method_has_an_action_for_each_verdict_and_accepts_on_one_alone(method):
    assert set(method.actions) == set(method.verdict_words)
    assert method.actions or not method.held
    accepting = [str(verdict) for verdict, action in method.actions.items() if action.is_accepting]
    assert accepting == (["inside"] if method.held else [])


def test_a_slip_leaves_the_working_at_a_line_that_exists(method):
    lines = {line.name for line in method.lines}

    assert {slip.parts_at for slip in method.slips} <= lines
    assert set(method.asked) <= lines
    assert {held.result for held in method.held} <= lines


def test_a_method_has_a_mirror_test(method):
    assert (ROOT / f"tests/assessments/engine/methods/test_{method.name}.py").exists()


def test_each_reading_has_an_instrument_that_can_give_it(method):
    families = {instrument.family for instrument in all_instruments().values()}

    assert all(families & set(reading.families) for reading in method.readings)


def test_an_instrument_has_slips_of_its_own():
    """They are all the slips there are where a method only reads."""
    without = [instrument.name for instrument in all_instruments().values() if not instrument.misreads]

    assert without == []


@pytest.mark.parametrize("family", sorted({instrument.family for instrument in all_instruments().values()}))
def test_an_instrument_has_a_mirror_test(family):
    assert (ROOT / f"tests/assessments/engine/instruments/test_{family}.py").exists()


def test_numbers_of_methods_are_not_given_twice():
    numbers = [method.number for method in METHODS]

    assert len(set(numbers)) == len(numbers)
