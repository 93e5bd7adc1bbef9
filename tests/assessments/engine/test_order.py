"""Outside: published counts of the orders that some partial orders have (OEIS A160371, A046873, A114714; zigzag numbers;
heaps; the hook formula of forests), found here by trying every order there is.
"""

from __future__ import annotations

from itertools import combinations, pairwise, permutations
from math import factorial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import BadOrderError, CircularOrderError
from assessments.engine.order import Constraint, Order


def order(steps, *pairs):
    return Order(
        steps=tuple(steps),
        constraints=tuple(Constraint(before=one, after=other, because=f"{one} first") for one, other in pairs),
    )


def right_orders(of):
    return sum(of.hold(answer).is_right for answer in permutations(of.steps))


def grid(width, depth):
    """Cells that come after the one to the left and the one above."""
    cells = [f"{x}{y}" for x in range(width) for y in range(depth)]
    across = [(f"{x}{y}", f"{x + 1}{y}") for x in range(width - 1) for y in range(depth)]
    down = [(f"{x}{y}", f"{x}{y + 1}") for x in range(width) for y in range(depth - 1)]
    return order(cells, *across, *down)


def zigzag(count):
    names = "abcdefgh"[:count]
    pairs = [(names[k], names[k + 1]) if k % 2 == 0 else (names[k + 1], names[k]) for k in range(count - 1)]
    return order(names, *pairs)


@pytest.mark.parametrize(("count", "orders"), [(1, 1), (2, 1), (3, 2), (4, 5), (5, 16), (6, 61), (7, 272)])
def test_zigzags_have_as_many_right_orders_as_published(count, orders):
    assert right_orders(zigzag(count)) == orders


@pytest.mark.parametrize(("depth", "orders"), [(1, 1), (2, 2), (3, 5), (4, 14)])
def test_grids_of_two_have_catalan_numbers_of_right_orders(depth, orders):
    assert right_orders(grid(2, depth)) == orders


def test_the_n_has_five_and_the_cube_forty_eight():
    subsets = ["-", "a", "b", "c", "ab", "ac", "bc", "abc"]
    covers = [
        (one, other)
        for one, other in permutations(subsets, 2)
        if set(one) - {"-"} < set(other) - {"-"} and len(set(other) - {"-"}) == len(set(one) - {"-"}) + 1
    ]

    assert right_orders(order("abcd", ("a", "c"), ("b", "c"), ("b", "d"))) == 5
    assert right_orders(order(subsets, *covers)) == 48


def test_a_heap_of_seven_has_eighty_and_a_forest_what_its_subtrees_say():
    heap = [(str(k // 2), str(k)) for k in range(2, 8)]

    assert right_orders(order([str(k) for k in range(1, 8)], *heap)) == 80
    # A chain of three and a chain of two: 5! / (3 2 1 2 1).
    assert right_orders(order("abcde", ("a", "b"), ("b", "c"), ("d", "e"))) == factorial(5) // 12


def test_only_direct_constraints_are_scored():
    # a<c, b<c, c<d; answer c a b d: two of the three that are written, though two of five of all that follow.
    held = order("abcd", ("a", "c"), ("b", "c"), ("c", "d")).hold("cabd")

    assert [(one.before, one.after) for one in held.broken] == [("a", "c"), ("b", "c")]
    assert [one.because for one in held.broken] == ["a first", "b first"]
    assert held.score == pytest.approx(1 / 3)
    assert not held.is_right


def test_what_only_follows_is_not_counted_again():
    # a<b<c; c a b breaks one that is written, b before c; that a comes before c too is not counted.
    assert order("abc", ("a", "b"), ("b", "c")).hold("cab").score == pytest.approx(1 / 2)


def test_inversions_of_four_steps_are_counted_as_published():
    # All pairs written down: the number broken is the number of inversions; 1 3 5 6 5 3 1 orders have 0 to 6.
    total = order("abcd", *combinations("abcd", 2))
    counts = [0] * 7
    for answer in permutations("abcd"):
        counts[len(total.hold(answer).broken)] += 1

    assert counts == [1, 3, 5, 6, 5, 3, 1]


def test_without_constraints_every_order_is_right():
    free = order("abc")

    assert all(free.hold(answer).score == 1 for answer in permutations("abc"))


@given(st.integers(2, 7), st.sets(st.tuples(st.integers(0, 6), st.integers(0, 6)), max_size=12), st.randoms())
def test_one_right_order_breaks_nothing(count, pairs, chance):
    steps = [f"step {k}" for k in range(count)]
    hidden = steps.copy()
    chance.shuffle(hidden)
    kept = {(hidden[one], hidden[other]) for one, other in pairs if one < other < count}
    one = order(steps, *sorted(kept))

    assert one.hold(one.one_right()).is_right
    assert sorted(one.one_right()) == sorted(steps)


def test_of_steps_that_may_come_next_the_one_written_first_is_taken():
    assert order("dbca", ("a", "d")).one_right() == ("b", "c", "a", "d")


def test_a_circle_is_refused_and_named():
    with pytest.raises(CircularOrderError) as refused:
        order("abcd", ("a", "b"), ("b", "c"), ("c", "a"), ("c", "d"))

    circle = refused.value.circle
    assert circle[0] == circle[-1]
    assert set(pairwise(circle)) == {("a", "b"), ("b", "c"), ("c", "a")}


@pytest.mark.parametrize(
    ("steps", "pairs", "says"),
    [
        ("aba", [], "This step is there twice: a."),
        ("ab", [("a", "c")], "A constraint names a step that is not there: c."),
        ("ab", [("c", "a")], "A constraint names a step that is not there: c."),
        ("ab", [("a", "b"), ("a", "b")], "a before b is written down twice."),
    ],
)
def test_an_order_that_is_none_is_refused(steps, pairs, says):
    with pytest.raises(BadOrderError, match=says):
        order(steps, *pairs)


def test_a_step_before_itself_is_a_circle():
    with pytest.raises(CircularOrderError):
        order("ab", ("a", "a"))


def test_a_constraint_has_a_reason():
    with pytest.raises(BadOrderError, match="Why a comes before b has to be said"):
        Order(steps=("a", "b"), constraints=(Constraint(before="a", after="b", because=" "),))


@pytest.mark.parametrize(
    ("answer", "step", "says"),
    [
        ("aab", "a", "This step is there twice: a."),
        ("ab", "c", "This step was left out: c."),
        ("abd", "d", "There is no step called d here."),
    ],
)
def test_an_answer_has_every_step_once(answer, step, says):
    with pytest.raises(BadOrderError) as refused:
        order("abc").hold(answer)

    assert (refused.value.step, str(refused.value)) == (step, says)
