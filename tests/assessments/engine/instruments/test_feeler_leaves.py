from __future__ import annotations

import math
from itertools import pairwise

import pytest

from assessments.engine.instruments.feeler_leaves import INCH_SET, INSTRUMENTS, FeelerLeaves, stack_of
from tests.faces import numerals, parse, strokes

MM = 25.4
METRIC, INCH = INSTRUMENTS


def marks(feelers: FeelerLeaves, reading: float) -> list[float]:
    """What stands on the leaves, in the unit that stands on them."""
    found = [one.words.split() for one in numerals(parse(feelers.face(reading, ident="f").svg), "leaf-num")]
    assert {unit for _, unit in found} == {feelers.unit}
    return [float(figure) for figure, _ in found]


@pytest.mark.parametrize("feelers", INSTRUMENTS, ids=lambda one: one.name)
def test_every_sum_of_the_whole_range_is_read_back_from_the_marks(feelers: FeelerLeaves) -> None:
    low, high = round(feelers.low / feelers.step), round(feelers.high / feelers.step)
    for k in range(low, high + 1):
        found = marks(feelers, k * feelers.step)

        assert abs(sum(found) * feelers.unit_size - k * feelers.step) < feelers.step / 4, k
        assert 1 <= len(found) <= 5
        assert len(set(found)) == len(found), "a set has each leaf once"
        assert {round(one * feelers.unit_size / feelers.step) for one in found} <= set(feelers.leaves)


def test_the_inch_set_has_the_leaves_of_the_army_manual() -> None:
    """US Army TM 9-243, 16-2: up to 26 leaves, in thousandths."""
    assert len(INCH_SET) == 26
    assert (INCH.mark(INCH_SET[0]), INCH.mark(INCH_SET[-1])) == (".0015 in", ".025 in")


def test_a_stack_sums_up_as_in_the_army_manual() -> None:
    """TM 1-1500-204: .004 + .0015 = .0055 in."""
    assert sorted(marks(INCH, 0.0055 * MM)) == pytest.approx([0.0015, 0.004])


def test_as_few_leaves_as_can_be_and_the_thicker_first() -> None:
    assert stack_of(100, METRIC.leaves) == (100,)
    assert stack_of(110, METRIC.leaves) == (100, 10)
    assert stack_of(11, METRIC.leaves) == (9, 2)
    with pytest.raises(ValueError, match="no 5 leaves"):
        stack_of(1, METRIC.leaves)
    with pytest.raises(ValueError, match="no 5 leaves"):
        stack_of(999, METRIC.leaves)


def test_every_mark_lies_on_its_own_leaf_clear_of_the_others() -> None:
    for feelers in INSTRUMENTS:
        for k in range(round(feelers.low / feelers.step), round(feelers.high / feelers.step) + 1, 7):
            named = sorted(
                numerals(parse(feelers.face(k * feelers.step, ident="f").svg), "leaf-num"), key=lambda one: one.y
            )
            assert all(below.y - above.y > 36 for above, below in pairwise(named))


def test_the_leaves_fan_out_evenly_from_one_pivot() -> None:
    root = parse(INCH.face(0.0595 * MM, ident="f").svg)
    angles = sorted(
        math.degrees(math.atan2(points[1][1] - points[0][1], points[1][0] - points[0][0]))
        for points in strokes(root, "leaf")
    )

    assert len(angles) >= 3
    assert [b - a for a, b in pairwise(angles)] == pytest.approx([angles[1] - angles[0]] * (len(angles) - 1), abs=0.05)


def test_a_worn_leaf_is_the_thinnest_and_its_end_falls_short() -> None:
    sound, worn = (
        max(x for stroke in strokes(parse(METRIC.face(0.04, ident="f", oddity=oddity).svg), "leaf") for x, _ in stroke)
        for oddity in ("", "worn")
    )

    assert worn < sound - 3
    assert marks(METRIC, 0.04) == [0.04]


def misread(feelers: FeelerLeaves, slip: str, right: float) -> list[float]:
    wrong = next(one.wrong for one in feelers.misreads if one.name == slip)(right * feelers.unit_size)
    return sorted(round(one / feelers.unit_size, 5) for one in wrong)


def test_misreads_give_the_numbers_a_person_would_write() -> None:
    # .0055 = .004 + .0015
    assert misread(INCH, "leaf_left_out", 0.0055) == [0.0015, 0.004]
    assert misread(INCH, "leaf_left_out", 0.004) == []
    assert misread(INCH, "leaf_counted_twice", 0.0055) == [0.007, 0.0095]
    assert misread(INCH, "neighbouring_leaf", 0.0055) == [0.0045, 0.006, 0.0065]
    # Marked .010 in and taken for 0.10 mm, it is .0039 in.
    assert misread(INCH, "leaf_of_other_unit", 0.010) == [0.00394]
    assert misread(METRIC, "leaf_of_other_unit", 0.10) == [0.254]
    # 1.10 = 1.00 + 0.10: both, the thick one, the thin one.
    assert misread(METRIC, "leaf_of_other_unit", 1.10) == [1.254, 2.64, 2.794]
    assert misread(METRIC, "neighbouring_leaf", 1.10) == [1.05, 1.09, 1.15]
    assert misread(METRIC, "neighbouring_leaf", 0.02) == [0.03]
