"""The plots, read back from their own coordinates."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.plots import (
    ADVANCE,
    EDGE,
    LETTERING,
    _Box,
    _hatched,
    limit_bar,
    per_cent,
    range_bar,
    spread_plot,
)
from assessments.engine.sheets import Limit

SVG = "{http://www.w3.org/2000/svg}"
TENTH_OF_A_UNIT = 0.1


def bar(value=0.113, low=0.09, high=0.15, allowed=0.005, texts=("0.113 mm", "0.09 mm", "0.15 mm")):
    return limit_bar(
        label="Tightest end",
        value=value,
        low=low,
        high=high,
        allowed=allowed,
        value_text=texts[0],
        low_text=texts[1] if low is not None else "",
        high_text=texts[2] if high is not None else "",
        ident="bar",
    )


def drawn(face):
    return ET.fromstring(face.svg)  # noqa: S314 - our own drawing


def classed(root, name):
    return [one for one in root.iter() if name in (one.get("class") or "").split()]


def numbers(element):
    return [float(one) for one in re.findall(r"-?\d+(?:\.\d+)?", element.get("d"))]


def bounds_at(root):
    """x of each upright of class bound, in the order drawn."""
    (path,) = classed(root, "bound")
    return numbers(path)[::3]


def boxes(root):
    """Where each text stands: (left, right, top, bottom), as wide as its letters may be."""
    found = []
    for one in root.iter(f"{SVG}text"):
        x, y, half = float(one.get("x")), float(one.get("y")), len(one.text) * ADVANCE / 2
        found.append((x - half, x + half, y - LETTERING, y))
    return found


def test_the_pointer_stands_on_the_scale_that_the_limits_make():
    root = drawn(bar())
    low_x, high_x = bounds_at(root)
    tip = numbers(classed(root, "pointer")[0])[0]
    assert 0.09 + (tip - low_x) / (high_x - low_x) * 0.06 == pytest.approx(0.113, abs=0.0001)


def test_the_tolerance_is_drawn_to_the_same_scale():
    root = drawn(bar())
    low_x, high_x = bounds_at(root)
    (allowed,) = classed(root, "allowed")
    width = float(allowed.get("width"))
    assert width / (high_x - low_x) * 0.06 == pytest.approx(2 * 0.005, rel=0.02)


def test_what_lies_outside_is_hatched_and_what_lies_inside_is_not():
    root = drawn(bar())
    low_x, high_x = bounds_at(root)
    strokes = [numbers(one) for one in classed(root, "hatch")]
    assert len(strokes) == 2
    assert max(strokes[0][::2]) <= low_x + TENTH_OF_A_UNIT
    assert min(strokes[1][::2]) >= high_x - TENTH_OF_A_UNIT


def test_a_limit_with_one_side_is_hatched_on_that_side_alone():
    root = drawn(bar(value=0.013, low=None, high=0.02, allowed=0.002, texts=("0.013 mm", "", "0.02 mm")))
    (bound,) = bounds_at(root)
    (hatch,) = classed(root, "hatch")
    assert min(numbers(hatch)[::2]) >= bound - TENTH_OF_A_UNIT
    assert [one.text for one in root.iter(f"{SVG}text")] == ["0.013 mm", "0", "at most 0.02 mm"]


def test_a_least_value_is_hatched_below_it():
    root = drawn(bar(value=0.5, low=0.4, high=None, allowed=0.01, texts=("0.5 mm", "0.4 mm", "")))
    (bound,) = bounds_at(root)
    assert max(numbers(classed(root, "hatch")[0])[::2]) <= bound + TENTH_OF_A_UNIT


def test_a_value_far_out_points_beyond_the_bar_and_leaves_the_limits_readable():
    root = drawn(bar(value=40.0, texts=("40 mm", "0.09 mm", "0.15 mm")))
    assert classed(root, "beyond")
    low_x, high_x = bounds_at(root)
    assert high_x - low_x > 50
    assert not classed(root, "allowed")


def test_a_tolerance_too_small_to_see_is_still_marked():
    (allowed,) = classed(drawn(bar(allowed=0.0)), "allowed")
    assert allowed.tag == f"{SVG}path"


@pytest.mark.parametrize(
    ("value", "allowed", "words"),
    [
        (0.113, 0.005, "The result is inside, and what the readings leave open does not cross a limit."),
        (0.147, 0.005, "The result is inside, and what the readings leave open crosses a limit."),
        (0.05, 0.005, "The result is under the low limit, and what the readings leave open does not cross a limit."),
        (0.16, 0.0, "The result is over the high limit."),
        (0.15, 0.0, "The result is inside."),
    ],
)
def test_the_words_say_what_the_drawing_shows(value, allowed, words):
    face = bar(value=value, allowed=allowed)
    assert face.alt.endswith(words)
    assert "The sheet says at least 0.09 mm and at most 0.15 mm." in face.alt
    assert drawn(face).find(f"{SVG}desc").text == face.alt


@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_what_is_no_number_cannot_be_drawn(value):
    with pytest.raises(ValueError, match="finite"):
        bar(value=value)


def test_a_bar_without_limits_cannot_be_drawn():
    with pytest.raises(ValueError, match="at least one limit"):
        bar(low=None, high=None)


finite = st.floats(-1e6, 1e6, allow_nan=False)
lettering = st.text(alphabet="0123456789.−/ min", min_size=1, max_size=18)


@given(finite, finite, st.floats(1e-6, 1e6), st.sampled_from(["both", "low", "high"]), st.floats(0, 1e6), lettering)
def test_lettering_never_touches_whatever_the_numbers(value, low, width, sides, allowed, words):
    face = bar(
        value=value,
        low=None if sides == "high" else low,
        high=None if sides == "low" else low + max(width, abs(low) * 1e-9),
        allowed=allowed,
        texts=(words, words, words),
    )
    root = drawn(face)
    height = float(root.get("viewBox").split()[3])
    found = boxes(root)
    for index, (left, right, top, bottom) in enumerate(found):
        assert left >= 0
        assert right <= 360
        assert top >= 0
        assert bottom <= height
        for other_left, other_right, other_top, other_bottom in found[:index]:
            assert right <= other_left or other_right <= left or bottom <= other_top or other_bottom <= top


def draws_about(low, high, count=3000):
    return np.random.default_rng(7).uniform(low, high, count)


def heights(root, side):
    """(left, right, height) of each bar of one side."""
    found = []
    for path in classed(root, "bars"):
        if side in path.get("class").split():
            numbers_of = numbers(path)
            found += [
                (numbers_of[i], numbers_of[i + 3], numbers_of[i + 1] - numbers_of[i + 2])
                for i in range(0, len(numbers_of), 5)
            ]
    return found


def test_the_bars_hold_every_draw_in_proportion():
    values = draws_about(0.06, 0.18)
    limit = Limit.between(0.09, 0.15, source="invented")
    root = drawn(spread_plot(values, limit, label="Clearance", unit="mm", ident="plot"))
    inside = sum(height for *_, height in heights(root, "inside"))
    outside = sum(height for *_, height in heights(root, "outside"))
    share = float(np.mean((values >= 0.09) & (values <= 0.15)))
    assert inside / (inside + outside) == pytest.approx(share, abs=0.005)


def test_no_bar_lies_across_a_limit():
    limit = Limit.between(0.09, 0.15, source="invented")
    root = drawn(spread_plot(draws_about(0.0, 0.4), limit, label="Clearance", unit="mm", ident="plot"))
    low_x, high_x = bounds_at(root)
    for left, right, _ in heights(root, "inside"):
        assert left >= low_x - TENTH_OF_A_UNIT
        assert right <= high_x + TENTH_OF_A_UNIT
    for left, right, _ in heights(root, "outside"):
        assert right <= low_x + TENTH_OF_A_UNIT or left >= high_x - TENTH_OF_A_UNIT


def test_a_draw_exactly_on_a_limit_is_counted_inside():
    values = np.array([0.09] * 5 + [0.15] * 5)
    limit = Limit.between(0.09, 0.15, source="invented")
    face = spread_plot(values, limit, label="Clearance", unit="mm", ident="plot")
    assert not heights(drawn(face), "outside")
    assert "0 % under, 100 % inside, 0 % over" in face.alt


def test_a_spread_without_a_limit_is_lettered_with_its_ends():
    values = np.array([1.0, 2.0, 4.0])
    root = drawn(spread_plot(values, None, label="Mean", unit="mm", step=0.01, ident="plot"))
    assert [one.text for one in root.iter(f"{SVG}text")] == ["1.00 mm", "4.00 mm"]
    assert not heights(root, "outside")
    assert len(heights(root, "inside")) == 3


@pytest.mark.parametrize("values", [np.array([]), np.array([0.0]), np.array([3.0, 3.0])])
@pytest.mark.parametrize("limit", [None, Limit.at_most(3.0, source="x"), Limit.at_least(0.0, source="x")])
def test_few_or_equal_draws_are_drawn_too(values, limit):
    face = spread_plot(values, limit, label="Taper", unit="mm", ident="plot")
    assert "nan" not in face.svg
    assert face.alt.startswith("Taper")


@given(
    st.lists(st.floats(-1e3, 1e3, allow_nan=False), min_size=1, max_size=30),
    st.integers(-(10**6), 10**6).map(lambda thousandths: thousandths / 1000),
    st.floats(1e-3, 1e3),
)
def test_lettering_of_a_spread_never_touches(values, low, width):
    limit = Limit.between(low, low + width, source="invented")
    root = drawn(spread_plot(np.array(values), limit, label="Clearance", unit="mm", ident="plot"))
    found = boxes(root)
    for index, (left, right, top, bottom) in enumerate(found):
        assert left >= 0
        assert right <= 360
        for other_left, other_right, other_top, other_bottom in found[:index]:
            assert right <= other_left or other_right <= left or bottom <= other_top or other_bottom <= top


def test_the_range_drawn_stands_to_scale_within_the_range_of_the_instrument():
    root = drawn(range_bar(label="Width", low=0.0, high=25.0, least=5.0, greatest=15.0, unit="mm", ident="range"))
    (part,) = classed(root, "drawn")
    across = 360 - 2 * EDGE
    assert (float(part.get("x")) - EDGE) / across * 25 == pytest.approx(5.0, abs=0.01)
    assert float(part.get("width")) / across * 25 == pytest.approx(10.0, abs=0.01)


def test_a_narrow_range_at_the_end_stays_visible_and_on_the_paper():
    root = drawn(range_bar(label="Bore", low=100, high=125, least=125, greatest=125, unit="mm", ident="range"))
    (part,) = classed(root, "drawn")
    assert float(part.get("width")) == 3
    assert float(part.get("x")) + 3 <= 360 - EDGE


@pytest.mark.parametrize(
    ("share", "words"),
    [(0.0, "0 %"), (0.001, "under 1 %"), (0.005, "1 %"), (0.5, "50 %"), (0.999, "over 99 %"), (1.0, "100 %")],
)
def test_shares_are_told_in_whole_per_cent(share, words):
    assert per_cent(share) == words


def test_a_box_of_no_width_is_not_hatched_and_a_corner_is_not_dotted():
    assert 'd=""' in _hatched([_Box(40, 40, 0, 20)])
    assert "M" in _hatched([_Box(40, 60, 0, 20)])


def test_lettering_is_escaped():
    face = bar(texts=("<b>", "&", '"'))
    assert "<b>" not in face.svg
    assert next(drawn(face).iter(f"{SVG}text")).text == "<b>"
