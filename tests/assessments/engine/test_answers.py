"""What is typed in the fields of a drill: what is understood, and what is refused in a sentence."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.answers import ACTION, VERDICT, echo, questions, understand, understand_one
from assessments.engine.draws import draw
from assessments.engine.errors import UnreadableQuantityError
from assessments.engine.kinds import Kind
from assessments.engine.quantities import from_inner, show, units_of
from assessments.engine.scoring import Mark, key_to, score
from assessments.engine.verdicts import Verdict
from assessments.engine.working import reading_text, result_text, shown_step, unit_of
from tests.cases import CASES, WORKED, case, system_of
from tests.strategies import near_quantities, seeds

cases = st.sampled_from(tuple(CASES))
systems = st.sampled_from(("mm", "in"))


def typed_right(key, system):
    """What a good hand types for a draw: fields to text."""
    scenario, method = key.scenario, key.scenario.method
    typed = {f"reading-{name}": reading_text(scenario, name, value) for name, value in key.draw.readings.items()}
    for line in key.asked:
        step = shown_step(scenario, key.allowed[line.name]) if line.kind is Kind.LENGTH else None
        typed[f"result-{line.name}"] = result_text(scenario, key.values[line.name], line.kind, system, step, line.unit)
    if method.verdict_words:
        typed |= {VERDICT: key.verdicts[0].value, ACTION: key.actions[0]}
    return typed


@given(cases, systems, seeds)
def test_what_the_worked_solution_shows_typed_in_has_full_marks(name, system, seed):
    key = key_to(case(name), draw(case(name), seed))
    understood = understand(key.scenario, system, typed_right(key, system))

    assert understood.errors == {}
    assert understood.blanks == ()
    assert score(key, understood.answer).is_right


def in_a_unit(value, kind, system):
    """To ten figures, in the first unit of its kind or, for the inch shop, in the last. A count is whole."""
    if kind is Kind.COUNT:
        return f"{round(value)}"
    # A plain number is read as the field's own unit: where a part is asked for in per cent, that is not the part itself.
    unit = "%" if kind is Kind.RATIO else units_of(kind)[-1 if system == "in" else 0]
    return f"{from_inner(round(value, 9), unit):.10g} {unit}"


@given(st.sampled_from(WORKED), seeds, st.sampled_from([1.0, 1.0, 0.9, 1.3, 2.0]), st.data())
def test_millimetres_and_inches_have_the_same_marks(name, seed, part, data):
    # The same answer, right or wrong by a part of itself, typed once in each unit to ten figures.
    key = key_to(case(name), draw(case(name), seed))
    verdict = data.draw(st.sampled_from(list(key.scenario.method.verdict_words)))
    action = data.draw(st.sampled_from([one.name for one in key.scenario.method.actions.values()]))
    scored = []
    for system, unit, size in (("mm", "mm", 1.0), ("in", "in", 25.4), ("in", "thou", 0.0254), ("mm", "µm", 0.001)):
        typed = {VERDICT: verdict.value, ACTION: action}
        for one in key.scenario.method.readings:
            value = key.draw.readings[one.name]
            text = f"{round(value, 9) / size:.10g} {unit}"
            typed[f"reading-{one.name}"] = text if one.kind is Kind.LENGTH else in_a_unit(value, one.kind, system)
        for line in key.asked:
            text = f"{round(key.values[line.name] * part, 9) / size:.10g} {unit}"
            typed[f"result-{line.name}"] = (
                text if line.kind is Kind.LENGTH else in_a_unit(key.values[line.name] * part, line.kind, system)
            )
        understood = understand(key.scenario, system, typed)
        assert understood.errors == {}
        marked = score(key, understood.answer)
        scored.append([(one.name, one.mark, [slip.name for slip in one.slips]) for one in marked.parts])

    assert scored[0] == scored[1] == scored[2] == scored[3]


@pytest.mark.parametrize("name", CASES)
def test_readings_are_asked_first_in_their_instruments_units_then_results_in_the_system_s(name):
    scenario = case(name)
    for system in ("mm", "in"):
        asked = questions(scenario, system)
        readings, results = [one for one in asked if one.is_reading], [one for one in asked if not one.is_reading]
        assert list(asked) == readings + results
        assert [one.name for one in readings] == [one.name for one in scenario.method.readings]
        assert [one.unit for one in readings] == [scenario.instruments[one.name].unit for one in readings]
        assert {one.unit for one in readings if one.kind is Kind.LENGTH} <= {system_of(name)}
        assert [one.name for one in results] == [
            one.name for one in scenario.method.lines if one.name in scenario.asked
        ]
        assert [one.unit for one in results] == [unit_of(scenario.method.line(one.name), system) for one in results]
        assert len({one.field for one in asked}) == len(asked)
        assert all(one.where for one in readings)


BAD = [
    ("2.5 rpm", "rpm measures speed of rotation; a length is asked for here."),
    ("nan", "There is no number in it."),
    ("NaN mm", "There is no number in it."),
    ("inf", "There is no number in it."),
    ("∞", "There is no number in it."),
    ("-infinity", "There is no number in it."),
    ("9" * 400, "That is too long"),
    ("9**9**9", "There is more in it than one number and one unit"),
    ("1e400", "The power of ten is too large to be meant."),
    ("2.5 mm; drop table", "is no unit known here"),
    ("__import__('os')", "There is no number in it."),
    ("two and a half", "There is no number in it."),
    ("1/16", "1/16 without a unit is unclear here."),
    ("2,5,1", "It is unclear which point or comma"),
    ("-2.5", "It cannot be less than 0 mm here."),
    ("−2.5 mm", "It cannot be less than 0 mm here."),
    ("-0.1 in", "It cannot be less than 0 in here."),
]


@pytest.mark.parametrize(("text", "says"), BAD)
@pytest.mark.parametrize("field", ["reading-w_governor", "result-c_governor", "result-taper"])
def test_what_cannot_be_read_is_refused_in_a_sentence_and_nothing_else_is_lost(text, says, field):
    scenario = case("strip in mm")
    good = typed_right(key_to(scenario, draw(scenario, 0)), "mm")

    understood = understand(scenario, "mm", {**good, field: text})

    assert list(understood.errors) == [field]
    assert says in understood.errors[field]
    assert understood.errors[field].endswith(".")
    assert set(understood.echoes) == set(good) - {field, VERDICT, ACTION}
    assert field not in understood.blanks
    given_names = {f"reading-{one}" for one in understood.answer.readings} | {
        f"result-{one}" for one in understood.answer.results
    }
    assert given_names == set(understood.echoes)


def test_a_minus_is_taken_where_there_can_be_one():
    # A dial goes both ways; a clearance of bore less journal is negative when subtracted backwards, and marked for it.
    dial, bore, travel = case("run-out in mm"), case("bore in mm"), case("travel in mm")

    assert understand(dial, "mm", {"reading-station_2": "-0.02"}).answer.readings == {"station_2": -0.02}
    assert understand(bore, "mm", {"result-least_clearance": "−0.12"}).answer.results == {"least_clearance": -0.12}
    assert understand(travel, "mm", {"result-travel": "-7"}).answer.results == {"travel": -7.0}
    assert (
        "less than 0 mm"
        in understand(bore, "mm", {"reading-bore_governor_vertical": "-60"}).errors["reading-bore_governor_vertical"]
    )
    assert "less than 0 mm" in understand(travel, "mm", {"result-eighth": "-6"}).errors["result-eighth"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("2.5", "2.5 mm (0.098 in)"),
        ("2,5", "2.5 mm (0.098 in)"),
        ("0.1 in", "0.1 in (2.54 mm)"),
        ("98 thou", "98 thou (2.49 mm)"),
        ("3/32 in", "3/32 in (2.38 mm)"),
    ],
)
def test_a_reading_is_said_back_in_both_systems(text, says):
    question = questions(case("strip in mm"), "mm")[0]

    assert echo(question, understand_one(question, text)) == says
    assert understand(case("strip in mm"), "mm", {question.field: f"  {text} "}).echoes == {question.field: says}


def test_one_number_is_refused_with_its_reason():
    with pytest.raises(UnreadableQuantityError):
        understand_one(questions(case("strip in mm"), "mm")[0], "wide")


def test_what_is_left_blank_is_said_and_scored_as_blank():
    scenario = case("strip in mm", asked=("taper",))

    nothing = understand(scenario, "mm", {})
    spaces = understand(scenario, "mm", {"reading-w_governor": "  ", "result-taper": "\t"})

    assert set(nothing.blanks) == {VERDICT, ACTION, "reading-w_governor", "reading-w_coupling", "result-taper"}
    assert set(spaces.blanks) == set(nothing.blanks)
    assert nothing.errors == nothing.echoes == {}
    assert nothing.answer.verdict is nothing.answer.action is None
    marked = score(key_to(scenario, draw(scenario, 0)), nothing.answer)
    assert {part.mark for part in marked.parts} == {Mark.BLANK}


def test_a_void_that_is_seen_needs_no_numbers_and_one_that_is_read_needs_its_readings():
    seen = understand(case("strip in mm"), "mm", {VERDICT: "void", ACTION: "repeat"})
    read_off = understand(case("run-out in mm"), "mm", {VERDICT: "void", ACTION: "repeat"})

    assert seen.blanks == ()
    assert seen.answer.verdict is Verdict.VOID
    assert set(read_off.blanks) == {f"reading-{one.name}" for one in case("run-out in mm").method.readings}


@pytest.mark.parametrize(
    ("field", "choice", "says"),
    [
        (VERDICT, "form ", "Choose one of the verdicts shown."),
        (VERDICT, "splendid", "Choose one of the verdicts shown."),
        (VERDICT, "form", "Choose one of the verdicts shown."),  # of another method
        (ACTION, "close", "Choose one of the ways shown."),  # of another method
        (ACTION, "__class__", "Choose one of the ways shown."),
    ],
)
def test_a_choice_that_was_not_offered_is_refused(field, choice, says):
    understood = understand(case("travel in mm"), "mm", {VERDICT: "low", ACTION: "reset", field: choice})

    assert understood.errors == {field: says}
    assert (understood.answer.verdict is None) is (field == VERDICT)
    assert (understood.answer.action is None) is (field == ACTION)


def test_a_method_that_judges_nothing_asks_for_no_verdict():
    understood = understand(
        case("reading in mm"), "mm", {"reading-reading": "61.37", VERDICT: "inside", ACTION: "close"}
    )

    assert understood.errors == {}
    assert understood.blanks == ()
    assert understood.answer.verdict is understood.answer.action is None


@given(cases, systems, seeds, st.dictionaries(st.integers(0, 20), st.one_of(near_quantities, st.text(max_size=60))))
def test_anything_typed_is_understood_refused_or_blank(name, system, seed, texts):
    scenario = case(name)
    fields = [one.field for one in questions(scenario, system)] + [VERDICT, ACTION]
    typed = {fields[index % len(fields)]: text for index, text in texts.items()}

    understood = understand(scenario, system, typed)

    for field in fields[:-2]:
        assert (field in understood.errors) + (field in understood.echoes) + (field in understood.blanks) == 1
    assert all(sentence.endswith(".") for sentence in understood.errors.values())
    score(key_to(scenario, draw(scenario, seed)), understood.answer)


def test_show_and_read_meet_in_the_middle():
    # A result written without a unit is of the system's own.
    scenario = case("bore in mm", asked=("least_clearance",))

    assert understand(scenario, "in", {"result-least_clearance": "0.0025"}).answer.results["least_clearance"] == 0.0635
    assert understand(scenario, "mm", {"result-least_clearance": show(0.0635, "mm")}).answer.results == {
        "least_clearance": 0.0635
    }
