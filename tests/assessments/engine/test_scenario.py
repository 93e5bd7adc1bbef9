"""What a scenario refuses. Nothing outside to hold it against: these are rules of our own."""

from __future__ import annotations

import math

import pytest

from assessments.engine.errors import BadScenarioError
from assessments.engine.instruments import find_instrument
from assessments.engine.method import Band
from assessments.engine.methods import all_methods
from assessments.engine.scenario import Scenario
from assessments.engine.sheets import Limit
from tests.cases import CASES, case


def refusal(name, **changes):
    with pytest.raises(BadScenarioError) as refused:
        case(name, **changes)
    assert refused.value.scenario == changes.get("name", name)
    return str(refused.value)


def test_every_method_has_a_case():
    assert {method for method, *_ in CASES.values()} == set(all_methods()), "add one to tests/cases.py"


@pytest.mark.parametrize("name", CASES)
def test_every_case_stands(name):
    assert isinstance(case(name), Scenario)


CLEARANCE = Limit.between(0.09, 0.15, source="invented")
TAPER = Limit.at_most(0.02, source="invented")


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"dims": {}}, "Clearance by a squashed strip needs a dimension called strip."),
        (
            {"dims": {"strip": 0.6, "bore": 50.0}},
            "Clearance by a squashed strip has no use for a dimension called bore.",
        ),
        ({"limits": {"taper": TAPER}}, "Clearance by a squashed strip needs a limit called clearance."),
        ({"instruments": {}}, "Clearance by a squashed strip needs an instrument for the reading called w_coupling."),
        ({"asked": ("c_governor", "depth")}, "Clearance by a squashed strip has no result called depth."),
        ({"shares": {"good": 1, "burnt": 1}}, "Clearance by a squashed strip knows no case called burnt."),
        ({"shares": {"good": -1.0}}, "A share is a number from 0 up."),
        ({"shares": {"good": math.nan}}, "A share is a number from 0 up."),
        ({"shares": {"good": math.inf}}, "A share is a number from 0 up."),
        ({"shares": {"good": 0.0}}, "At least one case needs a share."),
        ({"shares": {}}, "At least one case needs a share."),
        ({"reach": 0.05}, "How far out bad cases go lies between 0.1 and 3 widths of the limit."),
        ({"reach": math.nan}, "How far out bad cases go lies between 0.1 and 3 widths of the limit."),
        ({"reading_steps": 0.7}, "A reading is right within half a step or within one step."),
        ({"dims": {"strip": math.nan}}, "The dimension strip is not a finite number."),
        (
            {"dims": {"strip": 0.0}},
            "The dimension strip cannot be: A size is more than nothing: look at the instrument again.",
        ),
        (
            {"dims": {"strip": -0.6}},
            "The dimension strip cannot be: A size is more than nothing: look at the instrument again.",
        ),
        (
            {"dims": {"strip": 1e9}},
            "The dimension strip cannot be: No machine here has a figure like that: look at it again.",
        ),
    ],
)
def test_what_is_missing_unknown_or_impossible_is_refused_in_a_sentence(changes, says):
    assert refusal("strip in mm", **changes) == says


def test_an_instrument_of_another_family_is_refused():
    rule = find_instrument("steel_rule_64ths")

    says = refusal("strip in mm", instruments=dict.fromkeys(("w_governor", "w_coupling"), rule))

    assert says == "Width of the print, governor end cannot be read with this: Steel rule, sixty-fourths of an inch."


def test_a_bound_that_the_method_has_no_verdict_for_is_refused():
    limits = {"run_out": Limit.between(0.01, 0.05, source="invented"), "return": Limit.at_most(0.02, source="invented")}

    assert refusal("run-out in mm", limits=limits) == "Total run-out has no use for a low bound in this method."


@pytest.mark.parametrize(
    ("name", "limit"), [("strip in mm", "taper"), ("bore in mm", "out_of_round"), ("run-out in mm", "return")]
)
def test_what_is_best_when_there_is_none_has_no_low_bound(name, limit):
    limits = {**case(name).limits, limit: Limit.between(0.001, 0.05, source="invented")}

    assert refusal(name, limits=limits).endswith("has no use for a low bound: none of it is best.")


def test_a_case_that_lies_beyond_a_bound_that_is_not_there_is_refused():
    limits = {"clearance": Limit.at_most(0.15, source="invented"), "taper": TAPER}

    says = refusal("strip in mm", limits=limits, shares={"tight": 1.0})

    assert says == "Clearance on the diameter has one bound only: no case can lie below it."
    assert case("strip in mm", limits=limits, shares={"loose": 1.0, "tight": 0.0})


def test_a_limit_of_nothing_at_all_leaves_no_room_for_any_case():
    limits = {"clearance": CLEARANCE, "taper": Limit.at_most(0.0, source="invented")}

    assert "no case can lie" in refusal("strip in mm", limits=limits)


LIMITS = [
    Limit.between(0.09, 0.15, source="invented"),
    Limit.between(-0.05, 0.05, source="invented"),
    Limit.between(0.0, 0.3, source="invented"),
    Limit.at_most(0.02, source="invented"),
    Limit.at_least(5.0, source="invented"),
]


@pytest.mark.parametrize("limit", LIMITS)
@pytest.mark.parametrize("reach", [0.1, 0.6, 1.0, 3.0])
def test_every_band_lies_where_its_name_says(limit, reach):
    name = "travel in mm"
    scenario = case(name, limits={"travel": limit}, reach=reach, shares={"good": 1.0})
    found = {}
    for band in Band:
        try:
            found[band] = scenario.band("travel", band)
        except BadScenarioError:
            continue

    assert {Band.INSIDE, Band.WELL_INSIDE} < set(found)
    assert (Band.BELOW in found) is (limit.low is not None)
    assert (Band.ABOVE in found) is (limit.high is not None)
    for band, (start, end) in found.items():
        assert start < end, band
        is_inside = band not in {Band.BELOW, Band.ABOVE}
        assert [limit.holds(start), limit.holds(end)] == [is_inside] * 2, band
        if limit.low is not None and limit.low > 0:
            assert start > 0, band  # no case of a size that cannot be
    inside, well = found[Band.INSIDE], found[Band.WELL_INSIDE]
    assert inside[0] <= well[0] < well[1] <= inside[1] or limit.high is None


@pytest.mark.parametrize(("steps", "tolerance"), [(0.5, 0.005), (1.0, 0.01)])
def test_a_reading_is_right_within_its_part_of_a_step(steps, tolerance):
    scenario = case("bore in mm", reading_steps=steps)

    assert scenario.reading_tolerance("bore_governor_vertical") == pytest.approx(tolerance, rel=1e-12)
