"""Outside: a lead-wire case read on a weak page (plausibility only); the geometry of a cap that stands on its joint."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.methods.lead_wire import JOINTS, METHOD, WIRES
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict, judge

WIRE = {"wire": 1.0}
LIMITS = {
    "clearance": Limit.between(0.10, 0.18, source="test"),
    "taper": Limit.at_most(0.03, source="test"),
    "joint": Limit.at_most(0.06, source="test"),
    "squash": Limit.at_least(0.2, source="test"),
}


def wires(crown_governor, crown_coupling, *joints):
    return dict(zip(WIRES, (crown_governor, crown_coupling, *joints), strict=True))


def wrong(name, readings, dims=WIRE):
    return METHOD.work_one(readings, dims, instead=next(slip for slip in METHOD.slips if slip.name == name).rules)


def test_top_leads_less_joint_leads_as_in_a_case_read_on_a_weak_page():
    # Plausibility only: tops 0.35, 0.37; joints 0.22, 0.24, 0.23, 0.25; mean of tops less mean of joints 0.125 mm.
    worked = METHOD.work_one(wires(0.35, 0.37, 0.22, 0.24, 0.23, 0.25), WIRE)

    assert worked["mean"] == pytest.approx(0.125, abs=1e-9)


@given(
    st.floats(0.05, 0.3), st.floats(-0.05, 0.05), st.floats(0.1, 0.5), st.floats(-0.04, 0.04), st.floats(-0.04, 0.04)
)
def test_a_cap_that_leans_on_its_joint_leads_does_not_change_what_is_found(clearance, taper, joint, across, along):
    """A cap as a plane over four joint points: what stands over the middle of an end rises with the mean of its two."""

    def height(x, y):
        return joint + across * x + along * y  # x: right, y: governor end; the joint points at +-1

    left, right = -1, 1
    readings = wires(
        height(0, 1) + clearance + taper,
        height(0, -1) + clearance - taper,
        height(left, 1),
        height(right, 1),
        height(left, -1),
        height(right, -1),
    )
    worked = METHOD.work_one(readings, WIRE)

    assert worked["c_governor"] == pytest.approx(clearance + taper)
    assert worked["c_coupling"] == pytest.approx(clearance - taper)
    assert worked["taper"] == pytest.approx(2 * abs(taper), abs=1e-12)
    assert worked["uneven"] == pytest.approx(2 * (abs(across) + abs(along)), abs=1e-12)


READ = wires(0.36, 0.38, 0.22, 0.26, 0.23, 0.23)  # by hand: 0.36 - 0.24 = 0.12, 0.38 - 0.23 = 0.15


@pytest.mark.parametrize(
    ("slip", "result", "number"),
    [
        ("joints_ignored", "c_governor", 0.36),
        ("joints_added", "c_coupling", 0.61),
        ("joints_summed", "c_governor", -0.12),
        ("joints_summed", "c_coupling", -0.08),
        ("left_joint_only", "c_governor", 0.14),
        ("right_joint_only", "c_governor", 0.10),
        ("left_joint_only", "c_coupling", 0.15),
        ("other_end_s_joints", "c_governor", 0.13),
        ("other_end_s_joints", "c_coupling", 0.14),
        ("halved", "c_governor", 0.06),
        ("halved", "c_coupling", 0.075),
        ("ends_averaged", "tightest", 0.135),
        ("ends_averaged", "loosest", 0.135),
    ],
)
def test_a_slip_gives_the_number_worked_by_hand(slip, result, number):
    right = METHOD.work_one(READ, WIRE)

    assert (right["c_governor"], right["c_coupling"]) == (pytest.approx(0.12), pytest.approx(0.15))
    assert (right["taper"], right["uneven"], right["crushed"]) == (
        pytest.approx(0.03),
        pytest.approx(0.04),
        pytest.approx(0.62),
    )
    assert wrong(slip, READ)[result] == pytest.approx(number)


@pytest.mark.parametrize(
    ("readings", "verdict"),
    [
        (READ, Verdict.INSIDE),
        (wires(0.32, 0.37, 0.23, 0.23, 0.23, 0.23), Verdict.LOW),
        (wires(0.42, 0.40, 0.23, 0.23, 0.23, 0.23), Verdict.HIGH),
        (wires(0.40, 0.35, 0.23, 0.23, 0.23, 0.23), Verdict.FORM),
        (wires(0.37, 0.37, 0.20, 0.27, 0.23, 0.23), Verdict.VOID),
        (wires(0.90, 0.90, 0.77, 0.77, 0.77, 0.77), Verdict.VOID),
    ],
)
def test_an_uneven_cap_and_an_uncrushed_wire_say_nothing(readings, verdict):
    assert judge(METHOD.work_one(readings, WIRE), LIMITS, METHOD.held)[0] is verdict


numbers = st.floats(0, 1, exclude_max=True)


@given(st.floats(0.05, 0.25), st.floats(0, 0.05), st.floats(0, 0.1), st.floats(0.05, 0.4), st.tuples(*[numbers] * 4))
def test_drawn_wires_have_what_was_aimed_at(clearance, taper, joint, squash, chance):
    aims = {"clearance": clearance, "taper": taper, "joint": joint, "squash": squash}
    readings = METHOD.simulate(aims, {"wire": 1.5}, chance)
    worked = METHOD.work_one(readings, {"wire": 1.5})

    METHOD.check(readings, {"wire": 1.5})
    for result, aim in (("mean", clearance), ("taper", taper), ("uneven", joint), ("crushed", squash)):
        assert worked[result] == pytest.approx(aim, abs=1e-9)


@given(st.floats(0.05, 3), st.floats(0, 0.5), st.floats(0, 0.5), st.floats(0.0, 2), st.tuples(*[numbers] * 4))
def test_no_wire_is_drawn_thicker_than_it_was_or_of_no_thickness(clearance, taper, joint, squash, chance):
    aims = {"clearance": clearance, "taper": taper, "joint": joint, "squash": squash}

    METHOD.check(METHOD.simulate(aims, WIRE, chance), WIRE)


@pytest.mark.parametrize("size", [0.0, -0.2, 1.01, math.nan, math.inf])
@pytest.mark.parametrize("name", ["crown_coupling", JOINTS[3]])
def test_a_wire_that_cannot_be_is_refused(name, size):
    with pytest.raises(ImpossibleReadingError) as refused:
        METHOD.check({**READ, name: size}, WIRE)

    assert refused.value.name == name


def test_a_wire_as_thick_as_when_it_was_round_was_not_crushed_and_is_allowed():
    METHOD.check({**READ, "crown_governor": 1.0}, WIRE)
    METHOD.check({}, WIRE)


def test_the_caution_says_where_lead_is_forbidden():
    assert "forbids" in METHOD.caution
    assert "NAVEDTRA 14076" in METHOD.caution


def test_draws_behave(drawn, assert_floats_and_arrays_agree, assert_every_slip_shows, assert_lengths_scale):
    aims = {"clearance": (0.08, 0.25), "taper": (0.0, 0.05), "joint": (0.0, 0.08), "squash": (0.1, 0.4)}
    _, readings = drawn(METHOD, aims=aims, dims=WIRE)

    assert_floats_and_arrays_agree(METHOD, readings, WIRE)
    assert_every_slip_shows(METHOD, readings, WIRE)
    assert_lengths_scale(METHOD, readings, WIRE)


def test_cases_have_the_verdict_they_are_named_for(assert_cases_have_the_verdict_they_are_named_for):
    assert_cases_have_the_verdict_they_are_named_for(
        METHOD,
        {
            "good": Verdict.INSIDE,
            "tight": Verdict.LOW,
            "loose": Verdict.HIGH,
            "tapered": Verdict.FORM,
            "tight_end": Verdict.LOW,
            "uneven_cap": Verdict.VOID,
            "thin_wire": Verdict.VOID,
        },
        dims=WIRE,
        limits=LIMITS,
        step=0.002,
    )
