from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.instruments.steel_rule import INSTRUMENTS, SteelRule
from tests.faces import numerals, parse, strokes

MM = 25.4
INCH, METRIC = INSTRUMENTS


def read_back(rule: SteelRule, reading: float) -> float:
    """In mm: from a numbered line to the edge of the block, by lines of the rule."""
    root = parse(rule.face(reading, ident="f").svg)
    edge = max(x for x, _ in strokes(root, "block-edge")[0])
    ruled = sorted((a[0], b[1] - a[1]) for a, b in strokes(root, "rule-line"))
    apart = (ruled[-1][0] - ruled[0][0]) / (len(ruled) - 1)
    assert all(b[0] - a[0] == pytest.approx(apart, abs=0.02) for a, b in pairwise(ruled))
    longest = max(length for _, length in ruled)
    numeral = min(numerals(root, "whole-num"), key=lambda one: abs(one.x - edge))
    line = min((x for x, length in ruled if length == longest), key=lambda x: abs(x - numeral.x))
    lines = (edge - line) / apart
    return (numeral.value + lines / 64) * MM if rule.unit == "in" else numeral.value + lines / 2


readings = st.sampled_from(INSTRUMENTS).flatmap(lambda one: st.tuples(st.just(one), st.floats(one.low, one.high)))


@given(readings)
def test_any_size_is_read_back_from_the_lines(case: tuple[SteelRule, float]) -> None:
    rule, reading = case

    assert abs(read_back(rule, reading) - reading) < rule.step / 4


@pytest.mark.parametrize("rule", INSTRUMENTS, ids=lambda one: one.name)
def test_every_line_of_the_whole_range_is_read_back(rule: SteelRule) -> None:
    count = round(rule.high / rule.step)

    assert count in {384, 300}
    for k in range(count + 1):
        assert abs(read_back(rule, k * rule.step) - k * rule.step) < rule.step / 4, k


def test_the_coarser_the_fraction_the_longer_its_line() -> None:
    root = parse(INCH.face(2.5 * MM, ident="f").svg)
    ruled = sorted((a[0], b[1] - a[1]) for a, b in strokes(root, "rule-line"))
    whole = next(k for k, (_, length) in enumerate(ruled) if length == max(long for _, long in ruled))
    lengths: dict[int, set[float]] = {}
    for k, (_, length) in enumerate(ruled):
        lengths.setdefault(Fraction(k - whole, 64).denominator, set()).add(round(length, 2))

    assert sorted(lengths) == [1, 2, 4, 8, 16, 32, 64]
    assert all(len(found) == 1 for found in lengths.values())
    in_order = [lengths[part].pop() for part in (1, 2, 4, 8, 16, 32, 64)]
    assert all(long - short >= 5 for long, short in pairwise(in_order))


@given(st.integers(0, 384))
def test_the_small_numbers_count_the_sixty_fourths(k: int) -> None:
    root = parse(INCH.face(k * INCH.step, ident="f").svg)
    ruled = sorted((a[0], b[1] - a[1]) for a, b in strokes(root, "rule-line"))
    edge = max(x for x, _ in strokes(root, "block-edge")[0])
    for numeral in numerals(root, "small-num"):
        lines_from_edge = sum(min(edge, numeral.x) + 0.1 < x <= max(edge, numeral.x) + 0.1 for x, _ in ruled)
        way = 1 if numeral.x > edge else -1
        assert (k + way * lines_from_edge) % 64 == numeral.value


@given(readings)
def test_a_whole_number_is_always_in_sight(case: tuple[SteelRule, float]) -> None:
    rule, reading = case
    root = parse(rule.face(reading, ident="f").svg)

    assert numerals(root, "whole-num")


@given(readings)
def test_the_block_reaches_from_the_end_of_the_rule_to_the_edge(case: tuple[SteelRule, float]) -> None:
    rule, reading = case
    root = parse(rule.face(reading, ident="f").svg)
    left = min(x for x, _ in strokes(root, "block-edge")[0])
    ruled = sorted(a[0] for a, _ in strokes(root, "rule-line"))

    assert left <= max(0, ruled[0] + 0.01)


def test_misreads_give_the_numbers_a_person_would_write() -> None:
    wrong = {one.name: one.wrong for one in INCH.misreads}
    reading = (2 + 21 / 64) * MM
    assert wrong["one_line_off"](reading) == pytest.approx(((2 + 20 / 64) * MM, (2 + 22 / 64) * MM))
    assert wrong["whole_off"](reading) == pytest.approx(((1 + 21 / 64) * MM, (3 + 21 / 64) * MM))
    assert wrong["counted_in_32nds"](reading) == pytest.approx(((2 + 21 / 32) * MM,))
    assert wrong["counted_in_32nds"](2 * MM) == ()
    wrong = {one.name: one.wrong for one in METRIC.misreads}
    assert wrong["halves_as_wholes"](73.5) == pytest.approx((77.0,))
    assert wrong["whole_off"](73.5) == pytest.approx((63.5, 83.5))
    assert wrong["halves_as_wholes"](70.0) == ()
