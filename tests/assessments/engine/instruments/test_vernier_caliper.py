from __future__ import annotations

import math
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.instruments import find_instrument
from assessments.engine.instruments.vernier_caliper import INSTRUMENTS, VernierCaliper
from tests.faces import numerals, parse, strokes

MM = 25.4
FIFTIETHS, TWENTIETHS, INCH = INSTRUMENTS


def xs(root: ET.Element, class_: str) -> list[float]:
    return sorted(stroke[0][0] for stroke in strokes(root, class_))


def beam(root: ET.Element, unit: str) -> float:
    """In divisions of the beam: where the vernier's nought stands in the small drawing, from a numeral by lines."""
    marks = xs(root, "beam-line")
    nought = xs(root, "slider-line")[0]
    if unit == "mm":
        named = min(numerals(root, "beam-num"), key=lambda one: abs(one.x - nought))
        value = named.value
    else:
        named = min(numerals(root, "whole-beam-num"), key=lambda one: abs(one.x - nought))
        value = 40 * named.value
    place = min(range(len(marks)), key=lambda k: abs(marks[k] - named.x))
    apart = (marks[-1] - marks[0]) / (len(marks) - 1)
    return value + (nought - marks[place]) / apart


def pieces(root: ET.Element) -> list[tuple[float, list[float], list[float]]]:
    """(edge, the beam's lines, the vernier's lines), from the first piece to the last."""
    found: dict[float, tuple[list[float], list[float]]] = {}
    for which, class_ in enumerate(("piece-beam-line", "vernier-line")):
        for stroke in strokes(root, class_):
            found.setdefault(stroke[0][1], ([], []))[which].append(stroke[0][0])
    return [(edge, sorted(above), sorted(below)) for edge, (above, below) in sorted(found.items())]


def apart_by_line(root: ET.Element) -> list[float]:
    """How far from each line of the vernier, in order, the nearest line of the beam is, in divisions of the beam."""
    found = []
    for _, above, below in pieces(root):
        division = (above[-1] - above[0]) / (len(above) - 1)
        found += [min(abs(x - other) for other in above) / division for x in below]
    return found


def read_back(caliper: VernierCaliper, reading: float) -> float:
    """In mm: the beam's last line before the vernier's nought, and the vernier's line that goes on straight."""
    root = parse(caliper.face(reading, ident="f").svg)
    apart = apart_by_line(root)
    line = min(range(len(apart) - 1), key=lambda k: apart[k])  # the last line says the same as the first
    at = beam(root, caliper.unit)
    whole = round(at - line / (len(apart) - 1))
    division = 1.0 if caliper.unit == "mm" else 0.025 * MM
    return whole * division + line * caliper.step


@pytest.mark.parametrize("caliper", INSTRUMENTS, ids=lambda one: one.name)
def test_readings_over_the_whole_range_are_read_back(caliper: VernierCaliper) -> None:
    count = round(caliper.high / caliper.step)
    some = {*range(60), *range(60, count, 41), *range(count - 60, count + 1)}
    for k in sorted(some):
        assert abs(read_back(caliper, k * caliper.step) - k * caliper.step) < caliper.step / 4, k


@given(st.sampled_from(INSTRUMENTS), st.floats(0, 1))
def test_the_nought_of_the_vernier_stands_where_the_size_is(caliper: VernierCaliper, share: float) -> None:
    reading = share * caliper.high
    root = parse(caliper.face(reading, ident="f").svg)
    division = 1.0 if caliper.unit == "mm" else 0.025 * MM

    assert beam(root, caliper.unit) * division == pytest.approx(reading, abs=division / 100)


@given(
    st.sampled_from(INSTRUMENTS).flatmap(
        lambda one: st.tuples(st.just(one), st.integers(0, round(one.high / one.step)))
    )
)
def test_just_one_line_goes_on_straight_or_the_first_and_the_last(case: tuple[VernierCaliper, int]) -> None:
    caliper, k = case
    apart = apart_by_line(parse(caliper.face(k * caliper.step, ident="f").svg))
    lines = len(apart) - 1
    straight = [place for place, one in enumerate(apart) if one < 0.25 / lines]

    assert straight == ([0, lines] if k % lines == 0 else [k % lines])
    assert sorted(apart)[len(straight)] > 0.75 / lines  # and the next best is clearly off


@pytest.mark.parametrize(("caliper", "lines", "over"), [(FIFTIETHS, 50, 49), (TWENTIETHS, 20, 19), (INCH, 25, 24)])
def test_the_vernier_takes_up_one_division_of_the_beam_less(caliper: VernierCaliper, lines: int, over: int) -> None:
    root = parse(caliper.face(caliper.high / 3, ident="f").svg)
    small, beam_lines = xs(root, "slider-line"), xs(root, "beam-line")
    division = (beam_lines[-1] - beam_lines[0]) / (len(beam_lines) - 1)

    assert len(small) == lines + 1
    assert (small[-1] - small[0]) / division == pytest.approx(over, abs=0.02)
    for _, above, below in pieces(root):
        ratio = (below[-1] - below[0]) / (len(below) - 1) / ((above[-1] - above[0]) / (len(above) - 1))
        assert ratio == pytest.approx(over / lines, abs=0.0005)


