"""Outside: the numbers put in for the symbols are worked again as Python reads them."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.carrying import tolerances
from assessments.engine.draws import draw
from assessments.engine.instruments import find_instrument
from assessments.engine.kinds import Kind
from assessments.engine.quantities import from_inner, read
from assessments.engine.working import (
    is_of_64ths,
    put_in,
    reading_text,
    result_text,
    shown_step,
    unit_for,
    unit_of,
    worked,
)
from tests.cases import CASES, WORKED, case
from tests.strategies import seeds

SYSTEMS = ("mm", "in")
cases = st.sampled_from(tuple(CASES))
systems = st.sampled_from(SYSTEMS)


def steps_of(scenario, readings):
    allowed = tolerances(scenario, readings)
    return {
        name: shown_step(scenario, allowed[name])
        for name in scenario.asked
        if scenario.method.line(name).kind is Kind.LENGTH
    }


def lines_of(scenario, readings, system):
    values = scenario.method.work_one(readings, scenario.dims)
    return values, {line.name: line for line in worked(scenario, values, steps_of(scenario, readings), system)}


def strip_lines(system):
    return lines_of(case("strip in mm"), {"w_governor": 2.5, "w_coupling": 2.1}, system)[1]


def test_the_strip_is_worked_as_a_good_hand_would_write_it_in_millimetres():
    lines = strip_lines("mm")

    assert list(lines) == [
        *(
            "strip",
            "w_governor",
            "w_coupling",
            "area",
            "c_governor",
            "c_coupling",
            "mean",
            "taper",
            "tightest",
            "loosest",
        ),
    ]
    assert (lines["strip"].symbol, lines["strip"].value) == ("d", "0.6 mm")
    assert (lines["w_governor"].value, lines["w_coupling"].value) == ("2.5 mm", "2.1 mm")
    assert (lines["area"].numbers, lines["area"].value) == ("π × 0.6² / 4", "0.282743 mm²")
    assert lines["c_governor"].formula == "[w1 − √(w1² − 4 × k × A)] / (2 × k), k = 1 − π/4 = 0.2146"
    assert lines["c_governor"].numbers == "[2.5 − √(2.5² − 4 × k × 0.282743)] / (2 × k), k = 1 − π/4 = 0.2146"
    assert lines["c_governor"].value == "0.114 mm"
    assert (lines["taper"].numbers, lines["taper"].value) == ("|0.114 − 0.137|", "0.022 mm")
    assert (lines["tightest"].numbers, lines["tightest"].value) == ("least of 0.114, 0.137", "0.114 mm")
    assert (lines["strip"].formula, lines["strip"].numbers, lines["strip"].is_result) == ("", "", False)
    assert lines["taper"].is_result


def test_the_strip_is_worked_in_inches():
    lines = strip_lines("in")

    assert lines["strip"].value == "0.023622 in"
    assert lines["w_governor"].value.endswith(" in")
    assert lines["area"].value == "0.000438253 in²"
    # 0.1142 mm, worked by hand, over 25.4.
    assert read(lines["c_governor"].value, Kind.LENGTH, "in").value == pytest.approx(0.1142, abs=2e-4)


def test_negative_readings_stand_in_brackets():
    heights = (0.0, 0.02, 0.03, 0.02, 0.0, -0.02, -0.03, -0.02)
    readings = {f"station_{number}": height for number, height in enumerate(heights, 1)} | {"back": -0.01}
    lines = lines_of(case("run-out in mm"), readings, "mm")[1]

    assert lines["return_error"].numbers == "|(−0.01) − 0.00|"
    assert lines["highest"].numbers == "greatest of 0.00, 0.02, 0.03, 0.02, 0.00, (−0.02), (−0.03), (−0.02)"
    assert lines["total"].numbers == "0.030 − (−0.030)"
    assert lines["total"].value == "0.060 mm"
    assert (lines["high_spot"].numbers, lines["high_spot"].value) == ("station that reads 0.030", "3")


def test_a_rule_of_64ths_is_worked_in_fractions():
    readings = {"seated": 25.4 * (1 + 3 / 64), "pinned": 25.4 * 3 / 4}
    scenario = case("travel in inches")

    inches, metric = lines_of(scenario, readings, "in")[1], lines_of(scenario, readings, "mm")[1]

    assert inches["seated"].value == "1 3/64 in"
    assert inches["larger"].numbers == "greatest of 1 3/64, 3/4"
    assert (inches["travel"].numbers, inches["travel"].value) == ("1 3/64 − 3/4", "19/64 in")
    assert (inches["eighth"].numbers, inches["eighth"].value) == ("2.5 / 8", "5/16 in")
    assert metric["travel"].value == "7.5 mm"
    # An eighth that is no whole number of 64ths stays a decimal.
    odd = lines_of(case("travel in inches", dims={"valve": 60.0}), readings, "in")[1]
    assert odd["eighth"].value == "0.295 in"


def test_what_only_steers_the_draw_is_not_shown():
    lines = lines_of(case("reading in mm"), {"reading": 61.37}, "mm")[1]

    assert list(lines) == ["reading"]
    assert lines["reading"].value == "61.37 mm"


@given(cases, systems, seeds)
def test_every_line_of_every_method_can_be_shown(name, system, seed):
    scenario = case(name)
    values, lines = lines_of(scenario, draw(scenario, seed).readings, system)
    method = scenario.method

    assert list(lines) == [
        one.name for one in (*(dim for dim in method.dims if dim.is_shown), *method.readings, *method.lines)
    ]
    symbols = {one.symbol for one in (*method.dims, *method.readings, *method.lines)}
    for line in method.lines:
        shown = lines[line.name]
        unit = unit_of(line, system)
        assert shown.value.endswith(unit)
        assert read(shown.value, line.kind, unit).value == pytest.approx(values[line.name], rel=0.02, abs=0.06)
        assert shown.numbers, f"no number stands in {line.formula}"
        # No symbol is left, but for those of the formula itself (k is given in it).
        left = set(re.findall(r"(?<![\w.])[A-Za-z]+[0-9]*(?!\w)", shown.numbers, flags=re.ASCII)) & symbols
        assert not left, shown.numbers


@given(st.sampled_from(WORKED), seeds)
def test_the_arithmetic_that_is_shown_comes_to_the_result_that_is_shown(name, seed):
    # Plain differences, sums and parts are worked again from the figures as they are printed.
    scenario = case(name)
    values, lines = lines_of(scenario, draw(scenario, seed).readings, "mm")
    steps = steps_of(scenario, draw(scenario, seed).readings)
    for line in lines.values():
        plain = re.sub(r"\|([^|]*)\|", r"abs(\1)", line.numbers.replace("−", "-"))
        if not re.fullmatch(r"(?:abs|[-0-9. ()+/])+", plain):
            continue
        comes_to = eval(plain)  # noqa: S307  figures and signs alone: looked at above
        # A note in °F read in °C, or a turn, is printed to figures of its own.
        slack = 2 * max(steps.values()) + 1e-9 if scenario.method.line(line.name).kind is Kind.LENGTH else 0.11
        unit = unit_of(scenario.method.line(line.name), "mm")
        assert comes_to == pytest.approx(from_inner(values[line.name], unit), abs=slack), line


@given(cases, systems, seeds)
def test_what_is_shown_is_right_within_the_tolerance(name, system, seed):
    # Who writes down what the worked solution shows is never wrong by its rounding.
    scenario = case(name)
    readings = draw(scenario, seed).readings
    values, lines = lines_of(scenario, readings, system)
    for result, tolerance in tolerances(scenario, readings).items():
        line = scenario.method.line(result)
        shown = read(lines[result].value, line.kind, unit_of(line, system)).value
        assert abs(shown - values[result]) <= tolerance + 1e-7, result
    for reading in scenario.method.readings:
        text = reading_text(scenario, reading.name, readings[reading.name])
        shown = read(text, reading.kind, scenario.instruments[reading.name].unit).value
        assert abs(shown - readings[reading.name]) <= 1e-7


def test_a_reading_is_written_as_its_instrument_gives_it():
    assert reading_text(case("reading in inches"), "reading", 25.4 * (2 + 34 / 64)) == "2 17/32 in"
    assert reading_text(case("reading in mm"), "reading", 61.3) == "61.30 mm"
    assert reading_text(case("bore in inches"), "bore_governor_vertical", 2.4003 * 25.4) == "2.4003 in"
    assert is_of_64ths(case("reading in inches"), "reading")
    assert not is_of_64ths(case("bore in inches"), "bore_governor_vertical")


@pytest.mark.parametrize(
    ("allowed", "step"),
    [(0.02, 0.001), (0.005, 0.001), (0.0049, 0.001), (0.001, 0.001), (0.0009, 0.0001), (1e-9, 1e-6), (0.0, 1e-6)],
)
def test_a_result_is_written_as_fine_as_it_can_be_told_and_no_finer(allowed, step):
    # On a micrometer of 0.01 mm: never coarser than half of that allows.
    assert shown_step(case("bore in mm"), allowed) == pytest.approx(step)


@given(st.floats(1e-5, 10))
def test_the_step_of_a_result_is_never_over_its_tolerance(allowed):
    step = shown_step(case("strip in mm"), allowed)

    assert step <= allowed * (1 + 1e-6)
    assert math.log10(step) == pytest.approx(round(math.log10(step)), abs=1e-9)


@pytest.mark.parametrize("kind", Kind)
def test_every_kind_has_a_unit_in_both_systems(kind):
    for system in SYSTEMS:
        read(f"1 {unit_for(kind, system)}", kind, unit_for(kind, system))
    assert unit_for(Kind.LENGTH, "mm") == "mm"
    assert unit_for(Kind.LENGTH, "in") == "in"
    assert unit_for(Kind.SPEED, "in") == "rpm"
    assert unit_for(Kind.TORQUE, "in") == "lbf ft"


@pytest.mark.parametrize(
    ("formula", "written", "says"),
    [
        ("c1 − c2", {"c1": "3", "c2": "4"}, "3 − 4"),
        ("c1 + c12", {"c1": "3", "c12": "4"}, "3 + 4"),
        ("w² − 4 k A", {"w": "−2.5", "A": "0.3"}, "(−2.5)² − 4 k 0.3"),
        ("greatest of R1, R2", {"R1": "0.01", "R2": "−0.02", "e": "9", "o": "8"}, "greatest of 0.01, (−0.02)"),
        ("|c1 − c2|", {"c": "7"}, "|c1 − c2|"),
        ("2.e", {"e": "1"}, "2.e"),
        ("π d² / 4", {}, "π d² / 4"),
    ],
)
def test_numbers_are_put_in_for_whole_symbols_only(formula, written, says):
    assert put_in(formula, written) == says


def test_a_result_is_in_fractions_only_where_every_instrument_is():
    mixed = {"seated": find_instrument("steel_rule_64ths"), "pinned": find_instrument("steel_rule_half_millimetres")}

    assert result_text(case("travel in inches"), 25.4 / 4, Kind.LENGTH, "in", 0.1) == "1/4 in"
    assert result_text(case("travel in inches"), 25.4 / 4, Kind.LENGTH, "mm", 0.1) == "6.4 mm"  # 6.35, rounded up
    assert result_text(case("travel in inches"), 25.4 / 100, Kind.LENGTH, "in", 0.1) == "0.010 in"
    assert result_text(case("travel in inches", instruments=mixed), 25.4 / 4, Kind.LENGTH, "in", 0.1) == "0.250 in"
    assert result_text(case("run-out in mm"), 3.0, Kind.COUNT, "in", None) == "3"
