from __future__ import annotations

import math
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.drawing import (
    Drawn,
    arc,
    at,
    circle,
    element,
    hand,
    lines,
    number,
    outline,
    path,
    picture,
    rect,
    spokes,
    text,
    together,
    uprights,
    wave,
)
from tests.faces import SVG, parse, strokes


def svg(*parts: Drawn) -> ET.Element:
    return parse(picture(*parts, ident="f", title="T", alt="A", height=100))


@pytest.mark.parametrize(
    ("value", "written"),
    [(0.0, "0"), (-0.001, "0"), (12.0, "12"), (100.0, "100"), (1.5, "1.5"), (-2.345678, "-2.35"), (0.1 + 0.2, "0.3")],
)
def test_a_coordinate_is_written_as_short_as_it_can_be(value: float, written: str) -> None:
    assert number(value) == written


@given(st.floats(-1e4, 1e4))
def test_a_coordinate_is_never_further_off_than_half_a_hundredth(value: float) -> None:
    assert abs(float(number(value)) - value) <= 0.005 + 1e-9


@given(st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs"), exclude_characters="\ufffe\uffff")))
def test_whatever_is_put_in_comes_out_as_the_same_text(words: str) -> None:
    root = svg(text("num", 1, 2, words))

    assert (root.findall(f"{SVG}text")[0].text or "") == words


def test_markup_in_title_alt_and_attributes_stays_text() -> None:
    evil = '"><script>alert(1)</script>&amp;'
    root = parse(picture(circle(evil, 1, 2, 3), ident="f", title=evil, alt=evil, height=10))

    assert [child.tag for child in root] == [f"{SVG}title", f"{SVG}desc", f"{SVG}circle"]
    assert root[0].text == evil
    assert root[1].text == evil
    assert root[2].get("class") == evil


def test_drawn_pieces_are_not_escaped_again() -> None:
    assert element("g", together(rect("a", 0, 0, 1, 1), path("b", "M0 0"))) == (
        '<g><rect class="a" x="0" y="0" width="1" height="1"/><path class="b" d="M0 0"/></g>'
    )


def test_underscores_write_hyphens_and_shield_reserved_words() -> None:
    assert element("a", class_="b", aria_labelledby="c d", viewBox="0") == (
        '<a class="b" aria-labelledby="c d" viewBox="0"/>'
    )


def test_a_picture_has_a_name_and_a_description_by_unique_ids() -> None:
    root = parse(picture(ident="q7", title="A rule", alt="Lines.", height=123.5))

    assert root.get("role") == "img"
    assert root.get("viewBox") == "0 0 360 123.5"
    assert root.attrib["aria-labelledby"].split() == [one.get("id") for one in root]
    assert [one.text for one in root] == ["A rule", "Lines."]


@pytest.mark.parametrize("ident", ["", "7a", "a b", 'a"', "a<", "é"])
def test_an_ident_that_cannot_begin_an_id_is_refused(ident: str) -> None:
    with pytest.raises(ValueError, match="cannot begin an id"):
        picture(ident=ident, title="T", alt="A", height=1)


def test_uprights_and_lines_go_where_they_are_told() -> None:
    root = svg(uprights("a", [(1, 2, 3), (4, 5, -6)]), lines("b", [((1, 2), (3, 4))]), outline("c", [(0, 0), (1, 0)]))

    assert strokes(root, "a") == [[(1, 2), (1, 5)], [(4, 5), (4, -1)]]
    assert strokes(root, "b") == [[(1, 2), (3, 4)]]
    assert strokes(root, "c") == [[(0, 0), (1, 0)]]


def test_angles_go_clockwise_from_twelve() -> None:
    assert at((10, 10), 5, 0) == pytest.approx((10, 5))
    assert at((10, 10), 5, 90) == pytest.approx((15, 10))
    assert at((10, 10), 5, 180) == pytest.approx((10, 15))
    assert strokes(svg(spokes("s", (0, 0), [(90, 1, 2)])), "s") == [[(1, 0), (2, 0)]]


def test_a_hand_points_with_its_tip_and_is_alike_on_both_sides() -> None:
    points = strokes(svg(hand("h", (100, 100), 90, tip=80, tail=20, half=4)), "h")[0]

    assert points[0] == pytest.approx((180, 100))
    assert sum(y - 100 for _, y in points) == pytest.approx(0, abs=0.02)
    assert min(x for x, _ in points) == pytest.approx(80)


@pytest.mark.parametrize(("end", "wide"), [(90, "0 1"), (200, "1 1")])
def test_an_arc_goes_clockwise_the_way_it_is_told(end: float, wide: str) -> None:
    assert f" 0 {wide} " in arc("a", (0, 0), 10, 0, end)


@given(st.lists(st.tuples(st.floats(-50, 50), st.floats(0, 100)), min_size=2, max_size=8))
def test_a_wavy_edge_never_leaves_the_span_of_its_nodes(nodes: list[tuple[float, float]]) -> None:
    d = f"M{number(nodes[0][0])} {number(nodes[0][1])}{wave(nodes[0], nodes[1:])}"
    reached = [x for x, _ in strokes(svg(path("w", d)), "w")[0]]  # handles hold a curve in

    assert max(reached) == pytest.approx(max(x for x, _ in nodes), abs=0.006)
    assert min(reached) == pytest.approx(min(x for x, _ in nodes), abs=0.006)
    assert not any(math.isnan(x) for x in reached)
