"""Outside: a balancing article's worked example, 1000 lb at 15000 rpm; a balancing manual's constants (plausibility only);
the rotor of the standard's annex, numbers from memory.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.methods.balance_left import METHOD, OUNCE_INCH, check, simulate
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict, judge

LB = 0.45359237
DIMS = {"mass": 50.0, "speed": 3600.0, "rule": 1.0, "grade": 2.5, "reach_1": 300.0, "reach_2": 300.0}
LIMITS = {"part": Limit.at_most(1.0, source="test")}
NONE = {"left_1": 0.0, "left_2": 0.0}


def permitted(**changed):
    return METHOD.work_one(NONE, {**DIMS, **changed})


def test_the_worked_example_by_grade_and_by_four_w():
    # ET: 1000 lb, 15000 rpm: 4 W/N .133 oz in a plane of 500 lb; grade 2.5 1.0025 in all, .501 a plane.
    four_w = permitted(mass=1000 * LB, speed=15000.0, rule=2.0)
    grade = permitted(mass=1000 * LB, speed=15000.0)

    assert four_w["permitted_1"] / OUNCE_INCH == pytest.approx(0.133, abs=5e-4)
    assert four_w["total"] / OUNCE_INCH == pytest.approx(0.267, abs=5e-4)  # the naval rule, by the whole weight
    assert grade["total"] / OUNCE_INCH == pytest.approx(1.0025, abs=5e-4)
    assert grade["permitted_1"] / OUNCE_INCH == pytest.approx(0.501, abs=5e-4)


@pytest.mark.parametrize(("grade", "total"), [(2.5, 331.57), (6.3, 835.56)])
def test_fifty_kilograms_at_3600(grade, total):
    assert permitted(grade=grade)["total"] == pytest.approx(total, abs=0.01)
    assert permitted(rule=2.0)["permitted_1"] == pytest.approx(44.10, abs=0.01)


def test_the_constants_of_the_manual():
    # 9549.3 G m/n in g mm; 6.0153 G W/N in oz in; 6350 W/N g mm; 4 W/N is a grade of 0.665.
    assert permitted(mass=1.0, speed=1.0, grade=1.0)["total"] == pytest.approx(9549.3, abs=0.05)
    assert permitted(mass=LB, speed=1.0, grade=1.0)["total"] / OUNCE_INCH == pytest.approx(6.0153, abs=5e-5)
    assert permitted(mass=1.0, speed=1.0, rule=2.0)["total"] == pytest.approx(6350.0)
    assert permitted(mass=LB, speed=1.0, rule=2.0)["total"] / OUNCE_INCH == pytest.approx(4.0)
    assert permitted(rule=2.0)["total"] == pytest.approx(permitted(grade=0.665)["total"], rel=1e-3)


def test_the_annex_rotor_is_shared_out_by_distance():
    # From memory: 3600 kg, 3000 rpm, G 2.5, bearings 900 and 1500 of 2400 mm.
    found = permitted(mass=3600.0, speed=3000.0, reach_1=1500.0, reach_2=900.0)

    assert found["total"] == pytest.approx(28648, abs=0.5)
    assert found["total"] / 3600 == pytest.approx(7.96, abs=0.005)
    assert (found["permitted_1"], found["permitted_2"]) == pytest.approx((10743, 17905), abs=0.5)


@given(st.floats(1, 5000), st.floats(1, 5000))
def test_shares_are_the_journal_loads(one, other):
    # Statics: moments about the mass centre.
    found = permitted(reach_1=one, reach_2=other)

    assert found["permitted_1"] * one == pytest.approx(found["permitted_2"] * other)
    assert found["permitted_1"] + found["permitted_2"] == pytest.approx(found["total"])


UNEVEN = {**DIMS, "reach_1": 100.0, "reach_2": 300.0}
"""331.573 g mm in all: 248.680 in plane 1, 82.893 in plane 2."""
LEFT = {"left_1": 100.0, "left_2": 90.0}


@pytest.mark.parametrize(
    ("left", "verdict"),
    [((200.0, 80.0), Verdict.INSIDE), ((100.0, 90.0), Verdict.HIGH), ((250.0, 10.0), Verdict.HIGH)],
)
def test_each_plane_has_to_be_inside_by_itself(left, verdict):
    found = METHOD.work_one(dict(zip(("left_1", "left_2"), left, strict=True)), UNEVEN)

    assert judge(found, LIMITS, METHOD.held) == (verdict,)


@pytest.mark.parametrize(
    ("slip", "result", "number"),
    [
        ("not_shared_out", "permitted_1", 331.573),
        ("not_shared_out", "permitted_2", 331.573),
        ("halved", "permitted_1", 165.786),
        ("halved", "permitted_2", 165.786),
        ("planes_exchanged", "permitted_1", 82.893),
        ("planes_exchanged", "permitted_2", 248.680),
        ("other_rule", "total", 88.194),
        ("turns_as_radians", "total", 34.722),
        ("ounce_inches_as_gram_millimetres", "total", 0.46047),
        ("gram_millimetres_as_ounce_inches", "total", 238756),
        ("pounds_as_kilograms", "total", 730.99),
        ("better_plane", "worst", 100 / 248.680),
        ("planes_averaged", "worst", (100 / 248.680 + 90 / 82.893) / 2),
    ],
)
def test_a_slip_gives_the_number_worked_by_hand(slip, result, number):
    rules = next(one.rules for one in METHOD.slips if one.name == slip)

    assert METHOD.work_one(LEFT, UNEVEN, instead=rules)[result] == pytest.approx(number, rel=2e-5)


def test_the_other_way_of_each_rule_by_four_w():
    other, turned = (
        METHOD.work_one(LEFT, {**UNEVEN, "rule": 2.0}, instead=one.rules)["total"]
        for one in METHOD.slips
        if one.name in {"other_rule", "turns_as_radians"}
    )

    assert other == pytest.approx(331.573, rel=2e-5)
    assert turned == pytest.approx(88.194 * 30 / math.pi, rel=2e-5)


def test_nothing_permitted_divides_by_nothing_and_is_never_accepted():
    found = METHOD.work_one(LEFT, UNEVEN, given={"permitted_1": 0.0})

    assert judge(found, LIMITS, METHOD.held) == (Verdict.HIGH,)


@pytest.mark.parametrize(
    ("readings", "changed", "name"),
    [
        ({}, {"rule": 3.0}, "rule"),
        ({}, {"speed": 0.0}, "speed"),
        ({"left_1": -1.0, "left_2": 0.0}, {}, "left_1"),
        ({"left_1": 1.0, "left_2": math.nan}, {}, "left_2"),
    ],
)
def test_what_cannot_be_is_refused(readings, changed, name):
    with pytest.raises(ImpossibleReadingError) as refused:
        check(readings, {**DIMS, **changed})

    assert refused.value.name == name


def test_nothing_left_is_allowed():
    check(NONE, DIMS)


@given(st.floats(0, 3), st.floats(0, 3), st.sampled_from([1.0, 2.0]))
def test_a_drawn_rotor_has_left_in_each_plane_what_is_aimed_at(first, second, rule):
    dims = {**UNEVEN, "rule": rule}
    found = METHOD.work_one(simulate({"part_1": first, "part_2": second}, dims, []), dims)

    assert (found["used_1"], found["used_2"]) == pytest.approx((first, second), abs=1e-12)


def test_draws_behave(drawn, assert_floats_and_arrays_agree, assert_every_slip_shows):
    _, readings = drawn(METHOD, aims={"part_1": (0.1, 2), "part_2": (0.1, 2)}, dims=UNEVEN)

    assert_floats_and_arrays_agree(METHOD, readings, UNEVEN)
    assert_every_slip_shows(METHOD, readings, UNEVEN)
