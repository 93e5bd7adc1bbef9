from __future__ import annotations

from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.instruments.tachometer import INSTRUMENTS, Tachometer
from tests.faces import Numeral, Point, clockwise, having, numerals, parse, size, strokes

HANDS, OUTER, INNER, COUNTER = INSTRUMENTS
CENTRE = (180.0, 180.0)


def on_lines(angle: float, marks: list[float], names: list[Numeral], centre: Point, drop: float) -> float:
    """The number at an angle, clockwise from the first line, by the numbered lines on either side of it."""
    start = marks[0]
    named = []
    for name in names:
        seen = (clockwise(centre, (name.x, name.y - drop)) - start + 1) % 360 - 1
        named.append((min(((one - start) % 360 for one in marks), key=lambda one: abs(one - seen)), name.value))
    named.sort()
    here = (angle - start + 0.05) % 360 - 0.05
    for (low, first), (high, second) in pairwise(named):
        if low - 0.1 <= here <= high + 0.1:
            return first + (second - first) * (here - low) / (high - low)
    low, first = named[-1]
    return first + (here - low) / 360 * 10  # of a dial that goes on round: ten numbers a turn


def angles(root: ET.Element, class_: str, centre: Point = CENTRE) -> list[float]:
    return [clockwise(centre, stroke[0]) for stroke in strokes(root, class_)]


def two_hands(root: ET.Element) -> float:
    marks = sorted(angles(root, "dial-line"), key=lambda one: (one + 0.1) % 360)
    long = on_lines(angles(root, "long-hand")[0], marks, numerals(root, "dial-num"), CENTRE, 10) * 100
    small = strokes(root, "small-line")
    (x1, y1), (x2, y2) = small[0]
    (x3, y3), (x4, y4) = small[-1]
    t = ((x3 - x1) * (y4 - y3) - (y3 - y1) * (x4 - x3)) / ((x2 - x1) * (y4 - y3) - (y2 - y1) * (x4 - x3))
    middle = (x1 + t * (x2 - x1), y1 + t * (y2 - y1))
    passed = on_lines(
        angles(root, "small-hand", middle)[0],
        angles(root, "small-line", middle),
        numerals(root, "small-num"),
        middle,
        6,
    )
    return round(passed - long / 1000) * 1000 + long


def ring(root: ET.Element, which: str) -> float:
    marks = sorted(angles(root, "ring-line"), key=lambda one: (one - 180) % 360)
    drop = 5.0
    return on_lines(angles(root, "ring-hand")[0], marks, numerals(root, f"{which}-num"), CENTRE, drop)


def counted(root: ET.Element) -> float:
    before, after = (
        int("".join(one.words for one in sorted(numerals(root, f"{name}-figure"), key=lambda one: one.x)))
        for name in ("before", "after")
    )
    watch = strokes(root, "watch-hand")[0][0]
    lines = strokes(root, "watch-line")
    middle = (
        sum(stroke[0][0] for stroke in lines) / len(lines),
        sum(stroke[0][1] for stroke in lines) / len(lines),
    )
    seconds = clockwise(middle, watch) / 360 * 60
    return (after - before) * 60 / seconds


def read_back(tachometer: Tachometer, reading: float) -> float:
    root = parse(tachometer.face(reading, ident="f").svg)
    if tachometer is HANDS:
        return two_hands(root)
    if tachometer is COUNTER:
        return counted(root)
    return ring(root, "outer" if tachometer is OUTER else "inner")


@pytest.mark.parametrize("tachometer", INSTRUMENTS, ids=lambda one: one.name)
def test_every_step_of_the_whole_range_is_read_back(tachometer: Tachometer) -> None:
    low, high = round(tachometer.low / tachometer.step), round(tachometer.high / tachometer.step)
    for k in range(low, high + 1, 1 if high - low < 1000 else 13):
        reading = k * tachometer.step
        assert abs(read_back(tachometer, reading) - reading) < tachometer.step / 4, k


@given(st.sampled_from(INSTRUMENTS[:3]).flatmap(lambda one: st.tuples(st.just(one), st.floats(one.low, one.high))))
def test_any_speed_is_read_back_from_the_hands(case: tuple[Tachometer, float]) -> None:
    tachometer, reading = case

    assert abs(read_back(tachometer, reading) - reading) < tachometer.step / 4


def test_lines_stand_evenly_and_each_is_worth_its_step() -> None:
    root = parse(OUTER.face(0.0, ident="f").svg)
    marks = sorted((one - 180) % 360 for one in angles(root, "ring-line"))

    assert len(marks) == 251
    assert [b - a for a, b in pairwise(marks)] == pytest.approx([1.2] * 250, abs=0.02)
    assert [one.step for one in INSTRUMENTS] == [10, 20, 2, 2]


def test_the_frame_stands_round_the_ring_in_use() -> None:
    for tachometer, name in ((OUTER, "outer"), (INNER, "inner")):
        root = parse(tachometer.face(0.0, ident="f").svg)
        (frame,) = having(root, "range-frame")
        (label,) = [one for one in numerals_of_words(root) if one[0] == name]
        assert size(frame, "y") < label[1] < size(frame, "y") + size(frame, "height")
        assert name in tachometer.face(0.0, ident="f").alt.rsplit(":", 1)[1]


def numerals_of_words(root: ET.Element) -> list[tuple[str, float]]:
    return [(one.text or "", size(one, "y")) for one in having(root, "num-small")]


def test_the_inner_ring_has_a_tenth_of_the_outer_rings_numbers() -> None:
    root = parse(INNER.face(0.0, ident="f").svg)
    outer, inner = ([one.value for one in numerals(root, f"{name}-num")] for name in ("outer", "inner"))

    assert outer == [10 * one for one in inner]
    assert max(inner) == 500


def test_the_counter_shows_five_figures_at_every_speed() -> None:
    for reading in range(100, 10001, 18):
        root = parse(COUNTER.face(float(reading), ident="f").svg)
        assert all(len(numerals(root, f"{name}-figure")) == 5 for name in ("before", "after"))


def misread(tachometer: Tachometer, slip: str, right: float) -> tuple[float, ...]:
    return next(one.wrong for one in tachometer.misreads if one.name == slip)(right)


def test_misreads_give_the_numbers_a_person_would_write() -> None:
    assert misread(HANDS, "small_hand_missed", 3740.0) == (740,)
    assert misread(HANDS, "small_hand_missed", 740.0) == ()
    assert misread(HANDS, "next_thousand", 3740.0) == (4740,)
    assert misread(HANDS, "next_thousand", 3000.0) == ()
    assert misread(OUTER, "wrong_ring", 3740.0) == pytest.approx((374,))
    assert misread(INNER, "wrong_ring", 374.0) == pytest.approx((3740,))
    assert misread(OUTER, "wrong_ring", 0.0) == ()
    # Twelve lines past 3500, each taken for ten.
    assert misread(OUTER, "lines_as_half", 3740.0) == pytest.approx((3620,))
    assert misread(OUTER, "lines_as_half", 3520.0) == ()
    assert misread(OUTER, "numbered_line_off", 3740.0) == pytest.approx((3240, 4240))
    assert misread(COUNTER, "time_left_out", 3742.0) == (1871,)
    assert misread(COUNTER, "seconds_as_hundredths", 3600.0) == pytest.approx((6000,))
    assert misread(COUNTER, "figure_off", 3742.0) == (3722, 3762)
    before = int("".join(one.words for one in numerals(parse(COUNTER.face(3742.0, ident="f").svg), "before-figure")))
    assert misread(COUNTER, "before_left_out", 3742.0) == (3742 + 2 * before,)
