"""What a scenario and its revisions say of themselves."""

from __future__ import annotations

import pytest

from tests.factories.scenarios import ScenarioFactory, ScenarioRevisionFactory

pytestmark = pytest.mark.django_db


def test_a_scenario_is_called_by_its_slug_and_a_revision_by_its_title_and_number():
    scenario = ScenarioFactory(slug="strip")
    assert str(scenario) == "strip"
    assert str(scenario.current) == "Clearance of the governor-end bearing, revision 1"


def test_a_revision_names_its_stream_by_slug_and_number():
    assert ScenarioFactory(slug="strip").current.stream == "strip/1"


def test_a_revision_is_issued_once_it_is_written():
    revision = ScenarioRevisionFactory()
    assert revision.is_issued
    assert not type(revision)(scenario=revision.scenario, number=2).is_issued


@pytest.mark.parametrize(
    ("method", "title"),
    [("squashed_strip", "Clearance by a squashed strip"), ("gone_since", "gone_since")],
)
def test_a_method_is_told_by_its_title_or_by_its_bare_name(method, title):
    assert ScenarioRevisionFactory(method=method).method_title == title


def test_the_fair_share_is_told_in_whole_per_cent():
    assert ScenarioRevisionFactory(fair_share=0.847).fair_words == "85 %"


@pytest.mark.parametrize(("steps", "words"), [(0.5, "half a step"), (1.0, "one step")])
def test_how_near_a_reading_has_to_be_is_told_in_words(steps, words):
    assert ScenarioRevisionFactory(reading_steps=steps).reading_steps_words.startswith(words)
