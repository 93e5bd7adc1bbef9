"""That every line is read back is proved on the instruments: test_outside_micrometer.py, test_telescoping_gauge.py."""

from __future__ import annotations

import pytest

from assessments.engine.drawing import picture
from assessments.engine.micrometer.outside import OutsideScale
from tests.faces import parse, strokes

METRIC = OutsideScale(unit="mm", start=50)
INCH = OutsideScale(unit="in", start=2)
VERNIER = OutsideScale(unit="in", start=2, has_vernier=True)


def test_a_range_is_twenty_five_millimetres_or_an_inch() -> None:
    assert (METRIC.low, METRIC.high, METRIC.end) == (50, 75, 75)
    assert (INCH.low, INCH.high, INCH.end) == (pytest.approx(50.8), pytest.approx(76.2), 3)


def test_steps_are_a_part_of_the_thimble_or_a_tenth_of_it() -> None:
    assert METRIC.step == METRIC.graduation == 0.01
    assert INCH.step == INCH.graduation == pytest.approx(0.0254)
    assert VERNIER.step == pytest.approx(VERNIER.graduation / 10) == pytest.approx(0.00254)


@pytest.mark.parametrize("scale", [METRIC, INCH, VERNIER])
def test_dropped_it_is_the_same_scale_lower_down(scale: OutsideScale) -> None:
    high, low = (
        parse(picture(scale.drawn(scale.low + 7, drop=drop), ident="f", title="t", alt="a", height=600))
        for drop in (0, 100)
    )
    for class_ in ("long-line", "sleeve-line", "thimble-line", "flat-line", "vernier-line"):
        for there, here in zip(strokes(high, class_), strokes(low, class_), strict=True):
            assert [(x, pytest.approx(y + 100, abs=0.02)) for x, y in there] == here


def test_words_tell_what_is_to_be_seen_of_each_kind() -> None:
    words = [scale.words() for scale in (METRIC, INCH, VERNIER)]

    assert len(set(words)) == 3
    assert "vernier" in words[2]
