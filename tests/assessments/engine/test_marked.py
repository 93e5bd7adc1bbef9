"""The marked answer as it is kept: all there, plain data, and of the shape that pages rely on."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.answers import ACTION, VERDICT, understand
from assessments.engine.draws import Draw, draw
from assessments.engine.kinds import Kind
from assessments.engine.marked import FORM, document, limit_text, verdict_words
from assessments.engine.scoring import Mark, key_to, score
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict
from tests.cases import CASES, WORKED, case
from tests.strategies import seeds

cases = st.sampled_from(tuple(CASES))
systems = st.sampled_from(("mm", "in"))

SHAPE = {
    *("form", "points", "out_of", "is_right", "is_unsafe", "verdicts", "verdict_words", "oddity"),
    *("parts", "slips", "working", "held", "action", "source"),
}
PART = {"field", "what", "name", "label", "yours", "right", "allowed", "mark", "earns", "slips"}
SLIP = {"name", "says", "parts_at", "labels", "is_certain"}
WORKED_LINE = {"name", "symbol", "label", "formula", "numbers", "value", "is_result"}
HELD = {
    *("result", "label", "limit", "limit_label", "source", "outside", "value", "low", "high", "allowed"),
    *("value_text", "low_text", "high_text", "is_inside"),
}


def marked(key, typed, system="mm"):
    understood = understand(key.scenario, system, typed)
    return document(key, score(key, understood.answer), understood.echoes, system)


def strip(**typed):
    scenario = case("strip in mm", asked=("c_governor", "c_coupling", "taper"))
    readings = {"w_governor": 2.5, "w_coupling": 2.1}
    key = key_to(scenario, Draw(scenario=scenario.name, seed=0, tries=0, condition="", oddity="", readings=readings))
    right = {
        "reading-w_governor": "2.5",
        "reading-w_coupling": "2.1",
        "result-c_governor": "0.114",
        "result-c_coupling": "0.137",
        "result-taper": "0.022",
        VERDICT: "form",
        ACTION: "refit",
    }
    return marked(key, {**right, **typed})


@given(cases, systems, seeds, st.data())
def test_it_is_plain_data_of_one_shape_whatever_was_typed(name, system, seed, data):
    key = key_to(case(name), draw(case(name), seed))
    method = key.scenario.method
    numbers = st.sampled_from(["", "0.1", "2.5 mm", "-1", "60.02", "1/16 in", "rubbish"])
    typed = {f"reading-{one.name}": data.draw(numbers) for one in method.readings}
    typed |= {f"result-{one}": data.draw(numbers) for one in key.scenario.asked}
    typed[VERDICT] = data.draw(st.sampled_from(["", *(one.value for one in method.verdict_words)]))
    typed[ACTION] = data.draw(st.sampled_from(["", *(one.name for one in method.actions.values())]))

    found = marked(key, typed, system)

    assert json.loads(json.dumps(found, allow_nan=False)) == found
    assert found.keys() == SHAPE
    assert found["form"] == FORM
    assert all(part.keys() == PART for part in found["parts"])
    assert all(slip.keys() == SLIP for slip in found["slips"])
    assert all(line.keys() == WORKED_LINE for line in found["working"])
    assert all(one.keys() == HELD for one in found["held"])
    assert found["points"] <= found["out_of"]
    lines = {line["name"] for line in found["working"]} | {""}
    for slip in found["slips"]:
        assert slip["says"].endswith(".")
        assert slip["parts_at"] in lines
        assert slip["labels"]
    named = {slip["name"] for slip in found["slips"]}
    assert named == {slip for part in found["parts"] for slip in part["slips"]}
    for part in found["parts"]:
        assert part["label"]
        assert part["right"]
        assert all(part["right"])
        assert part["mark"] in set(Mark)
        assert part["earns"] is (part["mark"] in {"right", "carried forward"})
        assert bool(part["allowed"]) is (part["what"] in {"reading", "result"})
    if method.held:
        assert bool(found["held"]) is not bool(found["oddity"])
        assert found["action"].keys() == {"words", "because"}
    else:
        assert found["action"] == {}


def test_a_right_answer_reads_as_it_should():
    found = strip()

    assert (found["points"], found["out_of"], found["is_right"], found["is_unsafe"]) == (7, 7, True, False)
    assert (found["verdicts"], found["verdict_words"]) == (["form"], ["tapered"])
    assert found["slips"] == []
    taper = next(part for part in found["parts"] if part["name"] == "taper")
    assert (taper["yours"], taper["right"], taper["mark"]) == ("0.022 mm (0.0009 in)", ["0.022 mm"], "right")
    assert taper["field"] == "result-taper"
    width = found["parts"][0]
    assert (width["yours"], width["right"], width["allowed"]) == ("2.5 mm (0.098 in)", ["2.5 mm"], "0.050 mm")
    verdict, action = found["parts"][-2:]
    assert (verdict["field"], verdict["yours"], verdict["right"]) == (VERDICT, "tapered", ["tapered"])
    assert (action["field"], action["yours"]) == (ACTION, "take the liner out and refit it")
    assert found["action"]["because"].startswith("A tapered bearing carries on one edge")


def test_what_is_held_has_its_numbers_and_its_words():
    held = {one["result"]: one for one in strip()["held"]}

    assert list(held) == ["tightest", "loosest", "taper"]
    taper = held["taper"]
    assert (taper["limit"], taper["limit_label"]) == ("at most 0.02 mm", "Taper along the liner")
    assert (taper["low"], taper["high"], taper["low_text"], taper["high_text"]) == (None, 0.02, "", "0.02 mm")
    assert (taper["value_text"], taper["is_inside"], taper["source"]) == ("0.022 mm", False, "invented sheet")
    assert taper["value"] == pytest.approx(0.0223, abs=1e-4)
    assert held["tightest"]["limit"] == "0.09 to 0.15 mm"
    assert held["tightest"]["is_inside"] is True
    assert held["tightest"]["allowed"] > 0


def test_a_slip_is_told_once_with_every_place_it_shows():
    found = strip(**{"result-c_governor": "0.137", "result-c_coupling": "0.114"})

    assert [slip["name"] for slip in found["slips"]] == ["ends_swapped"]
    slip = found["slips"][0]
    assert slip["labels"] == ["Clearance, governor end", "Clearance, coupling end"]
    assert slip["parts_at"] == "c_governor"
    assert slip["is_certain"] is True
    assert found["points"] == 5


def test_slips_that_cannot_be_told_apart_are_not_certain():
    scenario = case("bore in mm", asked=("least_clearance",))
    places = ("governor_vertical", "governor_horizontal", "coupling_vertical", "coupling_horizontal")
    readings = dict(zip((f"bore_{one}" for one in places), (60.10, 60.16, 60.10, 60.16), strict=True))
    readings |= dict(zip((f"journal_{one}" for one in places), (60.0, 60.0, 60.0, 60.06), strict=True))
    key = key_to(scenario, Draw(scenario=scenario.name, seed=0, tries=0, condition="", oddity="", readings=readings))
    found = marked(key, {"result-least_clearance": "0.10"})

    assert {slip["name"] for slip in found["slips"]} >= {"least_journal", "greatest_bore"}
    assert not any(slip["is_certain"] for slip in found["slips"])


def test_an_unsafe_acceptance_leaves_nothing():
    found = strip(verdict="inside", action="close")

    assert found["is_unsafe"]
    assert found["points"] == 0
    assert [part["mark"] for part in found["parts"][-2:]] == ["unsafe", "unsafe"]
    assert found["action"]["words"] == "take the liner out and refit it"


def test_what_was_left_blank_or_refused_shows_as_nothing():
    found = strip(**{"result-taper": "", "result-c_governor": "rubbish", "verdict": "", "action": ""})

    assert [part["yours"] for part in found["parts"]] == [
        *("2.5 mm (0.098 in)", "2.1 mm (0.083 in)", "", "0.137 mm (0.0054 in)", "", "", ""),
    ]


def test_a_void_measurement_has_nothing_held():
    key = key_to(case("strip in mm"), draw(case("strip in mm", shares={"disturbed": 1.0}), 1))
    found = marked(key, {VERDICT: "void", ACTION: "repeat"})

    assert (found["oddity"], found["held"], found["is_right"]) == ("disturbed", [], True)
    assert found["verdict_words"] == ["void: the strip was disturbed"]
    assert found["action"]["words"] == "lay a new strip and measure again"


def test_a_void_that_was_read_keeps_what_it_was_held_against():
    scenario = case("run-out in mm")
    readings = {f"station_{number}": 0.0 for number in range(1, 9)} | {"back": 0.05}
    key = key_to(scenario, Draw(scenario=scenario.name, seed=0, tries=0, condition="", oddity="", readings=readings))
    held = {one["result"]: one for one in marked(key, {})["held"]}

    assert held["return_error"]["is_inside"] is False
    assert held["return_error"]["limit"] == "at most 0.02 mm"


def test_a_method_that_judges_nothing_has_no_words_of_verdict():
    key = key_to(case("reading in inches"), draw(case("reading in inches"), 3))
    found = marked(key, {"reading-reading": "1 1/2 in"}, "in")

    assert (found["verdict_words"], found["held"], found["action"]) == ([], [], {})
    assert len(found["parts"]) == 1
    assert found["parts"][0]["right"][0].endswith(" in")
    assert [line["name"] for line in found["working"]] == ["reading"]


def test_every_station_that_can_be_the_high_spot_is_shown():
    scenario = case("run-out in mm", asked=("high_spot",))
    heights = (0.0, 0.02, 0.05, 0.05, 0.0, -0.01, -0.02, -0.01)
    readings = {f"station_{number}": height for number, height in enumerate(heights, 1)} | {"back": 0.0}
    key = key_to(scenario, Draw(scenario=scenario.name, seed=0, tries=0, condition="", oddity="", readings=readings))
    part = next(one for one in marked(key, {"result-high_spot": "4"})["parts"] if one["name"] == "high_spot")

    assert (part["yours"], part["right"], part["mark"]) == ("4", ["3", "4"], "right")


def test_a_rule_of_64ths_is_marked_in_fractions():
    key = key_to(case("travel in inches"), draw(case("travel in inches"), 0))
    found = marked(key, {}, "in")

    assert all("/" in part["right"][0] for part in found["parts"] if part["name"] in {"seated", "travel", "eighth"})
    assert "/" in found["held"][0]["value_text"]


@pytest.mark.parametrize(
    ("limit", "system", "says"),
    [
        (Limit.between(0.09, 0.15, source="x"), "mm", "0.09 to 0.15 mm"),
        (Limit.at_most(0.02, source="x"), "mm", "at most 0.02 mm"),
        (Limit.at_least(5.0, source="x"), "mm", "at least 5 mm"),
        (Limit.at_least(0.0, source="x"), "mm", "at least 0 mm"),
        (Limit.between(0.0889, 0.1524, source="x"), "in", "0.0035 to 0.006 in"),
        (Limit.plus_minus(0.0, 0.05, source="x"), "mm", "−0.05 to 0.05 mm"),
    ],
)
def test_a_limit_is_said_in_words_and_numbers(limit, system, says):
    assert limit_text(limit, Kind.LENGTH, system) == says


@pytest.mark.parametrize("name", WORKED)
def test_every_verdict_is_called_what_the_bench_calls_it(name):
    scenario = case(name)
    for verdict, words in scenario.method.verdict_words.items():
        assert verdict_words(scenario, verdict) == verdict_words(scenario, verdict.value) == words
    assert verdict_words(scenario, Verdict.INSIDE) == scenario.method.verdict_words[Verdict.INSIDE]
