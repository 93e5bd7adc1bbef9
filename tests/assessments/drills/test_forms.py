"""The form of a drill, and the hidden field that says what it was made for."""

from __future__ import annotations

import pytest

from assessments.drills.forms import AnswerForm, kept_in, token_of, typed_in
from assessments.scenarios.adapters import engine_scenario
from tests.factories.drills import AttemptFactory
from tests.factories.people import PersonFactory
from tests.factories.scenarios import ScenarioRevisionFactory

pytestmark = pytest.mark.django_db

READING, RESULT = "reading-w_governor", "result-taper"


@pytest.fixture
def scenario(db):
    return engine_scenario(ScenarioRevisionFactory())


@pytest.fixture
def reading_alone(db):
    """A scenario of the method that judges nothing: reading an instrument."""
    return engine_scenario(
        ScenarioRevisionFactory(
            method="instrument_reading",
            dims={"low": {"value": "52", "unit": "mm"}, "high": {"value": "74", "unit": "mm"}},
            limits={},
            asked=[],
            instruments={"reading": "outside_micrometer_metric_50"},
            shares={"anywhere": 1.0},
        )
    )


def errors(scenario, **kept):
    return {
        field: list(said)
        for field, said in AnswerForm(scenario, "mm", typed_in(scenario, "mm", {}) | kept).errors.items()
    }


# --- the hidden field -------------------------------------------------------------------------------------------


def test_the_hidden_field_brings_back_what_was_kept(attempt):
    attempt.typed = {READING: "2.4"}

    assert kept_in(attempt, token_of(attempt)) == {READING: "2.4"}


@pytest.mark.parametrize("change", [lambda token: token[:-1], lambda token: "x" + token, lambda token: "", str.upper])
def test_a_changed_hidden_field_brings_back_nothing(attempt, change):
    assert kept_in(attempt, change(token_of(attempt))) is None


def test_the_hidden_field_of_another_attempt_brings_back_nothing(attempt):
    assert kept_in(attempt, token_of(AttemptFactory(person=attempt.person))) is None


def test_the_hidden_field_of_another_person_brings_back_nothing(attempt):
    token = token_of(attempt)
    attempt.person = PersonFactory()

    assert kept_in(attempt, token) is None


# --- fields -----------------------------------------------------------------------------------------------------


def test_the_form_asks_for_readings_results_verdict_and_action(scenario):
    assert list(AnswerForm(scenario, "mm", {}).fields) == [
        "reading-w_governor",
        "reading-w_coupling",
        "result-c_governor",
        "result-c_coupling",
        "result-taper",
        "verdict",
        "action",
    ]


def test_every_number_is_asked_for_with_its_unit(scenario):
    metric, inch = AnswerForm(scenario, "mm", {}), AnswerForm(scenario, "in", {})

    assert metric.fields[READING].label == "Width of the print, governor end (mm)"
    assert metric.fields[RESULT].label == "Taper along the liner (mm)"
    assert inch.fields[RESULT].label == "Taper along the liner (in)"


def test_a_method_without_verdicts_asks_for_none(reading_alone):
    assert list(AnswerForm(reading_alone, "mm", {}).fields) == ["reading-reading"]
    assert list(typed_in(reading_alone, "mm", {"verdict": "low"})) == ["reading-reading"]


def test_actions_stand_by_their_words_and_not_by_their_verdicts(scenario):
    words = [words for _, words in AnswerForm(scenario, "mm", {}).fields["action"].widget.choices]

    assert words == sorted(words)
    assert len(words) == len({action.name for action in scenario.method.actions.values()})


def test_only_the_fields_of_the_drill_are_taken(scenario):
    typed = typed_in(scenario, "mm", {READING: "2.4", "is_right": "yes", "attempt": "x"})

    assert set(typed) == set(AnswerForm(scenario, "mm", {}).fields)
    assert typed[READING] == "2.4"


# --- what cannot be read ----------------------------------------------------------------------------------------


def test_what_is_blank_is_no_error(scenario):
    assert not AnswerForm(scenario, "mm", {}).errors
    assert errors(scenario, **{READING: "2.4 mm"}) == {}


@pytest.mark.parametrize(
    "text",
    [
        "about two",
        "3600 rpm",
        "20 °C",
        "NaN",
        "nan",
        "infinity",
        "-inf",
        "1" * 400,
        "9**9**9",
        "1e999",
        "0.\N{REPLACEMENT CHARACTER}06",
        "2.4 " + "m" * 90,
        "1/0",
        "2,4.6",
    ],
)
def test_what_cannot_be_read_is_refused_in_a_sentence(scenario, text):
    said = errors(scenario, **{READING: text})

    assert list(said) == [READING]
    assert len(said[READING]) == 1
    assert " " in said[READING][0]
    assert said[READING][0].endswith(".")


def test_a_refusal_says_what_would_be_read(scenario):
    (sentence,) = errors(scenario, **{READING: "3600 rpm"})[READING]

    assert "length" in sentence
    assert "mm" in sentence


@pytest.mark.parametrize("field", ["verdict", "action"])
def test_a_choice_that_is_not_offered_is_refused(scenario, field):
    assert errors(scenario, **{field: "excellent"}) == {field: [f"Choose one of the {_WORD[field]} shown."]}


_WORD = {"verdict": "verdicts", "action": "ways"}


def test_the_rest_of_the_form_stays_beside_what_is_refused(scenario):
    form = AnswerForm(scenario, "mm", {READING: "3600 rpm", RESULT: "0.02", "verdict": "low"})

    assert list(form.errors) == [READING]
    assert form[READING].value() == "3600 rpm"
    assert form[RESULT].value() == "0.02"
    assert form["verdict"].value() == "low"
    assert form.understood.answer.results == {"taper": pytest.approx(0.02)}
