"""Outside: the geometry of a lifted valve, and Python's own fractions for the arithmetic of a rule."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.methods.valve_travel import METHOD
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict, judge

VALVE = {"valve": 2 * 25.4}
LIMITS = {"travel": Limit.plus_minus(6.35, 0.8, source="test")}


def rule(seated, pinned):
    """Readings in mm from two readings of a rule in inches, as fractions."""
    return {"seated": float(Fraction(seated)) * 25.4, "pinned": float(Fraction(pinned)) * 25.4}


def rules_of(name):
    return next(slip for slip in METHOD.slips if slip.name == name).rules


def wrong(name, readings, dims=VALVE):
    return METHOD.work_one(readings, dims, instead=rules_of(name))


sixty_fourths = st.integers(1, 6 * 64)


@given(sixty_fourths, sixty_fourths)
def test_the_travel_is_the_difference_of_the_fractions(seated, pinned):
    travel = METHOD.work_one(rule(Fraction(seated, 64), Fraction(pinned, 64)), VALVE)["travel"]

    assert travel / 25.4 == pytest.approx(float(abs(Fraction(seated, 64) - Fraction(pinned, 64))), abs=1e-12)


def test_one_and_three_64ths_less_51_64ths_is_a_quarter():
    assert METHOD.work_one(rule(Fraction(67, 64), Fraction(51, 64)), VALVE)["travel"] == pytest.approx(25.4 / 4)


@pytest.mark.parametrize(("part", "lift"), [("eighth", 5.0), ("quarter", 10.0)])
def test_an_eighth_opens_half_the_port_and_a_quarter_all_of_it(part, lift):
    # Port of 40 mm: area 1256.637 mm2 (pi D^2 / 4); area round the edge of the lifted valve pi D L (derived).
    readings = {"seated": 30.0, "pinned": 35.0}
    dims = {"valve": 40.0}
    worked = METHOD.work_one(readings, dims) if part == "eighth" else wrong("quarter", readings, dims)

    assert worked["eighth"] == lift
    curtain = math.pi * 40.0 * worked["eighth"]
    assert curtain / 1256.637 == pytest.approx({"eighth": 0.5, "quarter": 1.0}[part], abs=1e-6)


def test_a_published_full_lift_lies_above_an_eighth_and_under_a_quarter():
    # Plausibility only: a valve of 51 mm whose port of 1600 mm2, factor 0.98, wants 10.19 mm of lift.
    lift = 1600 / (math.pi * 51 * 0.98)

    worked = METHOD.work_one({"seated": 30.0, "pinned": 35.0}, {"valve": 51.0})

    assert lift == pytest.approx(10.19, abs=0.01)
    assert worked["eighth"] < lift < 2 * worked["eighth"]


@given(sixty_fourths, sixty_fourths)
def test_bottoms_added_is_what_top_from_top_over_both_bottoms_gives(seated, pinned):
    large, small = Fraction(max(seated, pinned), 64), Fraction(min(seated, pinned), 64)
    by_hand = abs(Fraction(large.numerator - small.numerator, large.denominator + small.denominator))

    travel = wrong("bottoms_added", rule(Fraction(seated, 64), Fraction(pinned, 64)))["travel"]

    assert travel / 25.4 == pytest.approx(float(by_hand), abs=1e-12)


@pytest.mark.parametrize(
    ("slip", "travel"),
    [
        ("subtracted_backwards", Fraction(-1, 4)),
        ("added", Fraction(118, 64)),
        ("one_distance", Fraction(67, 64)),
        ("bottoms_added", Fraction(16, 128)),
        ("borrow_missed", Fraction(1 * 64 + 48, 64)),  # one inch less none, 51 less 3 64ths
    ],
)
def test_a_slip_gives_the_number_worked_by_hand(slip, travel):
    assert wrong(slip, rule(Fraction(51, 64), Fraction(67, 64)))["travel"] / 25.4 == pytest.approx(float(travel))


def test_a_radius_for_the_diameter_halves_the_eighth():
    assert wrong("radius_for_diameter", rule(1, 2))["eighth"] == pytest.approx(25.4 / 8)


@pytest.mark.parametrize("slip", ["bottoms_added", "borrow_missed"])
def test_slips_with_fractions_leave_half_millimetres_alone(slip):
    readings = {"seated": 16.5, "pinned": 23.0}

    assert wrong(slip, readings)["travel"] == METHOD.work_one(readings, VALVE)["travel"] == 6.5


def test_nothing_to_borrow_is_no_slip():
    readings = rule(Fraction(5, 4), Fraction(3, 2))

    assert wrong("borrow_missed", readings)["travel"] == pytest.approx(METHOD.work_one(readings, VALVE)["travel"])


@given(st.floats(0, 40), st.floats(10, 200), st.lists(st.floats(0, 1, exclude_max=True), min_size=2, max_size=2))
def test_drawn_distances_have_the_travel_aimed_at(travel, valve, chance):
    readings = METHOD.simulate({"travel": travel}, {"valve": valve}, chance)
    worked = METHOD.work_one(readings, {"valve": valve})

    assert worked["travel"] == pytest.approx(travel, abs=1e-9)
    assert min(readings.values()) > 0
    METHOD.check(readings, {"valve": valve})


@given(st.floats(1, 50), st.floats(0, 50), st.floats(0.001, 10))
def test_parting_the_distances_lengthens_the_travel(smaller, travel, more):
    before = METHOD.work_one({"seated": smaller, "pinned": smaller + travel}, VALVE)
    after = METHOD.work_one({"seated": smaller, "pinned": smaller + travel + more}, VALVE)

    assert after["travel"] > before["travel"]


@pytest.mark.parametrize(
    ("pinned", "verdict"), [(26.5, Verdict.INSIDE), (24.0, Verdict.LOW), (29.0, Verdict.HIGH), (13.5, Verdict.INSIDE)]
)
def test_either_distance_may_be_the_larger(pinned, verdict):
    worked = METHOD.work_one({"seated": 20.0, "pinned": pinned}, VALVE)

    assert judge(worked, LIMITS, METHOD.held) == (verdict,)


@pytest.mark.parametrize("size", [0.0, -3.0, math.nan, math.inf, -math.inf, 1e9])
def test_a_size_no_machine_has_is_refused(size):
    with pytest.raises(ImpossibleReadingError) as refused:
        METHOD.check({"seated": 20.0, "pinned": size}, VALVE)

    assert refused.value.name == "pinned"
    with pytest.raises(ImpossibleReadingError):
        METHOD.check({"seated": 20.0, "pinned": 30.0}, {"valve": size})


def test_draws_behave(drawn, assert_floats_and_arrays_agree, assert_every_slip_shows, assert_lengths_scale):
    _, sizes = drawn(METHOD, aims={"travel": (4.0, 9.0)}, dims=VALVE)
    readings = {name: (size * 64 / 25.4).round() * 25.4 / 64 for name, size in sizes.items()}

    assert_floats_and_arrays_agree(METHOD, readings, VALVE)
    assert_every_slip_shows(METHOD, readings, VALVE, least_share=0.1)  # not every pair needs a borrow
    assert_lengths_scale(METHOD, readings, VALVE)


def test_cases_have_the_verdict_they_are_named_for(assert_cases_have_the_verdict_they_are_named_for):
    assert_cases_have_the_verdict_they_are_named_for(
        METHOD,
        {"good": Verdict.INSIDE, "short": Verdict.LOW, "long": Verdict.HIGH},
        dims=VALVE,
        limits={"travel": Limit.plus_minus(25.4 / 4, 25.4 / 16, source="test")},
        step=25.4 / 64,
    )
