"""How many draws lie, and what would make an unfair scenario fair: `spread` and `remedy`."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from assessments.engine import draws
from assessments.engine.draws import draw, fair, must_be_inside, remedy, spread, step_words
from assessments.engine.errors import OutOfRangeError
from assessments.engine.instruments import all_instruments, find_instrument
from assessments.engine.method import Band, Condition
from assessments.engine.methods import find_method
from assessments.engine.scenario import Scenario
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict


def scenario(method="squashed_strip", *, limits, dims, instrument, **changed):
    found = find_method(method)
    return Scenario(
        name="spread/1",
        method=found,
        dims=dims,
        limits=limits,
        instruments={reading.name: find_instrument(instrument) for reading in found.readings},
        shares=changed.pop("shares", {condition.name: 1.0 for condition in found.conditions}),
        asked=found.asked,
        **changed,
    )


def strip(low=0.09, high=0.15, taper=0.02, size=0.6, **changed):
    limits = {
        "clearance": Limit.between(low, high, source="invented"),
        "taper": Limit.at_most(taper, source="invented"),
    }
    return scenario(limits=limits, dims={"strip": size}, instrument="squashed_strip_metric", **changed)


def travel(low, high, instrument="steel_rule_half_millimetres"):
    limits = {"travel": Limit.between(low, high, source="invented")}
    return scenario("valve_travel", limits=limits, dims={"valve": 76.2}, instrument=instrument)


def test_shares_of_verdicts_and_conditions_add_up():
    lies = spread(strip(), 1000)
    assert sum(lies.verdicts.values()) == pytest.approx(1)
    assert sum(lies.conditions.values()) == pytest.approx(1)
    assert lies.count == 1000


def test_the_results_are_those_of_the_fair_draws_and_within_the_readings():
    lies = spread(strip(), 1000)
    fair_ones = round(lies.fair_share * 1000)
    assert {len(values) for values in lies.results.values()} == {fair_ones}
    least, greatest = lies.readings["w_governor"]
    assert 0.4 <= least < greatest <= 5.5


def test_the_first_try_of_a_seed_is_what_the_spread_counts():
    one = strip()
    first_tries = [draw(one, seed).tries == 0 for seed in range(200)]
    assert spread(one, 200).fair_share == pytest.approx(np.mean(first_tries))


def test_fairness_does_not_depend_on_how_many_are_looked_at_together(monkeypatch):
    one = strip()
    whole = spread(one, 300)
    monkeypatch.setattr(draws, "_CHUNK", 64)
    assert spread(one, 300).fair_share == whole.fair_share


def test_nothing_drawn_is_nothing_fair():
    nothing = {"w_governor": np.zeros(0), "w_coupling": np.zeros(0)}
    assert len(fair(strip(), nothing, np.zeros(0, dtype=np.int8))) == 0


@pytest.mark.parametrize(
    ("bands", "oddity", "answer"),
    [
        ({}, "", True),
        ({"clearance": Band.WELL_INSIDE}, "", True),
        ({"clearance": Band.BELOW}, "", False),
        ({"taper": Band.ABOVE}, "", False),
        ({"clearance": Band.JUST_INSIDE_LOW, "taper": Band.ABOVE}, "", False),
        ({"clearance": Band.JUST_INSIDE_LOW}, "", None),
        ({}, "disturbed", False),
    ],
)
def test_what_a_case_has_to_come_out_as_follows_from_its_bands(bands, oddity, answer):
    assert must_be_inside(Condition(name="x", words="x", bands=bands, oddity=oddity)) is answer


def test_good_cases_that_cannot_lie_inside_make_a_scenario_unfair():
    lies = spread(strip(low=0.1, high=0.101))
    assert lies.fair_share >= 0.6
    assert "good" in lies.astray
    assert not lies.is_fair


def test_a_gauge_that_cannot_show_the_bad_cases_makes_a_scenario_unfair():
    # A heavy strip on a tight bearing is squashed beyond its card: the tight cases would be read as inside.
    lies = spread(strip(size=0.9))
    assert lies.verdicts[Verdict.LOW] < 0.01
    assert "tight" in lies.astray
    assert not lies.is_fair


def test_too_few_draws_of_a_case_say_nothing_of_it():
    lies = spread(strip(shares={"good": 999.0, "tight": 1.0}), 400)
    assert "tight" not in lies.as_meant


def test_the_remedy_names_an_instrument_that_really_makes_it_fair():
    coarse = travel(8.0, 9.5)
    assert not spread(coarse).is_fair
    assert remedy(coarse).startswith("Tried, and it would do: Steel rule, sixty-fourths of an inch, read to 1/64 in")
    finer = dict.fromkeys(coarse.instruments, find_instrument("steel_rule_64ths"))
    assert spread(replace(coarse, instruments=finer)).is_fair


def bore(low, high, instrument):
    limits = {
        "clearance": Limit.between(low, high, source="invented"),
        "out_of_round": Limit.at_most(0.03, source="invented"),
        "taper": Limit.at_most(0.03, source="invented"),
    }
    shares = {"good": 3.0, "tight": 1.0, "loose": 1.0}
    return scenario("bore_less_journal", limits=limits, dims={"nominal": 110.0}, instrument=instrument, shares=shares)


def test_a_vernier_is_the_remedy_where_whole_divisions_are_too_coarse():
    coarse = bore(0.10, 0.14, "outside_micrometer_metric_100")
    assert not spread(coarse).is_fair
    sentence = remedy(coarse)
    assert sentence.startswith("Tried, and it would do: Outside micrometer, 4 to 5 in, with vernier, read to 0.0001 in")
    vernier = find_instrument("outside_micrometer_inch_vernier_4")
    lies = spread(replace(coarse, instruments=dict.fromkeys(coarse.instruments, vernier)))
    assert lies.is_fair
    assert f"({int(lies.fair_share * 100)} % of the draws fair)" in sentence


def test_the_remedy_for_a_range_is_the_instrument_that_reads_it():
    found = find_method("instrument_reading")
    one = Scenario(
        name="range/1",
        method=found,
        dims={"low": 80.0, "high": 90.0},
        limits={},
        instruments={"reading": find_instrument("outside_micrometer_metric_50")},
        shares={"anywhere": 1.0},
        asked=(),
    )
    with pytest.raises(OutOfRangeError):
        spread(one)
    assert "Outside micrometer, 75 to 100 mm, read to 0.01 mm" in remedy(one)


def test_a_shorter_reach_is_the_remedy_where_no_instrument_reads_so_far():
    limits = {"run_out": Limit.at_most(0.3, source="invented"), "return": Limit.at_most(0.02, source="invented")}
    one = scenario(
        "run_out",
        limits=limits,
        dims={},
        instrument="dial_indicator_balanced_metric",
        shares={"good": 1.0, "out": 1.0},
        reach=3.0,
    )
    with pytest.raises(OutOfRangeError):
        spread(one)
    assert "bad cases up to 0.5 of the limit's width beyond it" in remedy(one)
    assert spread(replace(one, reach=0.5)).is_fair


def test_nothing_is_promised_where_nothing_would_do():
    assert remedy(travel(low=9.0, high=9.1)).startswith("No other instrument would do, nor another reach")


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("outside_micrometer_metric_0", "0.01 mm"),
        ("outside_micrometer_inch_0", "0.001 in"),
        ("outside_micrometer_inch_vernier_0", "0.0001 in"),
        ("steel_rule_64ths", "1/64 in"),
        ("steel_rule_half_millimetres", "0.5 mm"),
        ("squashed_strip_inch", "0.005 in"),
    ],
)
def test_a_step_is_told_with_its_unit(name, words):
    assert step_words(all_instruments()[name]) == words
