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