def test_the_pieces_are_the_whole_vernier_once() -> None:
    for caliper in INSTRUMENTS:
        rows = pieces(parse(caliper.face(0.0, ident="f").svg))
        assert sum(len(below) for _, _, below in rows) == round(caliper.graduation / caliper.step) + 1


def test_the_numerals_of_the_pieces_agree_with_the_beam() -> None:
    """A numbered line of the beam in a piece stands where the size puts it, by the nearest vernier line."""
    for caliper, reading in ((FIFTIETHS, 23.46), (TWENTIETHS, 97.35), (INCH, 1.486 * MM)):
        root = parse(caliper.face(reading, ident="f").svg)
        division = 1.0 if caliper.unit == "mm" else 0.025
        lines = round(caliper.graduation / caliper.step)
        first = 0
        for edge, above, below in pieces(root):
            scale = (above[-1] - above[0]) / (len(above) - 1) / division
            for numeral in numerals(root, "piece-num"):
                if edge - 40 < numeral.y < edge:
                    value = numeral.value + (1 if numeral.words.startswith(".") else 0)  # all of these past one inch
                    start = reading / caliper.unit_size + first * division * (lines - 1) / lines
                    assert start + (numeral.x - below[0]) / scale == pytest.approx(value, abs=division / 50)
            first += len(below)


def test_an_inch_caliper_is_read_in_parts_as_in_the_navy_pamphlet() -> None:
    """OD 1642: 1.000 + .400 + 3 x .025 + .011 = 1.486 in."""
    root = parse(INCH.face(1.486 * MM, ident="f").svg)
    nought = xs(root, "slider-line")[0]
    inch = max((one for one in numerals(root, "whole-beam-num") if one.x <= nought), key=lambda one: one.x)
    tenth = max((one for one in numerals(root, "beam-num") if one.x <= nought), key=lambda one: one.x)
    short = [x for x in xs(root, "beam-line") if tenth.x + 0.1 < x <= nought]
    apart = apart_by_line(root)

    assert (inch.words, tenth.words, len(short)) == ("1", "4", 3)
    assert apart.index(min(apart)) == 11


@given(st.floats(0, 40))
def test_the_jaws_stand_apart_by_the_size(reading: float) -> None:
    root = parse(TWENTIETHS.face(reading, ident="f").svg)
    marks = xs(root, "beam-line")
    division = (marks[-1] - marks[0]) / (len(marks) - 1)
    fixed = strokes(root, "fixed-jaw")
    (sliding,) = strokes(root, "sliding-jaw")
    if reading < 12:
        assert (sliding[0][0] - fixed[0][0][0]) / division == pytest.approx(reading, abs=0.01)
    if reading > 20:
        assert not fixed  # out of sight


def misread(name: str, slip: str, right: float) -> tuple[float, ...]:
    return next(one.wrong for one in find_instrument(name).misreads if one.name == slip)(right)


def test_misreads_give_the_numbers_a_person_would_write() -> None:
    metric = "vernier_caliper_metric_fiftieths"
    assert misread(metric, "vernier_line_off", 23.46) == pytest.approx((23.44, 23.48))
    assert misread(metric, "line_past_nought", 23.46) == pytest.approx((24.46,))
    # Line 23 of the vernier goes on straight, into the beam's 46.
    assert misread(metric, "line_at_coincidence", 23.46) == pytest.approx((46.46,))
    assert misread(metric, "line_at_coincidence", 23.0) == ()
    assert misread(metric, "lines_as_hundredths", 23.46) == pytest.approx((23.23,))
    assert misread(metric, "lines_as_hundredths", 23.02) == ()
    assert misread(metric, "ten_off", 23.46) == pytest.approx((13.46, 33.46))
    assert misread("vernier_caliper_metric_twentieths", "lines_as_hundredths", 7.35) == pytest.approx((7.07,))
    inch = "vernier_caliper_inch"
    assert misread(inch, "line_past_nought", 1.486 * MM) == pytest.approx((1.511 * MM,))
    assert misread(inch, "tenth_off", 1.486 * MM) == pytest.approx((1.386 * MM, 1.586 * MM))
    assert misread(inch, "inch_off", 1.486 * MM) == pytest.approx((0.486 * MM, 2.486 * MM))
    assert misread(inch, "short_lines_missed", 1.486 * MM) == pytest.approx((1.411 * MM,))
    assert misread(inch, "short_lines_missed", 1.411 * MM) == ()
    assert misread(inch, "line_at_coincidence", 1.486 * MM) == pytest.approx(((1.486 + 11 * 0.025) * MM,))


def test_steps_are_those_of_the_trade() -> None:
    assert [one.step for one in INSTRUMENTS] == pytest.approx([0.02, 0.05, 0.001 * MM])
    assert all(math.isclose(one.high, top) for one, top in zip(INSTRUMENTS, (150, 150, 6 * MM), strict=True))
