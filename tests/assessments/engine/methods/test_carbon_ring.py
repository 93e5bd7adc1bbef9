"""Outside: Bloch and Geitner, vol. 4, p. 344 (steel less carbon 4.0e-6 in/in/F); Callister, table B.6."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.expansion import FAHRENHEIT, MATERIALS
from assessments.engine.methods.carbon_ring import COLDEST, METHOD, WARMEST, WEAR
from assessments.engine.quantities import to_inner
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict, judge

INCH = 25.4
DIMS = {"nominal": 50.0, "t_run": 220.0, "a_ring": 4.5e-6, "a_shaft": 11.7e-6}
LIMITS = {"cold": Limit.between(0.12, 0.20, source="test"), "hot": Limit.at_least(0.04, source="test")}


def measured(shaft, cold, bench=20.0):
    return {"ring": shaft + cold, "shaft": shaft, "t_bench": bench}


def wrong(name, readings, dims=DIMS):
    return METHOD.work_one(readings, dims, instead=next(slip for slip in METHOD.slips if slip.name == name).rules)


def test_two_inches_and_four_hundred_degrees_fahrenheit_close_by_the_published_differential():
    # Differential 4.0e-6 in/in/F, Bloch and Geitner, vol. 4, p. 344: D 2 in, 400 F closes .0032 of .0060 in, leaving .0028.
    dims = {
        "nominal": 2 * INCH,
        "t_run": to_inner(468.0, "°F"),
        "a_ring": to_inner(2.5e-6, "1/°F"),
        "a_shaft": to_inner(6.5e-6, "1/°F"),
    }
    worked = METHOD.work_one(measured(2 * INCH, 0.006 * INCH, bench=to_inner(68.0, "°F")), dims)

    assert worked["difference"] == pytest.approx(400 * FAHRENHEIT)
    assert pytest.approx(0.0032) == 4.0e-6 * 2 * 400
    assert worked["hot"] / INCH == pytest.approx(0.0028, abs=5e-5)
    # Exact, with the ring's own size (derived): 0.002806 in.
    assert worked["hot"] / INCH == pytest.approx(0.002806, abs=1e-6)
    assert worked["closes"] / INCH == pytest.approx(0.003194, abs=1e-6)


def test_fifty_millimetres_and_two_hundred_degrees():
    # Coefficients after Callister, table B.6 (1020 steel 11.7e-6; a carbon of 4.5e-6); worked outside this code: 0.07813 mm.
    worked = METHOD.work_one(measured(50.0, 0.150), DIMS)

    assert worked["cold"] == pytest.approx(0.150)
    assert worked["difference"] == 200
    assert worked["hot"] == pytest.approx(0.07813, abs=1e-5)


@given(st.floats(20, 150), st.floats(0.0, 0.5), st.floats(20, 500))
def test_it_closes_as_the_short_form_says_but_for_the_ring_s_own_growth(shaft, cold, warmer):
    # c_hot ~ c0 - (as - ar) D dT; what the short form leaves out is c0 ar dT.
    dims = {**DIMS, "t_run": 20.0 + warmer}
    worked = METHOD.work_one(measured(shaft, cold), dims)
    short = cold - (dims["a_shaft"] - dims["a_ring"]) * shaft * warmer

    assert worked["hot"] - short == pytest.approx(cold * dims["a_ring"] * warmer, abs=1e-9)


@given(st.floats(50, 1000), st.floats(40, 90))
def test_degrees_of_either_scale_give_the_same_ring(run_f, bench_f):
    # The same ring measured and worked in Fahrenheit by hand: levels with the 32, the difference without it.
    dims = {**DIMS, "t_run": to_inner(run_f + 100, "°F")}
    worked = METHOD.work_one(measured(50.0, 0.15, to_inner(bench_f, "°F")), dims)
    by_hand = 50.15 * (1 + 2.5e-6 * (run_f + 100 - bench_f)) - 50 * (1 + 6.5e-6 * (run_f + 100 - bench_f))

    assert worked["hot"] == pytest.approx(by_hand, abs=1e-9)


def test_a_ring_of_the_shaft_s_own_steel_does_not_close():
    steel = MATERIALS["steel_1020"].middle
    worked = METHOD.work_one(measured(50.0, 0.15), {**DIMS, "a_ring": steel, "a_shaft": steel})

    assert worked["hot"] == pytest.approx(0.15 * (1 + steel * 200), abs=1e-12)


READ = measured(50.0, 0.15)


@pytest.mark.parametrize(
    ("slip", "result", "number"),
    [
        ("no_expansion", "hot", 0.15),
        ("no_expansion", "closes", 0.0),
        ("wrong_sign", "hot", 0.15 - 50.15 * 9e-4 + 50 * 2.34e-3),  # 4.5e-6 and 11.7e-6 by 200
        ("shaft_s_coefficient_for_both", "hot", 0.15 * (1 + 2.34e-3)),
        ("ring_s_coefficient_for_both", "hot", 0.15 * (1 + 9e-4)),
        ("coefficients_exchanged", "hot", 0.15 + 50.15 * 2.34e-3 - 50 * 9e-4),
        ("shaft_alone_grows", "hot", 0.15 - 50 * 2.34e-3),
        ("converted_with_32_taken_off", "difference", 200 - 160 / 9),
        ("converted_with_32_added", "difference", 200 + 160 / 9),
        ("level_for_difference_celsius", "difference", 220),
        ("level_for_difference_fahrenheit", "difference", 428 / 1.8),  # 220 °C is 428 °F
        ("fahrenheit_with_coefficient_per_celsius", "hot", 0.15 + 1.8 * (50.15 * 9e-4 - 50 * 2.34e-3)),
        ("celsius_with_coefficient_per_fahrenheit", "hot", 0.15 + (50.15 * 9e-4 - 50 * 2.34e-3) / 1.8),
        ("sheet_shaft", "cold", 0.15),
        ("halved", "cold", 0.075),
        ("halved", "hot", 0.0390675),
    ],
)
def test_a_slip_gives_the_number_worked_by_hand(slip, result, number):
    assert wrong(slip, READ)[result] == pytest.approx(number, abs=1e-6)


def test_a_worn_shaft_is_not_the_sheet_s():
    worn = measured(49.98, 0.17)

    assert METHOD.work_one(worn, DIMS)["cold"] == pytest.approx(0.17)
    assert wrong("sheet_shaft", worn)["cold"] == pytest.approx(0.15)
    assert wrong("sheet_shaft", worn)["hot"] == pytest.approx(0.07813, abs=1e-5)


def test_a_difference_astray_is_carried_into_the_hot_clearance():
    for slip in ("converted_with_32_taken_off", "converted_with_32_added", "level_for_difference_celsius"):
        worked = wrong(slip, READ)
        by_hand = 50.15 * (1 + 4.5e-6 * worked["difference"]) - 50 * (1 + 11.7e-6 * worked["difference"])
        assert worked["hot"] == pytest.approx(by_hand)


@pytest.mark.parametrize(
    ("cold", "hot_least", "verdict"),
    [
        (0.15, 0.04, Verdict.INSIDE),
        (0.11, 0.03, Verdict.LOW),
        (0.21, 0.04, Verdict.HIGH),
        (0.125, 0.06, Verdict.LOW),  # inside on the bench, too tight in the gland
    ],
)
def test_it_has_to_be_right_on_the_bench_and_in_the_gland(cold, hot_least, verdict):
    limits = {**LIMITS, "hot": Limit.at_least(hot_least, source="test")}

    assert judge(METHOD.work_one(measured(50.0, cold), DIMS), limits, METHOD.held) == (verdict,)


numbers = st.floats(0, 1, exclude_max=True)


@given(st.floats(0.05, 0.4), st.tuples(numbers, numbers))
def test_a_drawn_ring_has_the_cold_clearance_aimed_at(cold, chance):
    readings = METHOD.simulate({"cold": cold}, DIMS, chance)

    METHOD.check(readings, DIMS)
    assert METHOD.work_one(readings, DIMS)["cold"] == pytest.approx(cold, abs=1e-9)
    assert 50 * (1 - WEAR) <= readings["shaft"] <= 50
    assert COLDEST <= readings["t_bench"] <= WARMEST


@pytest.mark.parametrize(
    ("readings", "dims", "name"),
    [
        ({"ring": 0.0}, {}, "ring"),
        ({"shaft": -50.0}, {}, "shaft"),
        ({"shaft": math.nan}, {}, "shaft"),
        ({"t_bench": math.nan}, {}, "t_bench"),
        ({"t_bench": 220.0}, {}, "t_bench"),
        ({"t_bench": 400.0}, {}, "t_bench"),
        ({}, {"nominal": 0.0}, "nominal"),
        ({}, {"t_run": math.inf}, "t_run"),
        ({}, {"a_ring": 4.5}, "a_ring"),
        ({}, {"a_shaft": 0.0}, "a_shaft"),
    ],
)
def test_what_cannot_be_is_refused(readings, dims, name):
    with pytest.raises(ImpossibleReadingError) as refused:
        METHOD.check({**READ, **readings}, {**DIMS, **dims})

    assert refused.value.name == name


def test_a_cold_bench_is_allowed_and_dims_are_checked_alone():
    METHOD.check(measured(50.0, 0.15, bench=-5.0), DIMS)
    METHOD.check({}, DIMS)


def test_draws_behave(drawn, assert_floats_and_arrays_agree, assert_every_slip_shows):
    _, readings = drawn(METHOD, aims={"cold": (0.1, 0.25)}, dims=DIMS)

    assert_floats_and_arrays_agree(METHOD, readings, DIMS)
    assert_every_slip_shows(METHOD, readings, DIMS)


def test_twice_the_size_has_twice_the_clearances():
    small, large = METHOD.work_one(READ, DIMS), METHOD.work_one(measured(100.0, 0.30), DIMS)

    for name in ("cold", "hot", "closes"):
        assert large[name] == pytest.approx(2 * small[name])
    assert large["difference"] == small["difference"]


def test_cases_have_the_verdict_they_are_named_for(assert_cases_have_the_verdict_they_are_named_for):
    assert_cases_have_the_verdict_they_are_named_for(
        METHOD,
        {"good": Verdict.INSIDE, "tight": Verdict.LOW, "loose": Verdict.HIGH, "just_open": Verdict.INSIDE},
        dims=DIMS,
        limits=LIMITS,
        step=0.002,
    )
