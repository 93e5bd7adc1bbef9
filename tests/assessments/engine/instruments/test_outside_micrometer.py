from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.instruments import find_instrument
from assessments.engine.instruments.outside_micrometer import INSTRUMENTS, OutsideMicrometer
from tests.faces import numerals, parse, strokes

MM = 25.4


@dataclass
class Seen:
    """A micrometer as a person reads it, each part as a number of its own lines."""

    numbered: float
    lines_after: int
    half_after: bool
    thimble: float
    vernier: int | None


def look(svg: str) -> Seen:
    root = parse(svg)
    rim = min(x for x, _ in strokes(root, "rim")[0])
    datum = strokes(root, "long-line")[0][0][1]
    last = max(numerals(root, "sleeve-num"), key=lambda one: one.x)
    assert last.x <= rim + 0.02
    sleeve = sorted(stroke[0][0] for stroke in strokes(root, "sleeve-line"))
    halves = sorted(stroke[0][0] for stroke in strokes(root, "half-line"))
    assert all(x <= rim + 0.02 for x in sleeve + halves)
    vernier = None
    if strokes(root, "vernier-line"):
        vernier = _vernier(root)
    return Seen(
        numbered=last.value,
        lines_after=sum(x > last.x + 0.05 for x in sleeve),
        half_after=bool(halves) and halves[-1] > sleeve[-1],
        thimble=_thimble(root, rim, datum),
        vernier=vernier,
    )


def _thimble(root: ET.Element, rim: float, datum: float) -> float:
    """Where the datum lies among the thimble's lines, counted by the numerals beside the long ones."""
    marks = sorted(strokes(root, "thimble-line"), key=lambda stroke: -stroke[0][1])
    assert all(stroke[0][0] == pytest.approx(rim, abs=0.01) for stroke in marks)
    longest = max(stroke[1][0] - stroke[0][0] for stroke in marks)
    for numeral in numerals(root, "thimble-num"):
        for place, ((x1, y1), (x2, y2)) in enumerate(marks):
            along = y1 + (numeral.x - x1) * (y2 - y1) / (x2 - x1)
            if x2 - x1 > longest - 0.1 and abs(along - (numeral.y - 6)) < 3:
                named = (place, numeral.value)
    place, value = named
    for k in range(len(marks) - 1):
        below, above = marks[k][0][1], marks[k + 1][0][1]
        if below >= datum >= above:
            return value + k - place + (below - datum) / (below - above)
    raise AssertionError("no thimble line on either side of the long line")


def _vernier(root: ET.Element) -> int:
    """The numeral of the vernier line that goes on most nearly straight into the thimble."""
    lines = [stroke[0][1] for stroke in strokes(root, "vernier-line")]
    thimble = [stroke[0][1] for stroke in strokes(root, "flat-line")]
    best = min(lines, key=lambda y: min(abs(y - other) for other in thimble))
    (name,) = [one for one in numerals(root, "vernier-num") if abs(one.y - best - 5) < 4]
    return int(name.words)


def value(seen: Seen, micrometer: OutsideMicrometer) -> float:
    """In the unit of the face, as taught: sleeve, thimble, vernier."""
    if micrometer.unit == "mm":
        sleeve = seen.numbered + seen.lines_after + 0.5 * seen.half_after
        return sleeve + (seen.thimble % 50) * 0.01
    sleeve = micrometer.low / MM + seen.numbered * 0.1 + seen.lines_after * 0.025
    if seen.vernier is None:
        return sleeve + (seen.thimble % 25) * 0.001
    whole = math.floor(seen.thimble + 0.03) % 25
    return sleeve + whole * 0.001 + seen.vernier * 0.0001


def read_back(micrometer: OutsideMicrometer, reading: float) -> float:
    """In mm. A micrometer opened by its whole inch shows a nought again: that is the far end of its range."""
    found = value(look(micrometer.face(reading, ident="f").svg), micrometer) * micrometer.unit_size
    if micrometer.unit == "in" and found < micrometer.low + 1 and reading > micrometer.low + 20:
        found += MM
    return found


on_step = st.sampled_from(INSTRUMENTS).flatmap(
    lambda one: st.tuples(
        st.just(one), st.integers(round(one.low / one.step), round(one.high / one.step)).map(lambda k: k * one.step)
    )
)


@given(on_step)
def test_every_micrometer_is_read_back_from_its_lines(case: tuple[OutsideMicrometer, float]) -> None:
    micrometer, reading = case

    assert abs(read_back(micrometer, reading) - reading) < micrometer.step / 4


