from __future__ import annotations

import pytest

from assessments.engine.drawing import picture
from assessments.engine.micrometer.parts import INCH, METRIC, View, sleeve_body, thimble, thimble_lines
from tests.faces import having, numerals, parse, strokes

VIEW = View(middle=120, sleeve=80, rim=88, thimble=112, height=240)


def drawn(*parts):
    return parse(picture(*parts, ident="f", title="t", alt="a", height=240))


def test_pitch_and_parts_are_those_of_the_army_manual() -> None:
    """US Army TM 9-243, 7-5 and 7-6: 40 threads to the inch, .001 a part; 0.5 mm (not its misprint), 0.01 a part."""
    assert INCH.pitch == 1 / 40
    assert INCH.pitch / INCH.parts == pytest.approx(0.001)
    assert METRIC.pitch / METRIC.parts == pytest.approx(0.01)


def test_a_lowered_view_moves_and_keeps_its_size() -> None:
    low = VIEW.lowered(100)

    assert (low.middle, low.height) == (220, 340)
    assert (low.sleeve, low.rim, low.thimble) == (VIEW.sleeve, VIEW.rim, VIEW.thimble)


def test_a_frame_is_drawn_where_its_shoulder_is_in_sight() -> None:
    long, short = (having(drawn(sleeve_body(VIEW, shoulder)), "outline-fat") for shoulder in (None, 60.0))

    assert (len(long), len(short)) == (0, 1)


def test_the_rim_comes_first_in_the_outline_of_the_thimble() -> None:
    rim = strokes(drawn(thimble(VIEW)), "rim")[0]

    assert rim[0] == (206.0, 120 - 88)
    assert min(x for x, _ in rim) == 206


@pytest.mark.parametrize(("upwards", "in_order"), [(True, [15.0, 10.0, 5.0]), (False, [5.0, 10.0, 15.0])])
def test_numbers_grow_upwards_or_downwards(upwards: bool, in_order: list[float]) -> None:
    found = numerals(drawn(thimble_lines(VIEW, METRIC, 10.0, upwards=upwards)), "thimble-num")

    assert [one.value for one in sorted(found, key=lambda one: one.y)] == in_order
