from __future__ import annotations

import math
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.instruments import find_instrument
from assessments.engine.instruments.dial_indicator import INSTRUMENTS, DialIndicator
from tests.faces import CSS, Numeral, Point, clockwise, numerals, parse, strokes

MM = 25.4
BALANCED = [one for one in INSTRUMENTS if not one.has_counter]
CONTINUOUS = [one for one in INSTRUMENTS if one.has_counter]


def middle(root: ET.Element, class_: str) -> Point:
    """The middle of a dial, from the outer ends of its lines that stand opposite each other."""
    ends = [stroke[0] for stroke in strokes(root, class_)]
    if class_ == "counter-line":  # not a whole circle: where two of its lines would cross
        (x1, y1), (x2, y2) = strokes(root, class_)[0]
        (x3, y3), (x4, y4) = strokes(root, class_)[-1]
        t = ((x3 - x1) * (y4 - y3) - (y3 - y1) * (x4 - x3)) / ((x2 - x1) * (y4 - y3) - (y2 - y1) * (x4 - x3))
        return x1 + t * (x2 - x1), y1 + t * (y2 - y1)
    return sum(x for x, _ in ends) / len(ends), sum(y for _, y in ends) / len(ends)


def named_lines(root: ET.Element, lines: str, names: list[Numeral], centre: Point) -> list[tuple[float, float]]:
    """(angle of the line nearest each numeral, its number), clockwise from nought."""
    angles = [clockwise(centre, stroke[0]) for stroke in strokes(root, lines)]
    found = []
    for name in names:
        seen = clockwise(centre, (name.x, name.y - 9 if lines == "dial-line" else name.y - 6))
        nearest = min(angles, key=lambda one: abs((one - seen + 180) % 360 - 180))
        found.append((nearest, name.value))
    nought = next(angle for angle, value in found if value == 0)
    return sorted(((angle - nought + 0.01) % 360, value) for angle, value in found)


def between(hand: float, named: list[tuple[float, float]]) -> float:
    """The number at an angle, by the two numbered lines it lies between."""
    for (low, first), (high, second) in pairwise(named):
        if low <= hand <= high:
            return first + (second - first) * (hand - low) / (high - low)
    raise AssertionError(f"no numbered lines about {hand}")


def read_back(dial: DialIndicator, reading: float) -> float:
    """In mm."""
    root = parse(dial.face(reading, ident="f").svg)
    centre = middle(root, "dial-line")
    named = named_lines(root, "dial-line", numerals(root, "dial-num"), centre)
    nought = clockwise(centre, (180, 0))
    hand = (clockwise(centre, strokes(root, "long-hand")[0][0]) - nought + 0.01) % 360
    hand = max(hand, named[0][0])  # written to a hundredth of a unit, a hand a hair short of nought may be on it
    whole = 100.0 if dial.has_counter else 0.0
    lines = between(hand, [*named, (360.01, whole)]) if hand <= 360 else 0.0
    if not dial.has_counter:
        signs = strokes(root, "sign-line")  # the plus has two strokes, the minus one
        upright = next(stroke for stroke in signs if stroke[0][0] == stroke[1][0])
        plus_is_right = upright[0][0] > centre[0]
        assert plus_is_right
        return (lines if hand <= 180.02 else -lines) * dial.step
    counter = middle(root, "counter-line")
    turns_named = named_lines(root, "counter-line", numerals(root, "counter-num"), counter)
    start = clockwise(counter, strokes(root, "counter-line")[0][0])
    small = (clockwise(counter, strokes(root, "counter-hand")[0][0]) - start + 0.01) % 360
    passed = between(small if small < 359 else 0.01, turns_named)
    return (round(passed - lines / 100) * 100 + lines) * dial.step


on_step = st.sampled_from(INSTRUMENTS).flatmap(
    lambda one: st.tuples(
        st.just(one), st.integers(round(one.low / one.step), round(one.high / one.step)).map(lambda k: k * one.step)
    )
)
anywhere = st.sampled_from(INSTRUMENTS).flatmap(lambda one: st.tuples(st.just(one), st.floats(one.low, one.high)))


@given(anywhere)
def test_any_size_is_read_back_from_hand_and_numerals(case: tuple[DialIndicator, float]) -> None:
    dial, reading = case

    assert abs(read_back(dial, reading) - reading) < dial.step / 4


@pytest.mark.parametrize("dial", INSTRUMENTS, ids=lambda one: one.name)
def test_every_line_of_the_whole_range_is_read_back(dial: DialIndicator) -> None:
    for k in range(round(dial.low / dial.step), round(dial.high / dial.step) + 1):
        assert abs(read_back(dial, k * dial.step) - k * dial.step) < dial.step / 4, k


