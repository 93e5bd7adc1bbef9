"""Outside: Monte-Carlo runs after JCGM 100:2008 (law of propagation, 5.1.2) and sensitivities derived by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.carrying import corners, counts, tolerances
from assessments.engine.draws import draw
from assessments.engine.instruments import find_instrument
from assessments.engine.kinds import Kind
from assessments.engine.scenario import Carry
from tests.cases import WORKED, case
from tests.strategies import seeds

INCH = 25.4
STRAY = 1e-9  # of floats

cases = st.sampled_from(WORKED)
steps = st.sampled_from([0.5, 1.0])


def lengths(scenario):
    return [line.name for line in scenario.method.results if line.kind is Kind.LENGTH]


def moved(scenario, readings, unit_moves):
    """Readings, each moved by so many tolerances (arrays)."""
    return {
        name: reading + scenario.reading_tolerance(name) * move
        for (name, reading), move in zip(readings.items(), unit_moves, strict=True)
    }


def strays(scenario, readings, unit_moves, name):
    """How far a result gets from where it was."""
    values = scenario.method.work(moved(scenario, readings, unit_moves), scenario.dims)[name]
    return np.abs(values - scenario.method.work_one(readings, scenario.dims)[name])


@given(cases, steps, seeds)
def test_no_place_in_the_box_is_beyond_the_tolerance(name, reading_steps, seed):
    # 2,000 places at once, a third of them on the faces and edges of the box.
    scenario = case(name, reading_steps=reading_steps)
    readings = draw(scenario, seed).readings
    chance = np.random.default_rng(seed)
    places = np.clip(chance.uniform(-1.5, 1.5, (len(readings), 2000)), -1, 1)
    found = tolerances(scenario, readings)

    for result in lengths(scenario):
        farthest = float(np.max(strays(scenario, readings, places, result)))
        assert farthest <= found[result] + STRAY, result


@given(cases, steps, seeds, st.lists(st.tuples(st.integers(0, 8), st.integers(0, 8), st.floats(-1, 1)), max_size=30))
def test_nor_where_readings_meet(name, reading_steps, seed, meetings):
    # Where a greatest or a least changes hands, and where a difference passes through nothing.
    scenario = case(name, reading_steps=reading_steps)
    readings = draw(scenario, seed).readings
    names = list(readings)
    allowed = {reading: scenario.reading_tolerance(reading) for reading in names}
    found = tolerances(scenario, readings)
    middle = scenario.method.work_one(readings, scenario.dims)
    at = dict(readings)
    for first, second, share in meetings:
        one, other = names[first % len(names)], names[second % len(names)]
        meet = (at[one] + at[other]) / 2 + share * allowed[one]
        at[one] = min(max(meet, readings[one] - allowed[one]), readings[one] + allowed[one])
        at[other] = min(max(meet, readings[other] - allowed[other]), readings[other] + allowed[other])
        values = scenario.method.work_one(at, scenario.dims)
        for result in lengths(scenario):
            assert abs(values[result] - middle[result]) <= found[result] + STRAY, result


@pytest.mark.parametrize("name", WORKED)
def test_worst_case_is_what_a_monte_carlo_run_comes_near_and_never_passes(name):
    # Readings anywhere within tolerance, evenly (rectangular, JCGM 100:2008, 4.3.7).
    scenario = case(name)
    chance = np.random.default_rng(7)
    for seed in range(12):
        readings = draw(scenario, seed).readings
        places = chance.uniform(-1, 1, (len(readings), 40_000))
        found = tolerances(scenario, readings)
        for result in lengths(scenario):
            farthest = float(np.max(strays(scenario, readings, places, result)))
            assert farthest <= found[result] + STRAY
            if result != "eighth":  # which no reading moves
                assert farthest >= 0.5 * found[result], result


@pytest.mark.parametrize(
    ("gap_thou", "slope"),
    [(2, 0.051), (3, 0.117), (4, 0.213)],
)
def test_the_strip_s_tolerance_is_its_sensitivity_times_the_reading_s(gap_thou, slope):
    # dh/dw of a strip of 0.010 in at clearances of 2, 3 and 4 thou, derived by hand to three places.
    strip = 0.010 * INCH
    gap = gap_thou * 0.001 * INCH
    width = math.pi / 4 * (strip**2 - gap**2) / gap + gap
    scenario = case("strip in mm", dims={"strip": strip}, asked=("c_governor",))

    found = tolerances(scenario, {"w_governor": width, "w_coupling": width})["c_governor"]

    # Half a tenth of a millimetre is much for so small a strip: the curve's bend shows, so the middle of both sides.
    reach = scenario.reading_tolerance("w_governor")
    c = [
        scenario.method.work_one({"w_governor": w, "w_coupling": w}, scenario.dims)["c_governor"]
        for w in (width - reach, width + reach)
    ]
    assert (c[0] - c[1]) / (2 * reach) == pytest.approx(slope, rel=0.12)
    assert found == pytest.approx(max(c[0] - gap, gap - c[1]), rel=1e-9)


def test_two_readings_add_up_by_hand():
    # By hand: bore and journal within half of 0.01 mm each, so least bore less greatest journal within 0.01 mm.
    scenario = case("bore in mm")
    readings = {
        f"bore_{place}": size
        for place, size in zip(
            ("governor_vertical", "governor_horizontal", "coupling_vertical", "coupling_horizontal"),
            (60.10, 60.14, 60.12, 60.13),
            strict=True,
        )
    }
    readings |= {
        f"journal_{place}": size
        for place, size in zip(
            ("governor_vertical", "governor_horizontal", "coupling_vertical", "coupling_horizontal"),
            (59.98, 60.00, 59.99, 59.99),
            strict=True,
        )
    }
    worst = tolerances(scenario, readings)
    together = tolerances(case("bore in mm", carry=Carry.ROOT_SUM_SQUARE), readings)

    assert worst["least_clearance"] == pytest.approx(0.01)
    assert worst["mean_clearance"] == pytest.approx(0.01)
    assert together["least_clearance"] == pytest.approx(0.005 * math.sqrt(2))
    assert together["mean_clearance"] == pytest.approx(0.005 * math.sqrt(8) / 4)


LINEAR = [
    ("bore in mm", "mean_clearance"),
    ("bore in inches", "mean_clearance"),
    ("travel in mm", "travel"),
    ("travel in inches", "travel"),
]
NEARLY = [
    ("strip in mm", "c_governor"),
    ("strip in mm", "c_coupling"),
    ("strip in mm", "mean"),
    ("strip in inches", "mean"),
]


@pytest.mark.parametrize(("name", "result"), LINEAR + NEARLY)
def test_root_sum_square_is_the_spread_that_a_monte_carlo_run_finds(name, result):
    """What is compared: readings independent, each normal with its tolerance as standard deviation; the standard
    deviation of the result. For results straight in the readings both are the same but for chance; for a curve
    (JCGM 100:2008, 5.1.2, note: only the first order counts) a tenth apart at the most.
    """
    scenario = case(name, carry=Carry.ROOT_SUM_SQUARE)
    chance = np.random.default_rng(11)
    for seed in range(6):
        readings = draw(scenario, seed).readings
        found = tolerances(scenario, readings)[result]
        # A tenth of the tolerance, times ten: so that a curve is straight and no sign changes.
        places = chance.normal(0, 0.1, (len(readings), 200_000))
        values = scenario.method.work(moved(scenario, readings, places), scenario.dims)[result]
        assert 10 * float(np.std(values)) == pytest.approx(found, rel=0.01 if (name, result) in LINEAR else 0.1)


@pytest.mark.parametrize("name", ["bore in mm", "travel in mm"])
def test_evenly_spread_readings_spread_a_straight_result_by_a_root_of_three_less(name):
    # A rectangular half-width a has standard uncertainty a / sqrt(3): JCGM 100:2008, 4.3.7.
    scenario = case(name, carry=Carry.ROOT_SUM_SQUARE)
    result = dict(LINEAR)[name]
    readings = draw(scenario, 3).readings
    places = np.random.default_rng(5).uniform(-1, 1, (len(readings), 200_000))
    values = scenario.method.work(moved(scenario, readings, places), scenario.dims)[result]

    assert float(np.std(values)) * math.sqrt(3) == pytest.approx(tolerances(scenario, readings)[result], rel=0.01)


@given(cases, seeds)
def test_root_sum_square_is_never_wider_than_worst_case(name, seed):
    scenario = case(name)
    readings = draw(scenario, seed).readings
    worst, together = tolerances(scenario, readings), tolerances(case(name, carry=Carry.ROOT_SUM_SQUARE), readings)

    assert worst.keys() == together.keys() == set(scenario.asked)
    for result, tolerance in together.items():
        assert tolerance <= worst[result] * (1 + 1e-9) + STRAY


@pytest.mark.parametrize("carry", Carry)
def test_a_result_that_no_reading_moves_is_right_within_half_the_finest_step(carry):
    # 50 / 8 = 6.25 mm: who writes 6.3 beside a rule of half millimetres has it right.
    readings = {"seated": 40.0, "pinned": 33.0}

    assert tolerances(case("travel in mm", carry=carry), readings)["eighth"] == 0.25
    assert tolerances(case("travel in inches", carry=carry), readings)["eighth"] == pytest.approx(INCH / 128)


@pytest.mark.parametrize("carry", Carry)
def test_places_that_cannot_be_worked_do_not_count(carry):
    # A strip hardly squashed: half a step narrower it would be narrower than it was when round, and have no clearance.
    scenario = case("strip in inches", dims={"strip": 0.3}, carry=carry, asked=("c_governor", "taper"))

    found = tolerances(scenario, {"w_governor": 0.3, "w_coupling": 0.7})

    assert all(math.isfinite(tolerance) and tolerance > 0 for tolerance in found.values())


def run_out(*heights):
    return {**{f"station_{number}": height for number, height in enumerate(heights, 1)}, "back": heights[0]}


def test_a_count_has_no_tolerance_but_all_that_it_can_be():
    scenario = case("run-out in mm", asked=("total", "high_spot"))
    near = run_out(0.0, 0.01, 0.03, 0.03, 0.02, 0.01, -0.01, 0.02)

    assert tolerances(scenario, near)["high_spot"] == 0.0
    # Stations 3 and 4 read the same; 5 and 8 are a whole step less, and half a step up meets half a step down.
    assert counts(scenario, near)["high_spot"][0] == 3
    assert {3, 4} <= set(counts(scenario, near)["high_spot"]) <= {3, 4, 5, 8}


def test_a_station_next_to_the_high_spot_in_number_alone_is_not_right():
    scenario = case("run-out in mm", asked=("high_spot",))

    assert counts(scenario, run_out(0.0, 0.02, 0.05, 0.02, 0.0, -0.01, -0.02, -0.01))["high_spot"] == (3.0,)
    # Around the turn: 8 and 1 are neighbours in height here, and 4 is nowhere near.
    assert set(counts(scenario, run_out(0.0, -0.02, -0.03, -0.05, -0.05, -0.03, -0.02, 0.0))["high_spot"]) == {1.0, 8.0}


def test_there_are_no_counts_where_none_is_asked():
    assert counts(case("run-out in mm", asked=("total",)), run_out(*[0.0] * 8)) == {}


def test_corners_are_all_of_them_with_the_readings_first():
    scenario = case("strip in mm")
    readings = {"w_governor": np.array([2.5, 2.0]), "w_coupling": np.array([2.1, 2.2])}

    found, rows = corners(scenario, readings)

    assert rows == 5
    pairs = np.stack([found["w_governor"], found["w_coupling"]]).reshape(2, rows, 2)
    assert pairs[:, 0].tolist() == [[2.5, 2.0], [2.1, 2.2]]
    for number, (first, second) in enumerate([(2.5, 2.1), (2.0, 2.2)]):
        around = {tuple(row) for row in np.round(pairs[:, 1:, number].T, 6).tolist()}
        assert around == {(round(first + a, 6), round(second + b, 6)) for a in (-0.05, 0.05) for b in (-0.05, 0.05)}


def test_instruments_of_different_steps_each_move_by_their_own():
    rules = {"seated": find_instrument("steel_rule_64ths"), "pinned": find_instrument("steel_rule_half_millimetres")}
    scenario = case("travel in mm", instruments=rules, asked=("travel",))

    found = tolerances(scenario, {"seated": 2 * INCH, "pinned": 40.0})

    assert found["travel"] == pytest.approx(INCH / 128 + 0.25)


def test_a_result_that_nothing_here_reads_is_right_to_three_figures():
    # No instrument here reads a force, an area or a part: 0.7 of 126 kN is 88 200 N, and 3/4-10 has 215.7 mm2 (table
    # .334 in2, 215.5). A torque is read to one lbf ft here, 1.356 N m, and a setting need be no finer.
    scenario = case("screw in inches")
    drawn = draw(scenario, 0)
    found, worked = tolerances(scenario, drawn.readings), scenario.method.work_one(drawn.readings, scenario.dims)

    assert found["preload"] == pytest.approx(441.0)
    assert found["area"] == pytest.approx(215.78 / 200, rel=1e-3)
    assert abs(0.334 * INCH**2 - worked["area"]) < found["area"]
    assert found["setting"] == pytest.approx(1.3558 / 2, rel=1e-4)
    assert found["pull"] == pytest.approx(max(worked["pull"] / 200, found["given"] / worked["given"] * worked["pull"]))


def test_an_angle_is_right_to_three_figures_in_degrees():
    scenario = case("sling in mm")
    drawn = draw(scenario, 0)
    angle = math.degrees(scenario.method.work_one(drawn.readings, scenario.dims)["angle"])

    assert math.radians(abs(round(angle, 1) - angle)) <= tolerances(scenario, drawn.readings)["angle"]


def test_a_result_of_nothing_has_no_third_figure():
    scenario = case("screw in mm", asked=("preload",))
    nothing = replace(
        scenario, method=replace(scenario.method, lines=(replace(scenario.method.lines[0], rule=lambda _: 0.0),))
    )

    assert tolerances(nothing, draw(scenario, 0).readings) == {"preload": 0.0}


@given(st.sampled_from(["strip in mm", "strip in inches", "heavy strip in mm"]), seeds)
def test_one_reading_alone_strays_by_its_worse_side_either_way_of_adding_up(name, seed):
    # A curve is steeper on one side: the larger counts, not the mean of both.
    scenario = case(name)
    readings = draw(scenario, seed).readings
    worst, together = tolerances(scenario, readings), tolerances(case(name, carry=Carry.ROOT_SUM_SQUARE), readings)

    assert together["c_governor"] == pytest.approx(worst["c_governor"], rel=1e-9)