@given(st.sampled_from([one for one in INSTRUMENTS if not one.scale.has_vernier]), st.floats(0.001, 0.999))
def test_a_size_between_lines_is_drawn_between_them(micrometer: OutsideMicrometer, share: float) -> None:
    reading = micrometer.low + share * (micrometer.high - micrometer.low)
    turned = (reading - micrometer.low) / micrometer.unit_size % micrometer.scale.screw.pitch
    if min(turned, micrometer.scale.screw.pitch - turned) < micrometer.step / micrometer.unit_size / 100:
        return  # within a hundredth of a part of a whole turn the eye may call the sleeve line either way

    assert abs(read_back(micrometer, reading) - reading) < micrometer.step / 4


@pytest.mark.parametrize("name", ["outside_micrometer_metric_0", "outside_micrometer_inch_3"])
def test_every_line_of_the_whole_range_is_read_back(name: str) -> None:
    (micrometer,) = [one for one in INSTRUMENTS if one.name == name]
    for k in range(round(micrometer.low / micrometer.step), round(micrometer.high / micrometer.step) + 1):
        reading = k * micrometer.step
        assert abs(read_back(micrometer, reading) - reading) < micrometer.step / 4, k


def test_a_vernier_micrometer_is_read_in_parts_as_in_the_army_manual() -> None:
    """US Army TM 9-243, 7-5: .200 + .075 + .011 + .0002 = .2862 in."""
    seen = look(find_instrument("outside_micrometer_inch_vernier_0").face(0.2862 * MM, ident="f").svg)

    assert seen.numbered * 0.1 == pytest.approx(0.200)
    assert seen.lines_after * 0.025 == pytest.approx(0.075)
    assert math.floor(seen.thimble) == 11
    assert seen.vernier == 2


def test_a_metric_micrometer_is_read_in_parts_as_in_the_army_manual() -> None:
    """US Army TM 9-243, 7-6: 20 + 2 + .36 = 22.36 mm."""
    seen = look(find_instrument("outside_micrometer_metric_0").face(22.36, ident="f").svg)

    assert (seen.numbered, seen.lines_after, seen.half_after) == (20, 2, False)
    assert seen.thimble == pytest.approx(36, abs=0.1)


def test_an_inch_micrometer_is_read_in_parts_as_in_the_navy_course() -> None:
    """NAVEDTRA 14001: .700 + .012 = .712 in."""
    seen = look(find_instrument("outside_micrometer_inch_0").face(0.712 * MM, ident="f").svg)

    assert (seen.numbered, seen.lines_after) == (7, 0)
    assert seen.thimble == pytest.approx(12, abs=0.1)


def test_the_half_millimetre_line_is_counted_as_on_a_weaker_page() -> None:
    """12 + .5 + .16 = 12.66 mm (a plausibility check only: its source is a weak page)."""
    seen = look(find_instrument("outside_micrometer_metric_0").face(12.66, ident="f").svg)

    assert (seen.numbered, seen.lines_after, seen.half_after) == (10, 2, True)
    assert seen.thimble == pytest.approx(16, abs=0.1)


@given(st.sampled_from([one for one in INSTRUMENTS if one.scale.has_vernier]), st.integers(0, 10_000))
def test_just_one_vernier_line_goes_on_straight_and_two_noughts_together(micrometer: OutsideMicrometer, k: int) -> None:
    root = parse(micrometer.face(micrometer.low + k * micrometer.step, ident="f").svg)
    thimble = [stroke[0][1] for stroke in strokes(root, "flat-line")]
    part = thimble[0] - thimble[1]
    lines = [stroke[0][1] for stroke in strokes(root, "vernier-line")]
    straight = [y for y in lines if min(abs(y - other) for other in thimble) < part / 40]

    assert len(straight) == (2 if k % 10 == 0 else 1)


def test_ten_vernier_divisions_take_up_nine_of_the_thimble() -> None:
    """US Army TM 9-243 7-5; checks_fits section 11: .0009 in each."""
    root = parse(find_instrument("outside_micrometer_inch_vernier_0").face(5.0, ident="f").svg)
    thimble = [stroke[0][1] for stroke in strokes(root, "flat-line")]
    lines = [stroke[0][1] for stroke in strokes(root, "vernier-line")]

    assert len(lines) == 11
    assert (lines[0] - lines[-1]) / (thimble[0] - thimble[1]) == pytest.approx(9, abs=0.01)