@pytest.mark.parametrize("dial", INSTRUMENTS, ids=lambda one: one.name)
def test_a_dial_has_a_hundred_even_lines(dial: DialIndicator) -> None:
    root = parse(dial.face(0.0, ident="f").svg)
    centre = middle(root, "dial-line")
    angles = sorted((clockwise(centre, stroke[0]) + 0.01) % 360 for stroke in strokes(root, "dial-line"))

    assert len(angles) == 100
    assert [b - a for a, b in pairwise(angles)] == pytest.approx([3.6] * 99, abs=0.03)


@given(on_step)
def test_the_tip_of_the_hand_reaches_the_lines_and_does_not_hide_them(case: tuple[DialIndicator, float]) -> None:
    dial, reading = case
    root = parse(dial.face(reading, ident="f").svg)
    centre = middle(root, "dial-line")

    def out(point: Point) -> float:
        return math.dist(point, centre)

    shortest = min(strokes(root, "dial-line"), key=lambda stroke: out(stroke[0]) - out(stroke[1]))
    assert out(shortest[1]) <= out(strokes(root, "long-hand")[0][0]) < out(shortest[0])


def test_plus_is_clockwise() -> None:
    dial = find_instrument("dial_indicator_balanced_metric")
    root = parse(dial.face(0.1, ident="f").svg)
    tip = strokes(root, "long-hand")[0][0]

    assert clockwise((180, 180), tip) == pytest.approx(36, abs=0.02)


def test_the_numbers_of_a_balanced_dial_grow_both_ways() -> None:
    root = parse(find_instrument("dial_indicator_balanced_inch").face(0.0, ident="f").svg)
    named = named_lines(root, "dial-line", numerals(root, "dial-num"), (180, 180))

    assert [value for _, value in named] == [0, 10, 20, 30, 40, 50, 40, 30, 20, 10]


def test_a_balanced_dial_is_not_read_where_plus_and_minus_meet() -> None:
    for dial in BALANCED:
        assert dial.high == -dial.low == pytest.approx(49 * dial.step)


def test_the_counter_tells_nought_from_ten() -> None:
    for dial in CONTINUOUS:
        first, last = (
            strokes(parse(dial.face(end, ident="f").svg), "counter-hand")[0][0] for end in (dial.low, dial.high)
        )
        assert abs(first[0] - last[0]) > 20


@given(anywhere)
def test_a_hand_that_sticks_is_shown_where_it_stands_and_where_it_goes(case: tuple[DialIndicator, float]) -> None:
    """The hand itself still gives the reading; dotted, it stands several lines on, too far to call it a reading."""
    dial, reading = case
    root = parse(dial.face(reading, ident="f", oddity="sticks").svg)
    plain = parse(dial.face(reading, ident="f").svg)
    stood, went = (clockwise((180, 180), strokes(root, name)[0][0]) for name in ("long-hand", "tapped-hand"))

    assert strokes(root, "long-hand") == strokes(plain, "long-hand")
    assert not strokes(plain, "tapped-hand")
    assert 3.9 <= abs((went - stood + 180) % 360 - 180) / 3.6 <= 8.1


def test_numerals_are_large_enough_for_eight_dials_in_a_grid() -> None:
    assert ".face .num-dial { font-size: 28px" in (CSS / "faces.css").read_text()  # 13 px where a dial is 170 px wide


def test_misreads_give_the_numbers_a_person_would_write() -> None:
    wrong = {one.name: one.wrong for one in find_instrument("dial_indicator_balanced_metric").misreads}
    assert wrong["sign_lost"](-0.17) == pytest.approx((0.17,))
    assert wrong["sign_lost"](0.0) == ()
    assert wrong["read_on_round"](-0.17) == pytest.approx((0.83,))
    assert wrong["read_on_round"](0.17) == pytest.approx((-0.83,))
    assert wrong["lines_counted"](-0.17) == pytest.approx((-17,))
    assert wrong["lines_counted"](0.0) == ()
    assert wrong["one_line_off"](0.17) == pytest.approx((0.16, 0.18))
    wrong = {one.name: one.wrong for one in find_instrument("dial_indicator_continuous_metric").misreads}
    assert wrong["turn_off"](3.82) == pytest.approx((2.82, 4.82))
    assert wrong["other_numerals"](3.82) == pytest.approx((3.18,))
    assert wrong["other_numerals"](3.0) == ()
    wrong = {one.name: one.wrong for one in find_instrument("dial_indicator_continuous_inch").misreads}
    assert wrong["turn_off"](0.382 * MM) == pytest.approx((0.282 * MM, 0.482 * MM))


@pytest.mark.parametrize(
    ("name", "right", "typed"),
    [("dial_indicator_balanced_metric", -0.07, -7.0), ("dial_indicator_balanced_inch", 0.004 * 25.4, 4 * 25.4)],
)
def test_lines_counted_and_not_worked_into_a_length_are_recognised(name, right, typed):
    dial = find_instrument(name)
    counted = next(one for one in dial.misreads if one.name == "lines_counted")

    assert counted.wrong(right) == pytest.approx((typed,))
    assert counted.wrong(0.0) == ()
