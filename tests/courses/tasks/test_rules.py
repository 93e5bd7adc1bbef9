from __future__ import annotations

import graphlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from courses.tasks.rules import (
    OrderLoopError,
    UnknownTaskError,
    bare_edges,
    everything_before,
    in_order,
    ranks,
)

# The order of work as the project's job description lists it: code, after.
JOB = {
    "A1": (),
    "B1": (),
    "B2": ("A1",),
    "B3": ("B1", "B2"),
    "B4": ("B1", "B2"),
    "C1": ("B1", "B4"),
    "C2": ("B3", "C1"),
    "C3": ("C1", "C2"),
    "D1": ("C2",),
    "D2": ("C2",),
    "D3": ("D2",),
    "E1": ("C2",),
    "E2": ("E1",),
    "F1": ("C3", "D1", "D3", "E1"),
    "F2": ("F1",),
}


@st.composite
def orders(draw):
    """Partial orders without a loop: each task comes after some of those before it in a shuffled list."""
    codes = draw(st.permutations([f"{letter}{number}" for letter in "ABC" for number in (1, 2, 3)]))
    return {
        code: tuple(draw(st.sets(st.sampled_from(codes[:index])))) if index else () for index, code in enumerate(codes)
    }


def test_the_job_has_nine_ranks_and_ends_with_the_trip_test():
    found = ranks(JOB)

    assert found[0] == ["A1", "B1"]
    assert found[5] == ["C3", "D1", "D2", "E1"]
    assert found[-1] == ["F2"]
    assert len(found) == 9


@given(orders())
def test_whatever_comes_before_a_task_stands_before_it(after):
    order = in_order(after)

    assert sorted(order) == sorted(after)
    for code, before in after.items():
        assert all(order.index(other) < order.index(code) for other in before)


@given(orders())
def test_bare_edges_say_the_same_order_with_fewer_words(after):
    edges = bare_edges(after)
    thinned = {code: tuple(before for before, behind in edges if behind == code) for code in after}

    assert {code: everything_before(thinned, code) for code in after} == {
        code: everything_before(after, code) for code in after
    }
    for code in after:
        for other in thinned[code]:
            assert not any(other in everything_before(thinned, third) for third in thinned[code])


def test_an_implied_line_is_left_out_of_the_drawing():
    assert ("B1", "C1") not in bare_edges(JOB)
    assert ("B4", "C1") in bare_edges(JOB)


def test_a_loop_is_refused_and_named():
    with pytest.raises(OrderLoopError) as caught:
        ranks({"A1": ("C1",), "B1": ("A1",), "C1": ("B1",)})

    assert caught.value.loop[0] == caught.value.loop[-1]
    assert set(caught.value.loop) == {"A1", "B1", "C1"}


def test_a_task_after_itself_is_a_loop():
    with pytest.raises(OrderLoopError):
        ranks({"A1": ("A1",)})


def test_a_task_after_one_that_does_not_exist_is_refused():
    with pytest.raises(UnknownTaskError) as caught:
        ranks({"A1": ("Z9",)})

    assert (caught.value.code, caught.value.missing) == ("A1", "Z9")


def test_no_tasks_have_no_ranks():
    assert ranks({}) == []


@given(orders())
def test_the_standard_library_agrees_that_the_order_holds(after):
    sorter = graphlib.TopologicalSorter(after)
    sorter.prepare()
    for rank in ranks(after):
        assert set(rank) == set(sorter.get_ready())
        sorter.done(*rank)
