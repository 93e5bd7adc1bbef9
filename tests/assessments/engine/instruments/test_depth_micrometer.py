from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.instruments import find_instrument
from assessments.engine.instruments.depth_micrometer import INSTRUMENTS, DepthMicrometer
from tests.faces import numerals, parse, strokes

MM = 25.4


def covered(root: ET.Element, unit: str) -> tuple[float, float]:
    """(the sleeve up to its first line in sight, how much one turn is), by numerals and lines."""
    rim = min(x for x, _ in strokes(root, "rim")[0])
    marks = sorted(
        ([(s[0][0], 1.0) for s in strokes(root, "sleeve-line")] + [(s[0][0], 0.5) for s in strokes(root, "half-line")]),
        reverse=True,
    )
    assert all(x <= rim + 0.02 for x, _ in marks)
    named = max(numerals(root, "sleeve-num"), key=lambda one: one.x)
    place = min(range(len(marks)), key=lambda k: abs(marks[k][0] - named.x))
    turn = 0.5 if unit == "mm" else 0.025
    value = named.value if unit == "mm" else named.value * 0.1
    return value - place * turn, turn


def thimble(root: ET.Element) -> float:
    """Where the long line lies among the thimble's lines; their numbers grow downwards."""
    datum = strokes(root, "long-line")[0][0][1]
    marks = sorted(strokes(root, "thimble-line"), key=lambda stroke: stroke[0][1])
    longest = max(stroke[1][0] - stroke[0][0] for stroke in marks)
    for numeral in numerals(root, "thimble-num"):
        for place, ((x1, y1), (x2, y2)) in enumerate(marks):
            along = y1 + (numeral.x - x1) * (y2 - y1) / (x2 - x1)
            if x2 - x1 > longest - 0.1 and abs(along - (numeral.y - 6)) < 3:
                named = (place, numeral.value)
    place, value = named
    for k in range(len(marks) - 1):
        above, below = marks[k][0][1], marks[k + 1][0][1]
        if above <= datum + 1e-6 and datum <= below:
            return value + k - place + (datum - above) / (below - above)
    raise AssertionError("no thimble line on either side of the long line")


def read_back(micrometer: DepthMicrometer, reading: float) -> float:
    """In mm: as taught, the line last covered and the thimble. At a whole turn the line stands at the very rim."""
    root = parse(micrometer.face(reading, ident="f").svg)
    parts = 50 if micrometer.unit == "mm" else 25
    first, turn = covered(root, micrometer.unit)
    share = thimble(root) % parts / parts
    if share > 1 - 0.01 / parts * 10:  # a whole turn that the eye may take for the next
        share = 0.0
    sleeve = first if share < 0.1 / parts else first - turn
    found = micrometer.start + sleeve + share * turn
    if micrometer.unit == "in" and found < micrometer.start + 0.05 and reading > micrometer.low + 20:
        found += 1  # the far end of an inch is a nought again
    return found * micrometer.unit_size


@pytest.mark.parametrize("micrometer", INSTRUMENTS, ids=lambda one: one.name)
def test_every_line_of_the_whole_range_is_read_back(micrometer: DepthMicrometer) -> None:
    low, high = round(micrometer.low / micrometer.step), round(micrometer.high / micrometer.step)
    for k in range(low, high + 1, 1 if micrometer.start == 0 else 7):
        assert abs(read_back(micrometer, k * micrometer.step) - k * micrometer.step) < micrometer.step / 4, k


@given(st.sampled_from(INSTRUMENTS), st.floats(0.001, 0.999))
def test_a_size_between_lines_is_drawn_between_them(micrometer: DepthMicrometer, share: float) -> None:
    reading = micrometer.low + share * (micrometer.high - micrometer.low)
    turned = (micrometer.in_unit(reading) - micrometer.start) % micrometer.screw.pitch
    part = micrometer.screw.pitch / micrometer.screw.parts
    if min(turned, micrometer.screw.pitch - turned) < part / 5:
        return  # near a whole turn the line at the rim may be called either way

    assert abs(read_back(micrometer, reading) - reading) < micrometer.step / 4


def test_the_more_it_reads_the_more_of_the_sleeve_is_covered() -> None:
    shallow, deep = (
        len(strokes(parse(find_instrument("depth_micrometer_metric_0").face(size, ident="f").svg), "sleeve-line"))
        for size in (18.2, 24.2)
    )

    assert shallow > deep


def test_sleeve_and_thimble_are_numbered_the_other_way_from_an_outside_micrometers() -> None:
    depth, outside = (
        parse(find_instrument(f"{family}_metric_0").face(12.22, ident="f").svg)
        for family in ("depth_micrometer", "outside_micrometer")
    )
    for class_, place in (("sleeve-num", "x"), ("thimble-num", "y")):
        there, here = (
            [one.value for one in sorted(numerals(root, class_), key=lambda one: getattr(one, place))]
            for root in (outside, depth)
        )
        assert there == sorted(there, reverse=class_ == "thimble-num")
        assert here == sorted(here, reverse=class_ == "sleeve-num")


def test_the_rod_in_use_is_named() -> None:
    assert "rod for 2 to 3 in" in find_instrument("depth_micrometer_inch_2").face(2.5 * MM, ident="f").svg


def misread(name: str, slip: str, right: float) -> tuple[float, ...]:
    return next(one.wrong for one in find_instrument(name).misreads if one.name == slip)(right)


def test_misreads_give_the_numbers_a_person_would_write() -> None:
    metric = "depth_micrometer_metric_25"
    # 12.27 on the sleeve: the half line at 12.5 is the first in sight, 13 the first whole one.
    assert misread(metric, "uncovered_line_counted", 37.27) == pytest.approx((37.77, 38.27))
    assert misread(metric, "uncovered_line_counted", 49.8) == ()  # no line is left in sight but the last
    assert misread(metric, "covered_line_missed", 37.77) == pytest.approx((37.27,))
    assert misread(metric, "covered_line_missed", 25.2) == ()
    assert misread(metric, "thimble_backwards", 37.27) == pytest.approx((37.23,))
    assert misread(metric, "rod_forgotten", 37.27) == pytest.approx((12.27,))
    assert misread(metric, "division_missed", 37.27) == pytest.approx((32.27, 42.27))
    inch = "depth_micrometer_inch_0"
    assert misread(inch, "uncovered_line_counted", 0.486 * MM) == pytest.approx((0.511 * MM,))
    assert misread(inch, "one_line_off", 0.486 * MM) == pytest.approx((0.485 * MM, 0.487 * MM))
    assert "rod_forgotten" not in {one.name for one in find_instrument(inch).misreads}