@given(on_step)
def test_both_views_of_a_vernier_micrometer_show_the_same_thimble(case: tuple[OutsideMicrometer, float]) -> None:
    micrometer, reading = case
    if not micrometer.scale.has_vernier:
        return
    root = parse(micrometer.face(reading, ident="f").svg)
    datum = strokes(root, "vernier-line")[0][0][1]
    heights = [stroke[0][1] for stroke in strokes(root, "flat-line")]
    named = numerals(root, "flat-num")[0]
    place = min(range(len(heights)), key=lambda k: abs(heights[k] - (named.y - 6)))
    part = heights[0] - heights[1]
    flat = named.value + (heights[place] - datum) / part

    assert (flat - look(micrometer.face(reading, ident="f").svg).thimble + 1) % 25 == pytest.approx(1, abs=0.03)


@given(on_step)
def test_enough_of_the_sleeve_is_in_sight_to_count(case: tuple[OutsideMicrometer, float]) -> None:
    micrometer, reading = case
    root = parse(micrometer.face(reading, ident="f").svg)
    opened = (reading - micrometer.low) / micrometer.unit_size
    whole = [one for one in numerals(root, "sleeve-num") if one.x > 13]

    assert whole
    # Once a whole numbered stretch is open, one numeral at least stands clear of the thimble.
    stretch = 5 if micrometer.unit == "mm" else 0.1
    if opened > stretch:
        assert len(whole) >= 2


def test_the_thimble_lines_lie_on_a_cylinder() -> None:
    """Equal angles: their sines, over the rim's radius, differ by one fiftieth of a turn each."""
    root = parse(find_instrument("outside_micrometer_metric_0").face(7.0, ident="f").svg)
    rim = [y for _, y in strokes(root, "rim")[0]]
    outline = strokes(root, "rim")[0]
    edge = min(x for x, _ in outline)
    top, bottom = (pick(y for x, y in outline if x == edge) for pick in (min, max))
    middle, radius = (top + bottom) / 2, (bottom - top) / 2
    angles = sorted(
        math.degrees(math.asin((stroke[0][1] - middle) / radius)) for stroke in strokes(root, "thimble-line")
    )

    assert len(rim) >= 6
    assert [b - a for a, b in pairwise(angles)] == pytest.approx([7.2] * (len(angles) - 1), abs=0.05)


def misread(name: str, slip: str) -> Callable[[float], tuple[float, ...]]:
    return next(one.wrong for one in find_instrument(name).misreads if one.name == slip)


def test_misreads_give_the_numbers_a_person_would_write() -> None:
    metric = "outside_micrometer_metric_0"
    assert misread(metric, "half_millimetre_missed")(12.66) == pytest.approx((12.16, 13.16))
    assert misread(metric, "division_missed")(22.36) == pytest.approx((17.36, 27.36))
    # 36 lines up from nought; counted down from fifty it is 14.
    assert misread(metric, "thimble_backwards")(22.36) == pytest.approx((22.14,))
    assert misread(metric, "thimble_backwards")(22.5) == ()
    inch = "outside_micrometer_inch_2"
    assert misread(inch, "sleeve_line_missed")(2.712 * MM) == pytest.approx((2.687 * MM, 2.737 * MM))
    assert misread(inch, "division_missed")(2.712 * MM) == pytest.approx((2.612 * MM, 2.812 * MM))
    assert misread(inch, "thimble_backwards")(2.712 * MM) == pytest.approx((2.713 * MM,))
    assert misread(inch, "range_forgotten")(2.712 * MM) == pytest.approx((0.712 * MM,))
    vernier = "outside_micrometer_inch_vernier_0"
    assert misread(vernier, "vernier_ignored")(0.2862 * MM) == pytest.approx((0.286 * MM,))
    assert misread(vernier, "vernier_misplaced")(0.2862 * MM) == pytest.approx((0.288 * MM,))
    assert misread(vernier, "vernier_ignored")(0.286 * MM) == ()


@pytest.mark.parametrize("micrometer", INSTRUMENTS, ids=lambda one: one.name)
def test_a_micrometer_is_named_by_its_range(micrometer: OutsideMicrometer) -> None:
    low, high = (round(end / micrometer.unit_size) for end in (micrometer.low, micrometer.high))

    assert f"{low} to {high} {micrometer.unit}" in micrometer.title
    assert micrometer.name.endswith(f"_{low}")
    assert (high - low) == (25 if micrometer.unit == "mm" else 1)
