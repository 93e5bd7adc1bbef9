from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.instruments import find_instrument
from assessments.engine.instruments.squashed_strip import INSTRUMENTS, SquashedStrip
from tests.faces import having, numerals, parse, size, strokes

MM = 25.4
METRIC, INCH = INSTRUMENTS


def read_back(svg: str, unit: str) -> float:
    """Width in mm: the widest place of the print, between the two numerals of the scale that lie furthest apart."""
    root = parse(svg)
    scale = numerals(root, "mm-num" if unit == "mm" else "inch-num")
    first, last = scale[0], scale[-1]
    points = [point for stroke in strokes(root, "print") for point in stroke]
    right = max(x for x, _ in points)
    value = first.value + (right - first.x) / (last.x - first.x) * (last.value - first.value)
    return value * (1 if unit == "mm" else MM)


readings = st.sampled_from(INSTRUMENTS).flatmap(
    lambda one: st.tuples(st.just(one), st.floats(one.low, one.high), st.sampled_from(["", "disturbed"]))
)


@given(readings)
def test_the_widest_place_is_the_reading_on_either_scale(case: tuple[SquashedStrip, float, str]) -> None:
    strip, reading, oddity = case
    svg = strip.face(reading, ident="f", oddity=oddity).svg

    assert abs(read_back(svg, "mm") - reading) < strip.step / 4
    assert abs(read_back(svg, "in") - reading) < strip.step / 4


@pytest.mark.parametrize("strip", INSTRUMENTS, ids=lambda one: one.name)
def test_every_step_of_the_range_is_read_back(strip: SquashedStrip) -> None:
    steps = range(round(strip.low / strip.step), round(strip.high / strip.step) + 1)

    assert len(steps) > 40
    for k in steps:
        assert round(read_back(strip.face(k * strip.step, ident="f").svg, strip.unit) / strip.step) == k


@given(readings)
def test_the_print_lies_against_the_zero_line_and_inside_its_band(case: tuple[SquashedStrip, float, str]) -> None:
    strip, reading, oddity = case
    root = parse(strip.face(reading, ident="f", oddity=oddity).svg)
    points = [point for stroke in strokes(root, "print") for point in stroke]
    ((zero_x, top), (_, bottom)) = strokes(root, "zero")[0]

    assert min(x for x, _ in points) == pytest.approx(zero_x, abs=0.01)
    assert top <= min(y for _, y in points)
    assert max(y for _, y in points) <= bottom


@given(st.floats(METRIC.low, METRIC.high))
def test_the_edges_of_a_sound_print_wave_by_less_than_half_a_line(reading: float) -> None:
    root = parse(METRIC.face(reading, ident="f").svg)
    (outline,) = strokes(root, "print")
    right = max(x for x, _ in outline)
    middle = (right + min(x for x, _ in outline)) / 2
    lines = strokes(root, "mm-scale")
    apart = lines[1][0][0] - lines[0][0][0]

    assert right - min(x for x, _ in outline if x > middle) <= apart / 2


@given(st.floats(METRIC.low, METRIC.high))
def test_a_disturbed_print_leans_and_shows_double(reading: float) -> None:
    root = parse(METRIC.face(reading, ident="f", oddity="disturbed").svg)
    prints = strokes(root, "print")
    assert len(prints) == 2
    for outline in prints:
        top, bottom = min(y for _, y in outline), max(y for _, y in outline)
        leaning = max(x for x, y in outline if y == top) - max(x for x, y in outline if y == bottom)
        assert leaning > 4


@pytest.mark.parametrize(
    ("class_", "names", "step", "halves"), [("mm-scale", "mm-num", 0.1, 5), ("inch-scale", "inch-num", 0.005, 5)]
)
def test_the_scales_are_evenly_ruled_with_longer_lines_and_true_numbers(
    class_: str, names: str, step: float, halves: int
) -> None:
    root = parse(METRIC.face(2.0, ident="f").svg)
    ruled = strokes(root, class_)
    apart = ruled[1][0][0] - ruled[0][0][0]
    tall = [abs(a[1] - b[1]) for a, b in ruled]

    assert all(b[0][0] - a[0][0] == pytest.approx(apart, abs=0.02) for a, b in pairwise(ruled))
    for numeral in numerals(root, names):
        k = round(numeral.value / step)
        assert ruled[k][0][0] == pytest.approx(numeral.x, abs=0.01)
        assert tall[k] == max(tall)
    assert all((length > min(tall)) == (k % halves == 0) for k, length in enumerate(tall))


def test_both_scales_measure_the_same_card() -> None:
    root = parse(METRIC.face(2.0, ident="f").svg)
    mm, inch = numerals(root, "mm-num"), numerals(root, "inch-num")

    per_mm = (mm[-1].x - mm[0].x) / mm[-1].value
    per_inch = (inch[-1].x - inch[0].x) / inch[-1].value
    assert per_inch / per_mm == pytest.approx(MM, rel=1e-3)


@pytest.mark.parametrize("strip", INSTRUMENTS, ids=lambda one: one.name)
def test_the_name_of_the_scale_to_be_read_is_framed(strip: SquashedStrip) -> None:
    root = parse(strip.face(2.0, ident="f").svg)
    (frame,) = having(root, "frame")
    top, tall = size(frame, "y"), size(frame, "height")
    framed = [one.words for one in numerals(root, "num-small") if top < one.y < top + tall]

    assert framed == [strip.unit]
    assert {"mm": "millimetre", "in": "inch"}[strip.unit] in strip.title


def test_misreads_give_the_numbers_a_person_would_write() -> None:
    wrong = {misread.name: misread.wrong for misread in METRIC.misreads}
    # 2.54 mm is 0.100 in; read 2.5 mm the nearest inch line is .100 (2.5 / 25.4 = .0984).
    assert wrong["other_scale"](2.5) == pytest.approx((0.100,))
    assert wrong["one_line_off"](2.5) == pytest.approx((2.4, 2.6))
    assert wrong["long_line_miscounted"](2.5) == pytest.approx((1.5, 2.0, 3.0, 3.5))
    wrong = {misread.name: misread.wrong for misread in INCH.misreads}
    # .100 in read on the millimetre scale is 2.5 and would be written as 2.5 in.
    assert wrong["other_scale"](0.100 * MM) == pytest.approx((2.5 * MM,))
    assert wrong["one_line_off"](0.100 * MM) == pytest.approx((0.095 * MM, 0.105 * MM))


def test_they_are_found_by_name() -> None:
    assert find_instrument("squashed_strip_metric") is METRIC
    assert find_instrument("squashed_strip_inch") is INCH
