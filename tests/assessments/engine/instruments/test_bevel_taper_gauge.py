from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.instruments.bevel_taper_gauge import INSTRUMENTS, BevelTaperGauge
from tests.faces import Numeral, numerals, parse, strokes

MM = 25.4
METRIC, INCH, FRACTIONS = INSTRUMENTS
LINE = {"bevel_taper_gauge_metric": 0.05, "bevel_taper_gauge_inch": 0.001 * MM, "bevel_taper_gauge_64ths": MM / 64}


def size_of(gauge: BevelTaperGauge, numeral: Numeral) -> float:
    """What a numeral stands for, in mm."""
    if gauge is METRIC:
        return numeral.value
    return numeral.value / 64 * MM if gauge is FRACTIONS else numeral.value * MM


def read_back(gauge: BevelTaperGauge, reading: float) -> float:
    """In mm: from the second numeral in sight back to the edge, by lines; the first may stand beside its line."""
    root = parse(gauge.face(reading, ident="f").svg)
    ((edge, _), _) = strokes(root, "part-edge")[0]
    ruled = sorted((a[0], b[1] - a[1]) for a, b in strokes(root, "taper-line"))
    assert ruled[0][0] >= edge - 0.02
    longest = [x for x, long in ruled if long == max(length for _, length in ruled)]
    named = max(numerals(root, "taper-num"), key=lambda one: one.x)
    if len(ruled) == 1:
        assert abs(ruled[0][0] - edge) < 0.02
        return size_of(gauge, named)
    apart = (ruled[-1][0] - ruled[0][0]) / (len(ruled) - 1)
    assert all(b[0] - a[0] == pytest.approx(apart, abs=0.02) for a, b in pairwise(ruled))
    line = min(longest, key=lambda x: abs(x - named.x))
    return size_of(gauge, named) - (line - edge) / apart * LINE[gauge.name]


@given(st.sampled_from(INSTRUMENTS).flatmap(lambda one: st.tuples(st.just(one), st.floats(one.low, one.high))))
def test_any_size_is_read_back_from_the_lines(case: tuple[BevelTaperGauge, float]) -> None:
    gauge, reading = case
    if gauge.high - reading < gauge.step:
        return  # the last line is then alone in sight

    assert abs(read_back(gauge, reading) - reading) < gauge.step / 4


@pytest.mark.parametrize("gauge", INSTRUMENTS, ids=lambda one: one.name)
def test_every_line_of_the_whole_range_is_read_back(gauge: BevelTaperGauge) -> None:
    for k in range(round(gauge.low / gauge.step), round(gauge.high / gauge.step) + 1):
        assert abs(read_back(gauge, k * gauge.step) - k * gauge.step) < gauge.step / 4, k


@given(st.sampled_from(INSTRUMENTS).flatmap(lambda one: st.tuples(st.just(one), st.floats(one.low, one.high))))
def test_from_the_side_the_leaf_fills_the_gap_at_the_edge(case: tuple[BevelTaperGauge, float]) -> None:
    """Its thickness there, to the scale of the lines and by its taper, is the reading; and it stays in the picture."""
    gauge, reading = case
    root = parse(gauge.face(reading, ident="f").svg)
    ((edge, _), _) = strokes(root, "part-edge")[0]
    (x0, foot), (x1, y1), (x2, y2), _ = strokes(root, "taper-side")[0][:4]
    assert x0 == x1
    top = y1 + (y2 - y1) * (edge - x1) / (x2 - x1)
    taper = (x2 - x1) / (y1 - y2)
    assert top > 165
    ruled = sorted(stroke[0][0] for stroke in strokes(root, "taper-line"))
    if len(ruled) > 5:
        apart = (ruled[-1] - ruled[0]) / (len(ruled) - 1)
        assert (foot - top) / (apart / taper) * LINE[gauge.name] == pytest.approx(reading, rel=0.02, abs=gauge.step)


def test_a_blade_gap_of_a_sixteenth_is_the_same_on_all_three() -> None:
    """1/16 in = 0.0625 in = 1.5875 mm, common practice for the gap of blade to nozzle."""
    assert FRACTIONS.read(MM / 16) == pytest.approx(4 * MM / 64)
    assert INCH.read(MM / 16) == pytest.approx(0.062 * MM)
    assert METRIC.read(MM / 16) == pytest.approx(1.6)
    assert [FRACTIONS.is_in_fractions, INCH.is_in_fractions, METRIC.is_in_fractions] == [True, False, False]


def misread(gauge: BevelTaperGauge, slip: str, right: float) -> list[float]:
    wrong = next(one.wrong for one in gauge.misreads if one.name == slip)(right * gauge.unit_size)
    return sorted(round(one / gauge.unit_size, 5) for one in wrong)


def test_misreads_give_the_numbers_a_person_would_write() -> None:
    # The first numeral in sight is 1.5, seven lines from the edge.
    assert misread(METRIC, "numeral_in_sight", 1.15) == [1.5]
    assert misread(METRIC, "counted_on", 1.15) == [1.85]
    assert misread(METRIC, "numeral_in_sight", 1.5) == misread(METRIC, "counted_on", 1.5) == []
    assert misread(METRIC, "numbered_line_off", 1.15) == [0.65, 1.65]
    assert misread(INCH, "counted_on", 0.062) == [0.078]
    assert misread(FRACTIONS, "one_line_off", 5 / 64) == [0.0625, 0.09375]
