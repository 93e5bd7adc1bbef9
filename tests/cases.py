"""Scenarios for tests of the engine: every method there is, in millimetres and in inches. All figures are invented."""

from __future__ import annotations

import math
from dataclasses import replace

from assessments.engine.instruments import find_instrument
from assessments.engine.methods import find_method
from assessments.engine.scenario import Scenario
from assessments.engine.sheets import Limit

THOU = 0.0254
SOURCE = "invented sheet"


def _at_most(high: float) -> Limit:
    return Limit.at_most(high, source=SOURCE)


def _at_least(low: float) -> Limit:
    return Limit.at_least(low, source=SOURCE)


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
    "lead wire in mm": (
        "lead_wire",
        "outside_micrometer_metric_0",
        {"wire": 1.0},
        {
            "clearance": _between(0.15, 0.30),
            "taper": _at_most(0.05),
            "joint": _at_most(0.08),
            "squash": _at_least(0.15),
        },
    ),
    "lead wire in inches": (
        "lead_wire",
        "outside_micrometer_inch_vernier_0",
        {"wire": 25.4 / 32},
        {
            "clearance": _between(4 * THOU, 7 * THOU),
            "taper": _at_most(1 * THOU),
            "joint": _at_most(2 * THOU),
            "squash": _at_least(6 * THOU),
        },
    ),
    "lift check in mm": (
        "lift_check",
        "dial_indicator_balanced_metric",
        {},
        {"clearance": _between(0.12, 0.24), "housing": _at_most(0.08), "return": _at_most(0.04)},
    ),
    "lift check in inches": (
        "lift_check",
        "dial_indicator_balanced_inch",
        {},
        {"clearance": _between(6 * THOU, 16 * THOU), "housing": _at_most(5 * THOU), "return": _at_most(4 * THOU)},
    ),
    "end float in mm": (
        "end_float",
        "dial_indicator_balanced_metric",
        {"target": 0.35},
        {"float": _between(0.25, 0.46), "repeat": _at_most(0.04)},
    ),
    "end float in inches": (
        "end_float",
        "dial_indicator_balanced_inch",
        {"target": 14 * THOU},
        {"float": _between(10 * THOU, 18 * THOU), "repeat": _at_most(3 * THOU)},
    ),
    "put back in mm": (
        "put_back",
        {"found": "written_note_length_millimetres", "left": "depth_micrometer_metric_25"},
        {"sister": 40.0},
        {"change": _between(-0.10, 0.10)},
    ),
    "put back in inches": (
        "put_back",
        {"found": "written_note_length_inches", "left": "depth_micrometer_inch_1"},
        {"sister": 1.5 * 25.4},
        {"change": _between(-5 * THOU, 5 * THOU)},
    ),
    "carbon ring in mm": (
        "carbon_ring",
        {
            "ring": "telescoping_gauge_metric_50",
            "shaft": "outside_micrometer_metric_50",
            "t_bench": "written_note_temperature_celsius",
        },
        {"nominal": 60.0, "t_run": 220.0, "a_ring": 4.5e-6, "a_shaft": 11.7e-6},
        {"cold": _between(0.18, 0.30), "hot": _at_least(0.07)},
    ),
    "carbon ring in inches": (
        "carbon_ring",
        {
            "ring": "telescoping_gauge_inch_2",
            "shaft": "outside_micrometer_inch_2",
            "t_bench": "written_note_temperature_fahrenheit",
        },
        {"nominal": 2.5 * 25.4, "t_run": 220.0, "a_ring": 4.5e-6, "a_shaft": 11.7e-6},
        {"cold": _between(7 * THOU, 13 * THOU), "hot": _at_least(3 * THOU)},
    ),
    "support growth in mm": (
        "support_growth",
        "written_note_temperature_celsius",
        {"height_governor": 420.0, "height_coupling": 380.0, "a_support": 11.4e-6},
        {"growth": _between(0.12, 0.24), "tilt": _at_most(0.04)},
    ),
    "support growth in inches": (
        "support_growth",
        "written_note_temperature_fahrenheit",
        {"height_governor": 18 * 25.4, "height_coupling": 15 * 25.4, "a_support": 11.4e-6},
        {"growth": _between(4 * THOU, 6 * THOU), "tilt": _at_most(0.6 * THOU)},
    ),
    "trip off rated": (
        "trip_speed",
        "written_note_speed_rpm",
        {"rated": 3600.0, "continuous": 3780.0, "part": 1.1, "base_kind": 1.0},
        {
            "trip": _between(-40.0, 40.0),
            "spread": _at_most(40.0),
            "drift": _at_most(20.0),
            "regulation": _at_most(0.06),
        },
    ),
    "trip off continuous": (
        "trip_speed",
        "written_note_speed_rpm",
        {"rated": 4000.0, "continuous": 4200.0, "part": 1.15, "base_kind": 2.0},
        {
            "trip": _between(-60.0, 30.0),
            "spread": _at_most(30.0),
            "drift": _at_most(20.0),
            "regulation": _at_most(0.10),
        },
    ),
    "sling in mm": (
        "sling_legs",
        {
            "load": "written_note_mass_kilograms",
            "leg": "written_note_length_millimetres",
            "spread": "written_note_length_millimetres",
        },
        {"legs": 4.0, "counted": 2.0},
        {"angle": Limit.at_least(math.radians(30), source=SOURCE), "tension": _at_most(1000.0)},
    ),
    "sling in inches": (
        "sling_legs",
        {
            "load": "written_note_mass_pounds",
            "leg": "written_note_length_inches",
            "spread": "written_note_length_inches",
        },
        {"legs": 2.0, "counted": 2.0},
        {"angle": Limit.at_least(math.radians(45), source=SOURCE), "tension": _at_most(2000.0)},
    ),
    "balance in mm": (
        "balance_left",
        "written_note_unbalance_gram_millimetres",
        {"mass": 240.0, "speed": 3600.0, "rule": 1.0, "grade": 2.5, "reach_1": 400.0, "reach_2": 700.0},
        {"part": _at_most(1.0)},
    ),
    "balance in inches": (
        "balance_left",
        "written_note_unbalance_ounce_inches",
        {"mass": 453.59237, "speed": 5000.0, "rule": 2.0, "grade": 2.5, "reach_1": 762.0, "reach_2": 508.0},
        {"part": _at_most(1.0)},
    ),
    "screw in mm": (
        "tightening",
        {
            "wrench": "written_note_length_millimetres",
            "adapter": "written_note_length_millimetres",
            "found": "written_note_torque_newton_metres",
        },
        {"diameter": 16.0, "pitch": 2.0, "thread": 1.0, "proof": 91000.0, "part": 0.75, "factor": 0.16},
        {"pull": _between(0.65, 0.80)},
    ),
    "screw in inches": (
        "tightening",
        {
            "wrench": "written_note_length_inches",
            "adapter": "written_note_length_inches",
            "found": "written_note_torque_pound_feet",
        },
        {"diameter": 19.05, "pitch": 2.54, "thread": 2.0, "proof": 126000.0, "part": 0.7, "factor": 0.2},
        {"pull": _between(0.60, 0.75)},
    ),
    "feeler stack in mm": (
        "feeler_stack",
        "feeler_leaves_metric",
        {"leaf": 0.05},
        {"gap": _between(0.38, 0.72)},
    ),
    "feeler stack in inches": (
        "feeler_stack",
        "feeler_leaves_inch",
        {"leaf": 2 * THOU},
        {"gap": _between(14 * THOU, 26 * THOU)},
    ),
    "blade gap in mm": (
        "blade_gap",
        "feeler_leaves_metric",
        {},
        {"gap": _between(1.2, 2.0), "spread": _at_most(0.25), "repeat": _at_most(0.08)},
    ),
    "blade gap in inches": (
        "blade_gap",
        "bevel_taper_gauge_inch",
        {},
        {"gap": _between(50 * THOU, 80 * THOU), "spread": _at_most(10 * THOU), "repeat": _at_most(4 * THOU)},
    ),
    "seal sleeve in mm": (
        "seal_sleeve",
        "feeler_leaves_metric",
        {},
        {"clearance": _between(0.50, 0.66), "off_centre": _at_most(0.08), "float": _between(0.30, 0.50)},
    ),
    "seal sleeve in inches": (
        "seal_sleeve",
        "feeler_leaves_inch",
        {},
        {
            "clearance": _between(20 * THOU, 28 * THOU),
            "off_centre": _at_most(3 * THOU),
            "float": _between(16 * THOU, 28 * THOU),
        },
    ),
    "screw gap in mm": (
        "screw_gap",
        "bevel_taper_gauge_metric",
        {"wanted": 1.6, "pitch": 1.25, "other_pitch": 1.0},
        {"gap": _between(1.45, 1.75)},
    ),
    "screw gap in inches": (
        "screw_gap",
        "bevel_taper_gauge_inch",
        {"wanted": 25.4 / 16, "pitch": 25.4 / 16, "other_pitch": 25.4 / 24},
        {"gap": _between(59 * THOU, 66 * THOU)},
    ),
    "reading in mm": ("instrument_reading", "outside_micrometer_metric_50", {"low": 52.0, "high": 74.0}, {}),
    "reading in inches": ("instrument_reading", "steel_rule_64ths", {"low": 12.7, "high": 127.0}, {}),
}
"""Name to method, instrument (one for all readings, or by reading), dims and limits. Add at least one for every method: `test_every_method_has_a_case` looks."""

WORKED = tuple(name for name, (method, *_) in CASES.items() if method != "instrument_reading")
"""Cases with results and a verdict."""

_REACH = {"run_out": 1.5, "lift_check": 1.0}
"""How far out bad cases go where a dial's whole divisions are coarse beside the limit."""


def case(name: str, **changes) -> Scenario:
    """A scenario with every condition as often as the next and every result asked, but for what is changed."""
    method_name, instrument, dims, limits = CASES[name]
    method = find_method(method_name)
    scenario = Scenario(
        name=name,
        method=method,
        dims=dims,
        limits=limits,
        instruments={
            reading.name: find_instrument(instrument if isinstance(instrument, str) else instrument[reading.name])
            for reading in method.readings
        },
        shares={condition.name: 1.0 for condition in method.conditions},
        asked=tuple(line.name for line in method.results),
        reach=_REACH.get(method_name, 0.6),
    )
    return replace(scenario, **changes)


def system_of(name: str) -> str:
    """ "mm" or "in": what a learner of a case writes in."""
    return "in" if name.endswith("inches") else "mm"
