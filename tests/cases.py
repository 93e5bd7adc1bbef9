"""Scenarios for tests of the engine: every method there is, in millimetres and in inches. All figures are invented."""

from __future__ import annotations

from dataclasses import replace

from assessments.engine.instruments import find_instrument
from assessments.engine.methods import find_method
from assessments.engine.scenario import Scenario
from assessments.engine.sheets import Limit

THOU = 0.0254
SOURCE = "invented sheet"


def _at_most(high: float) -> Limit:
    return Limit.at_most(high, source=SOURCE)


def _between(low: float, high: float) -> Limit:
    return Limit.between(low, high, source=SOURCE)


CASES = {
    "strip in mm": (
        "squashed_strip",
        "squashed_strip_metric",
        {"strip": 0.6},
        {"clearance": _between(0.09, 0.15), "taper": _at_most(0.02)},
    ),
    "strip in inches": (
        "squashed_strip",
        "squashed_strip_inch",
        {"strip": 0.6},
        {"clearance": _between(3.5 * THOU, 6 * THOU), "taper": _at_most(1 * THOU)},
    ),
    "heavy strip in mm": (
        "squashed_strip",
        "squashed_strip_metric",
        {"strip": 1.5},
        {"clearance": _between(0.45, 0.65), "taper": _at_most(0.05)},
    ),
    "bore in mm": (
        "bore_less_journal",
        "outside_micrometer_metric_50",
        {"nominal": 60.0},
        {"clearance": _between(0.09, 0.17), "out_of_round": _at_most(0.03), "taper": _at_most(0.03)},
    ),
    "bore in inches": (
        "bore_less_journal",
        "outside_micrometer_inch_vernier_2",
        {"nominal": 2.5 * 25.4},
        {"clearance": _between(3.5 * THOU, 6 * THOU), "out_of_round": _at_most(1 * THOU), "taper": _at_most(1 * THOU)},
    ),
    "travel in mm": ("valve_travel", "steel_rule_half_millimetres", {"valve": 50.0}, {"travel": _between(5.0, 9.0)}),
    "travel in inches": (
        "valve_travel",
        "steel_rule_64ths",
        {"valve": 2.5 * 25.4},
        {"travel": _between(0.25 * 25.4, 0.375 * 25.4)},
    ),
    "run-out in mm": (
        "run_out",
        "dial_indicator_balanced_metric",
        {},
        {"run_out": _at_most(0.05), "return": _at_most(0.02)},
    ),
    "run-out in inches": (
        "run_out",
        "dial_indicator_balanced_inch",
        {},
        {"run_out": _at_most(4 * THOU), "return": _at_most(2 * THOU)},
    ),
    "rim and face in mm": (
        "rim_and_face",
        "dial_indicator_balanced_metric",
        {
            "bracket": 1.0,
            "sag": -0.06,
            "across": 150.0,
            "near_foot": 260.0,
            "far_foot": 700.0,
            "target_height": -0.05,
            "target_opening": 0.04,
        },
        {"offset": _at_most(0.06), "opening": _at_most(0.06), "sums": _at_most(0.05)},
    ),
    "rim and face in inches": (
        "rim_and_face",
        "dial_indicator_balanced_inch",
        {
            "bracket": -1.0,
            "sag": -4 * THOU,
            "across": 6 * 25.4,
            "near_foot": 10 * 25.4,
            "far_foot": 30 * 25.4,
            "target_height": 3 * THOU,
            "target_opening": -2 * THOU,
        },
        {"offset": _at_most(4 * THOU), "opening": _at_most(4 * THOU), "sums": _at_most(6 * THOU)},
    ),
    "two dials in mm": (
        "two_dials",
        "dial_indicator_balanced_metric",
        {
            "spacing": 100.0,
            "sag_s": -0.03,
            "sag_m": -0.04,
            "across": 220.0,
            "near_foot": 320.0,
            "far_foot": 760.0,
            "target_height": -0.03,
            "target_opening": 0.02,
        },
        {"offset": _at_most(0.05), "opening": _at_most(0.08), "sums": _at_most(0.05)},
    ),
    "two dials in inches": (
        "two_dials",
        "dial_indicator_balanced_inch",
        {
            "spacing": 5 * 25.4,
            "sag_s": -3 * THOU,
            "sag_m": -4 * THOU,
            "across": 9 * 25.4,
            "near_foot": 13 * 25.4,
            "far_foot": 30 * 25.4,
            "target_height": 3 * THOU,
            "target_opening": -2 * THOU,
        },
        {"offset": _at_most(4 * THOU), "opening": _at_most(8 * THOU), "sums": _at_most(6 * THOU)},
    ),
    "reading in mm": ("instrument_reading", "outside_micrometer_metric_50", {"low": 52.0, "high": 74.0}, {}),
    "reading in inches": ("instrument_reading", "steel_rule_64ths", {"low": 12.7, "high": 127.0}, {}),
}
"""Name to method, instrument, dims and limits. Add at least one for every method: `test_every_method_has_a_case` looks."""

WORKED = tuple(name for name, (method, *_) in CASES.items() if method != "instrument_reading")
"""Cases with results and a verdict."""


def case(name: str, **changes) -> Scenario:
    """A scenario with every condition as often as the next and every result asked, but for what is changed."""
    method_name, instrument, dims, limits = CASES[name]
    method = find_method(method_name)
    scenario = Scenario(
        name=name,
        method=method,
        dims=dims,
        limits=limits,
        instruments={reading.name: find_instrument(instrument) for reading in method.readings},
        shares={condition.name: 1.0 for condition in method.conditions},
        asked=tuple(line.name for line in method.results),
        reach=1.5 if method_name == "run_out" else 0.6,
    )
    return replace(scenario, **changes)


def system_of(name: str) -> str:
    """ "mm" or "in": what a learner of a case writes in."""
    return "in" if name.endswith("inches") else "mm"
