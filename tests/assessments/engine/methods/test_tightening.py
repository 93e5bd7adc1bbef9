"""Outside: US Army TM 9-2350-261-20-1 p. 2-29 (adapter); tables of stress areas (thread charts, ISO 898-1); worked torques
whose proof strengths are from memory.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.methods.tightening import METHOD, check, simulate, stress_area
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict, judge

INCH, LBF = 25.4, 4.4482216152605
LBF_FT = LBF * 12 * INCH / 1000
DIMS = {"diameter": 12.0, "pitch": 1.75, "thread": 1.0, "proof": 48894.0, "part": 0.75, "factor": 0.2}
READ = {"wrench": 300.0, "adapter": 100.0, "found": 66.0}
LIMITS = {"pull": Limit.between(0.65, 0.80, source="test")}


@pytest.mark.parametrize(
    ("size", "pitch", "area"),
    [
        (6, 1.0, 20.1),
        (8, 1.25, 36.6),
        (10, 1.5, 58.0),
        (12, 1.75, 84.3),
        (16, 2.0, 157),
        (20, 2.5, 245),
        (24, 3.0, 353),
    ],
)
def test_metric_stress_areas_are_the_table_s(size, pitch, area):
    assert stress_area(float(size), pitch, 1.0) == pytest.approx(area, rel=3e-3)


@pytest.mark.parametrize(
    ("size", "threads", "area"),
    [
        (1 / 4, 20, 0.0318),
        (5 / 16, 18, 0.0524),
        (3 / 8, 16, 0.0775),
        (7 / 16, 14, 0.1063),
        (1 / 2, 13, 0.1419),
        (5 / 8, 11, 0.226),
        (3 / 4, 10, 0.3345),
        (7 / 8, 9, 0.462),
        (1, 8, 0.606),
    ],
)
def test_unified_stress_areas_are_the_table_s(size, threads, area):
    assert stress_area(size * INCH, INCH / threads, 2.0) / INCH**2 == pytest.approx(area, rel=2e-3)


@pytest.mark.parametrize(
    ("size", "pitch", "strength", "load"),
    [(12.0, 1.75, 800, 67400), (10.0, 1.5, 1220, 70800), (20.0, 2.5, 830, 203000)],
)
def test_area_times_strength_is_the_table_s_least_ultimate_load(size, pitch, strength, load):
    # ISO 898-1: classes 8.8, 12.9 and 8.8.
    assert stress_area(size, pitch, 1.0) * strength == pytest.approx(load, rel=4e-3)


def test_a_half_inch_screw():
    # 1/2-13, proof 85 ksi (from memory) on .1419 in2, K .2: F 9046 lbf, T 75.4 lbf ft.
    dims = {
        "diameter": INCH / 2,
        "pitch": INCH / 13,
        "thread": 2.0,
        "proof": 85000 * 0.1419 * LBF,
        "part": 0.75,
        "factor": 0.2,
    }
    found = METHOD.work_one(READ, dims)

    assert found["preload"] / LBF == pytest.approx(9046, abs=1)
    assert found["torque"] / LBF_FT == pytest.approx(75.4, abs=0.05)


def test_a_twelve_millimetre_screw():
    # M12 8.8, proof 580 N/mm2 (from memory) on 84.3 mm2: F 36670 N, T 88.0 N m.
    found = METHOD.work_one(READ, DIMS)

    assert found["preload"] == pytest.approx(36670, abs=1)
    assert found["torque"] == pytest.approx(88.0, abs=0.05)


@pytest.mark.parametrize(("torque", "wrench", "adapter", "setting"), [(40, 12, 4, 30), (30, 12, 6, 20)])
def test_an_adapter_in_line(torque, wrench, adapter, setting):
    # TM 9-2350-261-20-1 p. 2-29: 40 lbf ft, 12 + 4 in: 30. The second on a weak page.
    readings = {"wrench": wrench * INCH, "adapter": adapter * INCH, "found": setting * LBF_FT}
    found = METHOD.work_one(readings, DIMS, given={"torque": torque * LBF_FT})

    assert found["setting"] / LBF_FT == pytest.approx(setting)
    assert found["given"] / LBF_FT == pytest.approx(torque)


# M12 as above: T 88.0092 N m, wrench 300, adapter 100, so set 66.0069; 66 found gives 88.0, 74.99 % of the proof load.
@pytest.mark.parametrize(
    ("slip", "result", "number"),
    [
        ("adapter_ignored", "setting", 88.0092),
        ("adapter_ignored", "given", 66.0),
        ("adapter_inverted", "setting", 117.3456),
        ("adapter_inverted", "given", 49.5),
        ("adapter_taken_off", "setting", 58.6728),
        ("all_of_the_proof_load", "preload", 48894.0),
        ("radius_for_diameter", "torque", 44.0046),
        ("millimetres_as_metres", "torque", 88009.2),
        ("inches_as_feet", "torque", 1056.1104),
        ("factor_forgotten", "torque", 440.046),
        ("plain_shank", "area", 36 * math.pi),
    ],
)
def test_a_slip_gives_the_number_worked_by_hand(slip, result, number):
    rules = next(one.rules for one in METHOD.slips if one.name == slip)

    assert METHOD.work_one(READ, DIMS, instead=rules)[result] == pytest.approx(number)


@pytest.mark.parametrize(("found", "verdict"), [(66.0, Verdict.INSIDE), (88.0, Verdict.HIGH), (50.0, Verdict.LOW)])
def test_a_setting_is_held_by_what_it_pulls_the_screw_to(found, verdict):
    # 88 N m set with the adapter on, as if it were not there, is a third too much.
    worked = METHOD.work_one({**READ, "found": found}, DIMS)

    assert judge(worked, LIMITS, METHOD.held) == (verdict,)
    assert worked["pull"] == pytest.approx(found / 66.0069 * 0.75, rel=1e-5)


@pytest.mark.parametrize(
    ("readings", "changed", "name"),
    [
        ({}, {"thread": 3.0}, "thread"),
        ({}, {"pitch": 13.0}, "pitch"),
        ({}, {"part": 1.0}, "part"),
        ({}, {"factor": 0.04}, "factor"),
        ({}, {"factor": 0.6}, "factor"),
        ({}, {"pitch": 0.0}, "pitch"),
        ({**READ, "wrench": 0.0}, {}, "wrench"),
        ({**READ, "found": math.nan}, {}, "found"),
    ],
)
def test_what_cannot_be_is_refused(readings, changed, name):
    with pytest.raises(ImpossibleReadingError) as refused:
        check(readings, {**DIMS, **changed})

    assert refused.value.name == name


@given(st.floats(0.1, 1.5), st.floats(0, 1, exclude_max=True), st.floats(0, 1, exclude_max=True))
def test_a_drawn_setting_pulls_as_aimed_at(pull, wrench, adapter):
    readings = simulate({"pull": pull}, DIMS, [wrench, adapter])

    assert METHOD.work_one(readings, DIMS)["pull"] == pytest.approx(pull)
    check(readings, DIMS)


def test_draws_behave(drawn, assert_floats_and_arrays_agree, assert_every_slip_shows):
    _, readings = drawn(METHOD, aims={"pull": (0.4, 1.0)}, dims=DIMS)

    assert_floats_and_arrays_agree(METHOD, readings, DIMS)
    assert_every_slip_shows(METHOD, readings, DIMS)
