"""Outside: pitch as threads are made (UNC, ISO metric); gaps: Bloch and Geitner, vol. 4, p. 395, 399."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.answers import questions, understand
from assessments.engine.draws import Draw
from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.marked import document
from assessments.engine.methods.screw_gap import METHOD, TURN
from assessments.engine.quantities import from_inner
from assessments.engine.scenario import Scenario
from assessments.engine.scoring import Mark, key_to, score
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict, judge

INCH = 25.4
DIMS = {"wanted": 1.60, "pitch": 1.25, "other_pitch": 1.0}
LIMITS = {"gap": Limit.between(1.40, 1.80, source="test")}


def wrong(name, found, dims=DIMS):
    rules = next(slip for slip in METHOD.slips if slip.name == name).rules
    return METHOD.work_one({"found": found}, dims, instead=rules)


def test_a_plunger_is_set_from_three_thirty_seconds_to_a_sixteenth_by_half_a_turn():
    # Plunger to jackscrew 1/16 in (1.6 mm): p. 395. A 3/8-16 UNC screw goes 1/16 in a turn (derived).
    dims = {"wanted": INCH / 16, "pitch": INCH / 16, "other_pitch": INCH / 24}
    worked = METHOD.work_one({"found": 3 / 32 * INCH}, dims)

    assert pytest.approx(1.5875) == INCH / 16
    assert from_inner(worked["turns"], "turns") == pytest.approx(-0.5)
    assert from_inner(worked["flats"], "flats") == pytest.approx(-3.0)
    assert from_inner(worked["turns"], "°") == pytest.approx(-180)


@pytest.mark.parametrize(
    ("found", "inside"),
    [(1 / 16, True), (1 / 8, True), (3 / 32, True), (1 / 32, False), (5 / 32, False)],
)
def test_a_resetting_lever_stands_off_as_published(found, inside):
    # Reset lever to cam 1/16 to 1/8 in, valve shut: p. 399.
    limits = {"gap": Limit.between(INCH / 16, INCH / 8, source="p. 399")}

    assert (judge(METHOD.work_one({"found": found * INCH}, DIMS), limits, METHOD.held) == (Verdict.INSIDE,)) is inside


@given(st.floats(0.2, 4.0), st.floats(0.2, 4.0), st.floats(0.5, 2.5))
def test_turning_a_screw_so_far_along_its_helix_leaves_the_gap_wanted(found, wanted, pitch):
    # A helix goes along by pitch * angle / 2 pi: forward.
    worked = METHOD.work_one({"found": found}, {"wanted": wanted, "pitch": pitch, "other_pitch": 1.0})

    assert found + pitch * worked["turns"] / (2 * math.pi) == pytest.approx(wanted)
    assert found + pitch * from_inner(worked["flats"], "flats") / 6 == pytest.approx(wanted)


@pytest.mark.parametrize(
    ("slip", "result", "turns"),
    [
        ("the_wrong_way", "turns", 0.4),
        ("pitch_of_the_other_series", "turns", -0.5),
        ("whole_gap_turned", "turns", 2.10 / 1.25),
        ("wanted_gap_turned", "turns", 1.60 / 1.25),
        ("upside_down", "turns", -2.5),
        ("four_flats", "flats", -0.4 * 4 / 6),
        ("turns_as_flats", "flats", -0.4 / 6),
    ],
)
def test_a_slip_gives_the_number_worked_by_hand(slip, result, turns):
    # By hand: 1.60 - 2.10 = -0.50 mm, over 1.25 mm: -0.4 turn, -2.4 flats.
    right = METHOD.work_one({"found": 2.10}, DIMS)

    assert right["change"] == pytest.approx(-0.5)
    assert right["turns"] / TURN == pytest.approx(-0.4)
    assert from_inner(right["flats"], "flats") == pytest.approx(-2.4)
    assert wrong(slip, 2.10)[result] / TURN == pytest.approx(turns)


def test_where_nothing_is_to_be_turned_nothing_is_divided_by_nothing():
    assert wrong("upside_down", 1.60)["turns"] == 0.0
    assert METHOD.work_one({"found": 1.60}, DIMS)["turns"] == 0.0


@pytest.mark.parametrize(
    ("found", "verdict"), [(1.40, Verdict.INSIDE), (1.80, Verdict.INSIDE), (1.35, Verdict.LOW), (1.85, Verdict.HIGH)]
)
def test_the_gap_found_is_what_is_held_and_each_side_has_its_own_way(found, verdict):
    assert judge(METHOD.work_one({"found": found}, DIMS), LIMITS, METHOD.held) == (verdict,)
    assert METHOD.actions[Verdict.LOW].name == "open"
    assert METHOD.actions[Verdict.HIGH].name == "close"


def test_turns_and_flats_are_written_as_a_shop_says_them():
    assert [METHOD.line(name).unit for name in ("change", "turns", "flats")] == ["", "turns", "flats"]


@given(st.floats(0.1, 5.0))
def test_a_drawn_gap_is_the_one_aimed_at(gap):
    assert METHOD.simulate({"gap": gap}, DIMS, []) == {"found": gap}


@pytest.mark.parametrize(
    ("readings", "dims", "name"),
    [
        ({"found": 0.0}, {}, "found"),
        ({"found": math.nan}, {}, "found"),
        ({}, {"pitch": 0.0}, "pitch"),
        ({}, {"wanted": -1.0}, "wanted"),
        ({}, {"other_pitch": math.inf}, "other_pitch"),
    ],
)
def test_what_cannot_be_is_refused(readings, dims, name):
    with pytest.raises(ImpossibleReadingError) as refused:
        METHOD.check({"found": 1.5, **readings}, {**DIMS, **dims})

    assert refused.value.name == name
    METHOD.check({"found": 1.5}, DIMS)


def test_draws_behave(drawn, assert_floats_and_arrays_agree, assert_every_slip_shows):
    _, readings = drawn(METHOD, aims={"gap": (1.2, 2.2)}, dims=DIMS)

    assert_floats_and_arrays_agree(METHOD, readings, DIMS)
    assert_every_slip_shows(METHOD, readings, DIMS)


def test_the_same_in_another_unit_is_the_same_turn():
    small = METHOD.work_one({"found": 2.1}, DIMS)
    large = METHOD.work_one({"found": 2.1 * INCH}, {name: size * INCH for name, size in DIMS.items()})

    assert large["turns"] == pytest.approx(small["turns"])
    assert large["change"] == pytest.approx(small["change"] * INCH)


def test_cases_have_the_verdict_they_are_named_for(assert_cases_have_the_verdict_they_are_named_for):
    assert_cases_have_the_verdict_they_are_named_for(
        METHOD,
        {"good": Verdict.INSIDE, "small": Verdict.LOW, "large": Verdict.HIGH},
        dims=DIMS,
        limits=LIMITS,
        step=0.02,
    )


@pytest.mark.parametrize("typed", ["-0.4", "-0.4 turns", "-2.4 flats", "-144°", "-144 deg"])
def test_a_turn_is_taken_in_any_unit_a_shop_says_it_in(faceless, typed):
    scenario = Scenario(
        name="screw",
        method=METHOD,
        dims=DIMS,
        limits=LIMITS,
        instruments={"found": faceless(METHOD.readings[0], step=0.05)},
        shares={"good": 1.0},
        asked=("turns",),
    )
    key = key_to(
        scenario, Draw(scenario="screw", seed=0, tries=0, condition="good", oddity="", readings={"found": 2.1})
    )
    understood = understand(scenario, "mm", {"result-turns": typed})
    part = next(part for part in score(key, understood.answer).parts if part.name == "turns")
    kept = document(key, score(key, understood.answer), understood.echoes, "mm")
    lines = {line["name"]: line for line in kept["working"]}

    assert next(one.unit for one in questions(scenario, "in") if one.name == "turns") == "turns"
    assert part.mark is Mark.RIGHT
    assert next(one for one in kept["parts"] if one["name"] == "turns")["right"] == ["−0.4 turns"]
    assert next(one for one in kept["parts"] if one["name"] == "turns")["allowed"] == "0.020 turns"
    assert (lines["turns"]["numbers"], lines["turns"]["value"]) == ("(−0.500) / 1.25", "−0.4 turns")
    assert (lines["flats"]["numbers"], lines["flats"]["value"]) == ("6 × (−0.4)", "−2.4 flats")
