"""Outside: McMillan, Rotating Machinery (2004), p. 146; growth cases of weak pages as plausibility only; Callister, B.6."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.expansion import FAHRENHEIT, MATERIALS
from assessments.engine.methods.support_growth import METHOD
from assessments.engine.quantities import from_inner, to_inner
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict, judge

INCH = 25.4
DIMS = {"height_governor": 400.0, "height_coupling": 380.0, "a_support": 11.4e-6}
LIMITS = {"growth": Limit.between(0.12, 0.24, source="test"), "tilt": Limit.at_most(0.04, source="test")}


def temperatures(cold, governor, coupling):
    return {"t_cold": cold, "t_governor": governor, "t_coupling": coupling}


def wrong(name, readings, dims=DIMS):
    return METHOD.work_one(readings, dims, instead=next(slip for slip in METHOD.slips if slip.name == name).rules)


@pytest.mark.parametrize(
    ("height_in", "per_f", "warmer_f", "growth_in", "printed"),
    [
        (26, 5.9e-6, 250, 0.03835, 0.038),  # a growth article, plausibility only
        (12, 6.3e-6, 100, 0.0076, 0.008),  # mild steel, a weak page, plausibility only
        (20, 6.5e-6, 180, 0.0234, None),  # derived
        (1, 6.3e-6, 1, 0.0063e-3, None),  # McMillan p. 146: 0.0063 mil per inch and degree Fahrenheit, steel and iron
    ],
)
def test_supports_grow_as_printed(height_in, per_f, warmer_f, growth_in, printed):
    dims = dict.fromkeys(("height_governor", "height_coupling"), height_in * INCH) | {
        "a_support": to_inner(per_f, "1/°F")
    }
    readings = temperatures(to_inner(70.0, "°F"), to_inner(70.0 + warmer_f, "°F"), to_inner(70.0, "°F"))
    worked = METHOD.work_one(readings, dims)

    assert worked["growth_governor"] / INCH == pytest.approx(growth_in, rel=6e-3)
    assert worked["growth_coupling"] == pytest.approx(0.0, abs=1e-12)
    assert worked["tilt"] == pytest.approx(worked["growth_governor"])
    if printed:
        assert worked["growth_governor"] / INCH == pytest.approx(printed, abs=5e-4)


def test_the_handbook_s_figure_for_supports_lies_among_the_table_s_steels_and_irons():
    # McMillan p. 146 against Callister, table B.6.
    among = [from_inner(MATERIALS[name].middle, "µin/(in·°F)") for name in ("steel_1020", "steel_1040", "grey_iron")]

    assert min(among) - 0.05 <= 6.3 <= max(among) + 0.05


READ = temperatures(20.0, 60.0, 55.0)  # by hand: 40 and 35 K; 0.1824 and 0.15162 mm


@pytest.mark.parametrize(
    ("slip", "result", "number"),
    [
        ("converted_with_32_taken_off", "warmer_governor", 40 - 160 / 9),
        ("converted_with_32_added", "warmer_coupling", 35 + 160 / 9),
        ("level_for_difference_celsius", "warmer_governor", 60.0),
        ("level_for_difference_celsius", "growth_governor", 0.2736),
        ("level_for_difference_fahrenheit", "warmer_governor", 140 / 1.8),  # 60 °C is 140 °F
        ("fahrenheit_with_coefficient_per_celsius", "growth_governor", 0.1824 * 1.8),
        ("celsius_with_coefficient_per_fahrenheit", "growth_governor", 0.1824 / 1.8),
        ("made_to_shrink", "growth_coupling", -0.15162),
        ("heights_exchanged", "growth_governor", 0.17328),
        ("heights_exchanged", "growth_coupling", 0.1596),
        ("one_temperature_for_both", "warmer_coupling", 40.0),
        ("one_temperature_for_both", "growth_coupling", 0.17328),
        ("growths_added", "tilt", 0.33402),
    ],
)
def test_a_slip_gives_the_number_worked_by_hand(slip, result, number):
    right = METHOD.work_one(READ, DIMS)

    assert [right[line.name] for line in METHOD.lines] == pytest.approx([40, 35, 0.1824, 0.15162, 0.03078])
    assert wrong(slip, READ)[result] == pytest.approx(number)


@given(st.floats(-10, 40), st.floats(1, 200))
def test_fahrenheit_by_hand_gives_the_same_growth(cold, warmer):
    # a per °F times a difference in °F, no 32 anywhere.
    worked = METHOD.work_one(temperatures(cold, cold + warmer, cold), DIMS)
    cold_f, hot_f = (from_inner(one, "°F") for one in (cold, cold + warmer))

    assert worked["growth_governor"] == pytest.approx(400 * 11.4e-6 * FAHRENHEIT * (hot_f - cold_f), abs=1e-9)


@pytest.mark.parametrize(
    ("readings", "verdict"),
    [
        (READ, Verdict.INSIDE),
        (temperatures(20.0, 45.0, 46.0), Verdict.LOW),
        (temperatures(20.0, 75.0, 72.0), Verdict.HIGH),
        (temperatures(20.0, 70.0, 55.0), Verdict.FORM),
    ],
)
def test_both_ends_and_their_difference_have_to_be_as_allowed_for(readings, verdict):
    assert judge(METHOD.work_one(readings, DIMS), LIMITS, METHOD.held) == (verdict,)


numbers = st.floats(0, 1, exclude_max=True)


@given(st.floats(0.02, 1.0), st.floats(0, 0.04), st.tuples(numbers, numbers))
def test_drawn_supports_grow_as_aimed_at(growth, tilt, chance):
    readings = METHOD.simulate({"growth": growth, "tilt": tilt}, DIMS, chance)
    worked = METHOD.work_one(readings, DIMS)

    assert (worked["growth_governor"] + worked["growth_coupling"]) / 2 == pytest.approx(growth)
    assert worked["tilt"] == pytest.approx(tilt, abs=1e-9)
    METHOD.check(readings, DIMS)


@pytest.mark.parametrize(
    ("readings", "dims", "name"),
    [
        ({"t_cold": -61.0}, {}, "t_cold"),
        ({"t_governor": 701.0}, {}, "t_governor"),
        ({"t_coupling": math.nan}, {}, "t_coupling"),
        ({}, {"height_governor": 0.0}, "height_governor"),
        ({}, {"height_coupling": -1.0}, "height_coupling"),
        ({}, {"a_support": 11.4}, "a_support"),
    ],
)
def test_what_cannot_be_is_refused(readings, dims, name):
    with pytest.raises(ImpossibleReadingError) as refused:
        METHOD.check({**READ, **readings}, {**DIMS, **dims})

    assert refused.value.name == name
    METHOD.check({}, DIMS)


def test_the_extremes_are_allowed():
    METHOD.check(temperatures(-60.0, 700.0, 20.0), DIMS)


def test_draws_behave(drawn, assert_floats_and_arrays_agree, assert_every_slip_shows):
    _, readings = drawn(METHOD, aims={"growth": (0.1, 0.3), "tilt": (0.0, 0.08)}, dims=DIMS)

    assert_floats_and_arrays_agree(METHOD, readings, DIMS)
    assert_every_slip_shows(METHOD, readings, DIMS)


def test_cases_have_the_verdict_they_are_named_for(assert_cases_have_the_verdict_they_are_named_for):
    assert_cases_have_the_verdict_they_are_named_for(
        METHOD,
        {"good": Verdict.INSIDE, "less": Verdict.LOW, "more": Verdict.HIGH, "uneven": Verdict.FORM},
        dims=DIMS,
        limits=LIMITS,
        step=0.01,
    )
