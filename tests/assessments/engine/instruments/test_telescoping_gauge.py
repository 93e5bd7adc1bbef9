from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.instruments import find_instrument
from assessments.engine.instruments.telescoping_gauge import INSTRUMENTS, TelescopingGauge
from tests.faces import having, numerals, parse, size, strokes

anywhere = st.sampled_from(INSTRUMENTS).flatmap(lambda one: st.tuples(st.just(one), st.floats(one.low, one.high)))


@given(anywhere)
def test_the_scale_below_is_the_micrometers_own(case: tuple[TelescopingGauge, float]) -> None:
    """Line for line that of the outside micrometer, whose test reads every line of its range back; only lower."""
    gauge, reading = case
    root = parse(gauge.face(reading, ident="f").svg)
    other = find_instrument(gauge.name.replace("telescoping_gauge", "outside_micrometer"))
    plain = parse(other.face(reading, ident="f").svg)
    lower = strokes(root, "long-line")[0][0][1] - strokes(plain, "long-line")[0][0][1]

    assert lower > 100
    for class_ in ("sleeve-line", "half-line", "thimble-line", "rim", "vernier-line", "flat-line"):
        here, there = ([point for stroke in strokes(one, class_) for point in stroke] for one in (root, plain))
        assert [x for x, _ in here] == pytest.approx([x for x, _ in there], abs=0.02)
        assert [y - lower for _, y in here] == pytest.approx([y for _, y in there], abs=0.02)
    for class_ in ("sleeve-num", "thimble-num", "vernier-num", "flat-num"):
        assert [(one.words, one.x, one.y - lower) for one in numerals(root, class_)] == [
            (one.words, pytest.approx(one.x, abs=0.02), pytest.approx(one.y, abs=0.02))
            for one in numerals(plain, class_)
        ]


@given(anywhere)
def test_the_gauge_fills_the_jaws_and_is_as_long_as_the_reading_says(case: tuple[TelescopingGauge, float]) -> None:
    gauge, reading = case

    def heads(at: float) -> tuple[float, float]:
        across = [x for x, _ in strokes(parse(gauge.face(at, ident="f").svg), "gauge-heads")[0]]
        return min(across), max(across)

    (left, right), (_, most) = heads(reading), heads(gauge.high)
    (spindle,) = having(parse(gauge.face(reading, ident="f").svg), "spindle")

    assert (right - left) / (most - left) == pytest.approx(reading / gauge.high, abs=0.002)
    assert size(spindle, "x") == pytest.approx(right, abs=0.02)


def test_a_gauge_and_the_micrometer_over_it_are_misread_in_the_same_ways() -> None:
    for gauge in INSTRUMENTS:
        other = find_instrument(gauge.name.replace("telescoping_gauge", "outside_micrometer"))
        assert [one.name for one in gauge.misreads] == [one.name for one in other.misreads]
        assert (gauge.low, gauge.high, gauge.step) == (other.low, other.high, other.step)
