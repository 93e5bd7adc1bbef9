"""Outside: crossing lists for 4, 8, 12 and 16 screws (the table from memory; the list of 12 on a weak page), and what any
crossing pattern has to do.
"""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.crossing import (
    FEWEST,
    MOST,
    NEAREST_FIRST,
    REST_OF_FLAT,
    SNUG_UPRIGHT,
    STAGES,
    TIGHT_UPRIGHT,
    TWO_JOINTS,
    faults,
    pattern,
    stage_faults,
)
from assessments.engine.errors import BadOrderError

LISTS = {
    4: (1, 3, 2, 4),
    8: (1, 5, 3, 7, 2, 6, 4, 8),
    12: (1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12),
    16: (1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16),
}
counts = st.integers(FEWEST, MOST)


def names(count, order):
    return [one.name for one in faults(count, order)]


@pytest.mark.parametrize("count", LISTS)
def test_the_pattern_is_the_list(count):
    assert pattern(count) == LISTS[count]
    assert faults(count, LISTS[count]) == ()


@pytest.mark.parametrize("count", range(FEWEST, MOST + 1))
def test_every_screw_comes_once_and_the_pattern_has_no_fault(count):
    assert sorted(pattern(count)) == list(range(1, count + 1))
    assert faults(count, pattern(count)) == ()


@pytest.mark.parametrize("count", range(FEWEST, MOST + 1, 4))
def test_pairs_are_opposite_and_a_quarter_of_a_turn_apart_within_a_group(count):
    order = pattern(count)
    for place in range(0, count, 4):
        first, opposite, third, fourth = order[place : place + 4]
        assert opposite - first == fourth - third == count // 2
        assert third - first == count // 4


@given(counts, st.integers(0, 40), st.booleans())
def test_any_rotation_and_mirror_of_a_right_pattern_is_right(count, turn, is_mirrored):
    turned = [((-screw if is_mirrored else screw) + turn) % count + 1 for screw in pattern(count)]

    assert faults(count, turned) == ()


@pytest.mark.parametrize("count", range(FEWEST, MOST + 1))
def test_going_round_in_sequence_is_named_whichever_way(count):
    onwards = list(range(1, count + 1))

    assert names(count, onwards) == ["round"]
    assert names(count, onwards[::-1]) == ["round"]
    assert names(count, onwards[2:] + onwards[:2]) == ["round"]


def test_of_all_orders_of_four_those_that_go_across_are_right():
    # By hand: any of four first, the one opposite next, either of the two left: eight of twenty-four.
    right = [order for order in permutations(range(1, 5)) if not faults(4, order)]

    assert len(right) == 8
    assert all(abs(order[0] - order[1]) == abs(order[2] - order[3]) == 2 for order in right)


def test_of_all_orders_of_six_every_second_screw_is_opposite():
    # By hand: three pairs in any order, each either way round: 3! times 2 2 2.
    assert sum(not faults(6, order) for order in permutations(range(1, 7))) == 48


def test_of_all_orders_of_five_the_stars_are_right():
    # By hand: a star from any of five screws; each next one of two across, until the star closes.
    right = [order for order in permutations(range(1, 6)) if not faults(5, order)]

    assert pattern(5) == (1, 3, 5, 2, 4)
    assert len(right) == 10


def test_a_screw_that_is_not_opposite_is_named_with_its_place():
    (fault,) = [one for one in faults(8, (1, 5, 3, 7, 2, 4, 6, 8)) if one.place == 6]

    assert (fault.name, fault.says) == ("not_opposite", "Screw 4 does not lie opposite screw 2.")


def test_a_pair_next_to_the_last_one_is_named():
    # Pairs 1-5 and 2-6 lie side by side.
    assert [(one.name, one.place) for one in faults(8, (1, 5, 2, 6, 3, 7, 4, 8))] == [
        ("not_quarter", 3),
        ("not_quarter", 7),
    ]


def test_a_star_that_goes_to_the_next_screw_is_named():
    assert names(5, (1, 3, 4, 2, 5)) == ["not_across"]


def test_what_is_missing_or_twice_is_a_fault():
    assert faults(4, (1, 3, 2))[0].says == "Screw 4 was left out of the round."
    assert names(4, (1, 3, 2, 2)) == ["left_out"]
    assert names(4, (1, 3, 2, 4, 1)) == ["twice"]
    assert names(4, (1, 3, 2, 4, 9)) == ["twice"]


@pytest.mark.parametrize("count", [0, 3, 33])
def test_there_is_no_pattern_for_fewer_or_more(count):
    with pytest.raises(BadOrderError):
        pattern(count)
    with pytest.raises(BadOrderError):
        faults(count, range(1, count + 1))


@pytest.mark.parametrize("stages", [STAGES, (0.3, 0.7, 1.0), (0.2, 0.5, 1.0), (0.25, 0.5, 0.75, 1.0)])
def test_stages_that_are_taught_are_right(stages):
    # 30, 60 or 70, 100 % on several weak pages; 20-30, 50-70, 100 % from memory.
    assert stage_faults(stages) == ()


@pytest.mark.parametrize(
    ("stages", "named"),
    [
        ((1.0, 0.6, 0.3), ["not_rising", "not_full", "too_much_first"]),
        ((0.3, 0.3, 1.0), ["not_rising"]),
        ((0.3, 0.6, 0.9), ["not_full"]),
        ((0.3, 0.6, 1.1), ["not_full"]),
        ((0.5, 0.8, 1.0), ["too_much_first"]),
        ((0.0, 0.6, 1.0), ["too_much_first"]),
        ((0.3, 1.0), ["too_few"]),
        ((1.0,), ["too_much_first", "too_few"]),
        ((), ["not_full", "too_much_first", "too_few"]),
    ],
)
def test_stages_that_are_wrong_are_named(stages, named):
    assert [one.name for one in stage_faults(stages)] == named


def test_the_two_joints_have_one_right_order():
    # Bloch and Geitner, Practical Machinery Management, p. 376-377.
    right = (SNUG_UPRIGHT, NEAREST_FIRST, REST_OF_FLAT, TIGHT_UPRIGHT)

    assert TWO_JOINTS.one_right() == right
    assert sum(TWO_JOINTS.hold(order).is_right for order in permutations(right)) == 1
    early = TWO_JOINTS.hold((TIGHT_UPRIGHT, SNUG_UPRIGHT, NEAREST_FIRST, REST_OF_FLAT))
    assert [one.after for one in early.broken] == [TIGHT_UPRIGHT]
