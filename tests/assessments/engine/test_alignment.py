"""Outside: plane geometry of a circle and a plane, worked again here in three dimensions with numpy's own vectors."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.alignment import (
    ASKED,
    CHANCES,
    CONDITIONS,
    FEET_LINES,
    STATIONS,
    Shaft,
    around_face,
    around_rim,
    drawn_shaft,
    named_readings,
    need_setup,
)
from assessments.engine.errors import ImpossibleReadingError

MIL = 0.0254
DIMS = {
    "across": 150.0,
    "near_foot": 260.0,
    "far_foot": 700.0,
    "target_height": -0.05,
    "target_opening": 0.04,
    "sag": -0.06,
}

offsets = st.floats(-0.5, 0.5)
slopes = st.floats(-0.002, 0.002)
shafts = st.builds(Shaft, up=offsets, right=offsets, rise=slopes, swing=slopes)
radii = st.floats(30, 200)
sags = st.floats(-0.3, 0)
chances = st.lists(st.floats(0, 1, exclude_max=True), min_size=CHANCES, max_size=CHANCES)
ANGLES = {"top": 0.0, "right": math.pi / 2, "bottom": math.pi, "left": 3 * math.pi / 2}
"""Clockwise, seen from the machine that is moved."""


def axis(shaft):
    """A point on the moving axis, its direction, and two directions square to it: up and right as nearly as can be."""
    along = np.array([1.0, shaft.rise, shaft.swing])
    along /= np.linalg.norm(along)
    up = np.array([0.0, 1.0, 0.0]) - along[1] * along
    up /= np.linalg.norm(up)
    return np.array([0.0, shaft.up, shaft.right]), along, up, np.cross(along, up)


def touched(start, pointing, point, normal):
    """How far a plunger at `start`, pointing along `pointing`, is from the plane through `point`."""
    return float(np.dot(point - start, normal) / np.dot(pointing, normal))


def face_by_vectors(shaft, radius, bracket):
    centre, along, up, right = axis(shaft)
    shown = {}
    for station, angle in ANGLES.items():
        if bracket > 0:
            tip = np.array([-50.0, radius * math.cos(angle), radius * math.sin(angle)])
            gap = touched(tip, np.array([1.0, 0.0, 0.0]), centre, along)
        else:
            tip = centre + 50.0 * along + radius * (math.cos(angle) * up + math.sin(angle) * right)
            gap = touched(tip, -along, np.zeros(3), np.array([1.0, 0.0, 0.0]))
        shown[station] = -gap
    return {station: value - shown["top"] for station, value in shown.items()}


@given(shafts, radii, st.sampled_from([1.0, -1.0]))
def test_a_face_dial_shows_what_vectors_in_space_show(shaft, radius, bracket):
    expected = face_by_vectors(shaft, radius, bracket)
    shown = around_face(shaft, radius, bracket)

    for station in STATIONS:  # to a thousandth of the finest step: small slopes are taken as angles
        assert shown[station] == pytest.approx(
            expected[station], abs=1e-5 + 2e-5 * abs(expected[station]) + 2e-3 * 1e-2
        )


@given(offsets, offsets, radii)
def test_a_rim_dial_shows_where_a_ray_meets_the_circle(up, right, radius):
    def reach(angle):  # the ray from the dial's own axis, met with the circle by solving the quadratic
        ray = np.array([math.cos(angle), math.sin(angle)])
        roots = np.roots([1.0, -2 * float(ray @ [up, right]), up**2 + right**2 - radius**2])
        return float(max(roots.real))

    shown = around_rim((up, right), radius, 0.0)

    for station, angle in ANGLES.items():
        assert shown[station] == pytest.approx(reach(angle) - reach(0.0), abs=1e-9)


def test_a_shaft_four_mils_high_with_a_slope_reads_as_published():
    # McMillan p. 141-142: rim -8, face +2 mil over 10 in is a shaft 4 mil high that falls 0.2 mil for each inch.
    shaft = Shaft(up=4 * MIL, right=0.0, rise=-0.2e-3, swing=0.0)

    rim = around_rim((shaft.up, shaft.right), 5 * 25.4, 0.0)
    face = around_face(shaft, 5 * 25.4, 1.0)

    assert rim["bottom"] / MIL == pytest.approx(-8)
    assert face["bottom"] / MIL == pytest.approx(2)


def test_a_bar_s_sag_is_all_of_it_at_the_bottom_and_half_at_the_sides():
    # A pump handbook: s = 3 mil, so -6 at the bottom and -3 at the sides, on a shaft in line.
    assert around_rim((0.0, 0.0), 100.0, -6.0) == pytest.approx(
        {"top": 0.0, "right": -3.0, "bottom": -6.0, "left": -3.0}
    )


@given(shafts, radii, sags, st.sampled_from([1.0, -1.0]))
def test_top_and_bottom_add_up_to_left_and_right_wherever_the_shaft_lies(shaft, radius, sag, bracket):
    # Bloch and Geitner, Machinery Component Maintenance and Repair, p. 193: before the sag is taken off, too.
    rim = around_rim((shaft.up, shaft.right), radius, sag)
    face = around_face(shaft, radius, bracket)

    # A circle is no square: half an offset squared over the radius is left.
    assert rim["bottom"] == pytest.approx(rim["left"] + rim["right"], abs=0.5**2 / radius * 1.01 + 1e-9)
    assert face["bottom"] == pytest.approx(face["left"] + face["right"], abs=1e-9)


@given(shafts, st.floats(0, 2000))
def test_a_shaft_is_straight(shaft, x):
    up, right = shaft.at(x)

    assert up == pytest.approx(shaft.up + x * shaft.rise)
    assert right == pytest.approx(shaft.right + x * shaft.swing)


@given(st.floats(0, 0.3), st.floats(0, 0.3), chances)
def test_a_drawn_shaft_is_off_its_target_by_the_aims_in_one_plane(offset, opening, chance):
    shaft = drawn_shaft({"offset": offset, "opening": opening}, DIMS, chance)
    too_high, too_wide = shaft.up - DIMS["target_height"], -shaft.rise * DIMS["across"] - DIMS["target_opening"]

    assert max(abs(too_high), abs(shaft.right)) == pytest.approx(offset, abs=1e-12)
    assert max(abs(too_wide), abs(shaft.swing * DIMS["across"])) == pytest.approx(opening, abs=1e-12)


@given(st.floats(0, 0.3), chances)
def test_a_dial_that_slips_shows_in_its_own_sum_and_in_no_other(error, chance):
    still = dict.fromkeys(STATIONS, 0.0)
    readings = named_readings({"one": still, "other": still}, error, chance)

    def apart(dial):
        at = {station: readings[f"{dial}_{station}"] for station in STATIONS}
        return abs(at["top"] + at["bottom"] - at["left"] - at["right"])

    sums = (apart("one"), apart("other"))
    assert sums == pytest.approx((error, 0.0) if chance[8] < 0.5 else (0.0, error))
    assert readings["one_top"] == readings["other_top"] == 0


def worked_at_feet(values: Mapping[str, float]):
    found = dict(values)
    for line in FEET_LINES:
        found[line.name] = line.rule(found)
    return found


@given(offsets, st.floats(-0.3, 0.3), offsets, st.floats(-0.3, 0.3))
def test_shims_and_moves_put_the_feet_on_the_line_to_the_target(height, opening, aside, side_opening):
    worked = worked_at_feet(
        {**DIMS, "height": height, "opening": opening, "aside": aside, "side_opening": side_opening}
    )
    near, far = DIMS["near_foot"], DIMS["far_foot"]

    # The axis after the feet have been moved, found as a line through two points.
    def after(start, slope, at_near, at_far):
        y1, y2 = start + slope * near + at_near, start + slope * far + at_far
        return y1 - (y2 - y1) / (far - near) * near, (y2 - y1) / (far - near)

    up, rise = after(height, -opening / DIMS["across"], worked["shim_near"], worked["shim_far"])
    right, swing = after(aside, -side_opening / DIMS["across"], worked["move_near"], worked["move_far"])
    assert up == pytest.approx(DIMS["target_height"], abs=1e-9)
    assert -rise * DIMS["across"] == pytest.approx(DIMS["target_opening"], abs=1e-9)
    assert (right, swing) == pytest.approx((0.0, 0.0), abs=1e-9)


@pytest.mark.parametrize(
    ("changed", "name"),
    [
        ({"across": 0.0}, "across"),
        ({"near_foot": -1.0}, "near_foot"),
        ({"far_foot": 260.0}, "far_foot"),
        ({"sag": 0.01}, "sag"),
        ({"target_height": math.nan}, "target_height"),
        ({"target_opening": math.inf}, "target_opening"),
    ],
)
def test_a_setup_that_cannot_be_is_refused(changed, name):
    with pytest.raises(ImpossibleReadingError) as refused:
        need_setup({**DIMS, **changed}, sags=("sag",), sizes=())

    assert refused.value.name == name


def test_a_setup_without_sag_stands_and_a_size_of_its_own_is_looked_at():
    need_setup({**DIMS, "sag": 0.0}, sags=("sag",), sizes=())
    with pytest.raises(ImpossibleReadingError):
        need_setup({**DIMS, "spacing": 0.0}, sags=("sag",), sizes=("spacing",))


def test_only_a_slipped_dial_voids_and_what_is_asked_is_worked():
    assert [one.name for one in CONDITIONS if one.bands["sums"].value == "above"] == ["slipped"]
    assert {name for name in ASKED if name.startswith(("shim", "move"))} < {line.name for line in FEET_LINES}
