"""Outside: the binomial spread of shares; a Monte-Carlo run round each draw that is called fair."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.draws import MOST_TRIES, Draw, draw, draw_many, fair, spread, truth
from assessments.engine.errors import OutOfRangeError, UnfairScenarioError
from assessments.engine.instruments import find_instrument
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import CODE, ORDER, Verdict, judge
from tests.cases import CASES, WORKED, case
from tests.strategies import seeds

cases = st.sampled_from(tuple(CASES))

# Written down when drawing was settled: seed, tries, condition, readings. Never to be changed: what was handed in years
# ago is drawn again from them.
FOR_EVER = {
    "strip in mm": (20260, 0, "tight_end", [3.6, 2.6]),
    "strip in inches": (20260, 0, "tight_end", [3.81, 2.54]),
    "bore in mm": (20260, 1, "loose", [60.19, 60.21, 60.18, 60.18, 59.99, 59.99, 60.0, 60.0]),
    "bore in inches": (
        20260,
        0,
        "loose_place",
        [63.6397, 63.6143, 63.63716, 63.6143, 63.49492, 63.48476, 63.47968, 63.47206],
    ),
    "travel in mm": (20260, 0, "long", [30.0, 41.0]),
    "travel in inches": (20260, 0, "long", [61.11875, 50.00625]),
    "run-out in mm": (20260, 0, "out", [0.0, -0.01, -0.03, -0.06, -0.07, -0.06, -0.03, -0.01, -0.01]),
    "run-out in inches": (20260, 0, "good", [0.0, 0.0, 0.0, 0.0, 0.0254, 0.0254, 0.0254, 0.0, -0.0254]),
    "reading in mm": (20260, 0, "anywhere", [71.3]),
    "reading in inches": (20260, 0, "anywhere", [28.575]),
}


@pytest.mark.parametrize("name", FOR_EVER)
def test_a_draw_is_the_same_for_ever(name):
    seed, tries, condition, readings = FOR_EVER[name]

    drawn = draw(case(name), seed)

    assert (drawn.scenario, drawn.seed, drawn.tries, drawn.condition) == (name, seed, tries, condition)
    assert list(drawn.readings) == [reading.name for reading in case(name).method.readings]
    assert list(drawn.readings.values()) == pytest.approx(readings, abs=1e-9)


@pytest.mark.parametrize("name", CASES)
def test_a_draw_is_the_same_alone_and_in_a_batch(name):
    scenario = case(name)
    batch = draw_many(scenario, 120)
    conditions = scenario.method.conditions
    # The 120 span one chunk only; the longer batch has the same beginning although it is drawn in pieces.
    longer = draw_many(scenario, 40_000)
    compared = 0
    for seed in range(120):
        alone = draw(scenario, seed)
        if alone.tries == 0:
            compared += 1
            assert conditions[batch.conditions[seed]].name == alone.condition
            assert ORDER[batch.codes[seed]] == truth(scenario, alone)[0]
            for reading, value in alone.readings.items():
                assert batch.value(reading)[seed] == value
                assert longer.value(reading)[seed] == value
    assert compared > 30
    assert len(longer.codes) == len(longer.conditions) == 40_000


@pytest.mark.parametrize("name", CASES)
def test_results_and_verdicts_are_worked_from_what_is_shown(name):
    scenario = case(name)
    method = scenario.method
    batch = draw_many(scenario, 200)
    shown = {reading.name: batch.value(reading.name) for reading in method.readings}
    for reading, values in shown.items():
        steps = values / scenario.instruments[reading].step
        assert np.abs(steps - np.rint(steps)).max() < 1e-6
    for index in range(200):
        values = method.work_one({reading: float(column[index]) for reading, column in shown.items()}, scenario.dims)
        for line in method.lines:
            assert float(batch.value(line.name)[index]) == pytest.approx(values[line.name], rel=1e-12, abs=1e-12)
        expected = judge(values, scenario.limits, method.held)[0]
        is_odd = bool(method.conditions[batch.conditions[index]].oddity)
        assert ORDER[batch.codes[index]] is (Verdict.VOID if is_odd else expected)


@pytest.mark.parametrize("name", CASES)
def test_shares_are_met_by_the_first_tries(name):
    count = 30_000
    method = case(name).method
    shares = {condition.name: float(number) for number, condition in enumerate(method.conditions, start=1)}
    scenario = case(name, shares=shares)
    drawn = np.bincount(draw_many(scenario, count).conditions, minlength=len(shares))
    for condition, number in zip(method.conditions, drawn, strict=True):
        part = shares[condition.name] / sum(shares.values())
        # Shares are kept to a thousandth; the rest is chance, binomial, four standard deviations of it.
        slack = 0.0005 + 4 * math.sqrt(part * (1 - part) / count)
        assert number / count == pytest.approx(part, abs=slack), condition.name


def test_a_case_without_a_share_is_never_drawn():
    scenario = case("strip in mm", shares={"tight": 2.0, "good": 0.0, "loose": 1.0})
    names = [condition.name for condition in scenario.method.conditions]

    assert {names[index] for index in draw_many(scenario, 5000).conditions} == {"tight", "loose"}


@given(cases, st.sampled_from([0.5, 1.0]), seeds)
def test_a_fair_draw_is_fair_anywhere_within_what_counts_as_right(name, reading_steps, seed):
    # The gravest error would be a reading marked right that leads to accepting a bad fit.
    scenario = case(name, reading_steps=reading_steps)
    drawn = draw(scenario, seed)
    if drawn.oddity:
        return
    chance = np.random.default_rng(seed)
    places = np.clip(chance.uniform(-1.5, 1.5, (len(drawn.readings), 500)), -1, 1)
    around = {
        reading: value + row * reading_steps * scenario.instruments[reading].step
        for (reading, value), row in zip(drawn.readings.items(), places, strict=True)
    }
    expected = truth(scenario, drawn)[0]
    for index in range(500):
        values = scenario.method.work_one(
            {reading: float(column[index]) for reading, column in around.items()}, scenario.dims
        )
        assert judge(values, scenario.limits, scenario.method.held)[0] is expected


FAR_FINER = {
    "trip off rated",
    "trip off continuous",
    "sling in mm",
    "sling in inches",
    "balance in mm",
    "balance in inches",
    "screw in mm",
    "screw in inches",
}
"""Cases read so finely beside their limits that next to no draw comes near one."""


@pytest.mark.parametrize("name", WORKED)
def test_what_is_not_fair_has_another_verdict_close_by(name):
    # So that no more is thrown away than has to be.
    scenario = case(name)
    batch = draw_many(scenario, 300)
    readings = {reading.name: batch.value(reading.name) for reading in scenario.method.readings}
    unfair = np.flatnonzero(~fair(scenario, readings, batch.codes))[:20]
    assert (len(unfair) > 5) is (name not in FAR_FINER)
    chance = np.random.default_rng(3)
    for index in unfair:
        found = set()
        for _ in range(3000):
            at = {
                reading: float(column[index]) + chance.choice([-0.5, 0.5]) * scenario.instruments[reading].step
                for reading, column in readings.items()
            }
            found.add(judge(scenario.method.work_one(at, scenario.dims), scenario.limits, scenario.method.held)[0])
            if len(found | {ORDER[batch.codes[index]]}) > 1:
                break
        assert len(found | {ORDER[batch.codes[index]]}) > 1


def test_what_is_void_by_how_it_looks_is_fair_whatever_its_numbers_are():
    scenario = case("strip in mm", shares={"disturbed": 1.0})

    assert spread(scenario, 500).fair_share == 1.0
    drawn = draw(scenario, 5)
    assert drawn.oddity == "disturbed"
    assert truth(scenario, drawn) == (Verdict.VOID,)


def test_nothing_is_as_fair_as_can_be():
    scenario = case("strip in mm")
    none = {reading.name: np.zeros(0) for reading in scenario.method.readings}

    assert fair(scenario, none, np.zeros(0, dtype=np.int8)).tolist() == []


def narrow():
    """A limit of two tenths of a millimetre, held by a rule of half millimetres."""
    return case("travel in mm", limits={"travel": Limit.between(6.9, 7.1, source="invented")}, shares={"good": 1.0})


def test_a_scenario_that_cannot_be_fair_is_refused():
    with pytest.raises(UnfairScenarioError) as refused:
        draw(narrow(), 0)

    assert refused.value.tried == MOST_TRIES
    assert "hangs on the last line of the instrument" in str(refused.value)
    assert spread(narrow(), 200).fair_share == 0.0
    assert not spread(narrow(), 200).is_fair
    assert spread(narrow(), 200).readings == {}


def test_sizes_that_no_reading_reaches_are_refused_with_the_range():
    small = find_instrument("outside_micrometer_metric_25")
    bore = case("bore in mm")
    scenario = case("bore in mm", instruments=dict.fromkeys(bore.instruments, small))

    for refused in (lambda: draw(scenario, 0), lambda: draw_many(scenario, 10), lambda: spread(scenario, 10)):
        with pytest.raises(OutOfRangeError) as error:
            refused()
        assert (error.value.low, error.value.high, error.value.unit) == (25.0, 50.0, "mm")


def test_a_try_beyond_the_instrument_is_passed_over():
    # Half of the range is below the micrometer's: seeds whose first try falls there find another.
    scenario = case("reading in mm", dims={"low": 40.0, "high": 60.0})
    drawn = [draw(scenario, seed) for seed in range(60)]

    assert all(50 <= one.readings["reading"] <= 60 for one in drawn)
    assert any(one.tries > 0 for one in drawn)


def test_a_try_that_no_machine_could_give_is_passed_over():
    # A strip barely squashed: rounded to the inch scale some prints come out narrower than the strip was.
    limits = {"clearance": Limit.between(0.3, 2.0, source="invented"), "taper": Limit.at_most(0.9, source="invented")}
    scenario = case("strip in inches", dims={"strip": 0.9}, limits=limits, shares={"good": 1.0}, asked=("c_governor",))
    rounded = draw_many(scenario, 400).value("w_governor")

    assert (rounded < 0.9).any()
    for seed in range(100):
        assert min(draw(scenario, seed).readings.values()) >= 0.9


@given(cases, seeds)
def test_a_draw_comes_back_from_its_document(name, seed):
    drawn = draw(case(name), seed)

    assert Draw.of_document(json.loads(json.dumps(drawn.document()))) == drawn


@given(cases, st.integers(0, 10**6))
def test_seeds_begin_again_where_the_stream_ends(name, seed):
    scenario = case(name)

    assert draw(scenario, seed + 2**54).readings == draw(scenario, seed).readings


def test_another_revision_draws_other_cases():
    first, second = (
        replace(case("reading in mm"), name=name) for name in ("micrometer, revision 1", "micrometer, revision 2")
    )

    assert [draw(first, seed).readings for seed in range(20)] != [draw(second, seed).readings for seed in range(20)]


@pytest.mark.parametrize("name", WORKED)
def test_a_spread_is_of_fair_draws_and_says_what_there_is(name):
    scenario = case(name)
    lies = spread(scenario, 1000)

    assert lies.count == 1000
    assert sum(lies.verdicts.values()) == pytest.approx(1)
    assert sum(lies.conditions.values()) == pytest.approx(1)
    assert set(lies.conditions) == {condition.name for condition in scenario.method.conditions}
    assert {hold.result for hold in scenario.method.held} | set(scenario.asked) == set(lies.results)
    kept = round(lies.fair_share * 1000)
    for values in lies.results.values():
        assert len(values) == kept
    for reading, (least, greatest) in lies.readings.items():
        assert scenario.instruments[reading].low <= least <= greatest <= scenario.instruments[reading].high


def test_a_spread_counts_what_it_draws():
    scenario = case("travel in mm")
    lies = spread(scenario, 1000)
    inside = sum(scenario.limits["travel"].holds(float(travel)) for travel in lies.results["travel"])

    assert lies.verdicts[Verdict.INSIDE] == pytest.approx(inside / len(lies.results["travel"]))
    assert CODE[Verdict.INSIDE] == ORDER.index(Verdict.INSIDE)
