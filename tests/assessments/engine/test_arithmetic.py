"""Outside: numpy's and Python's own functions, one against the other."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.arithmetic import (
    arc_cosine,
    cosine,
    greatest,
    least,
    nearest_whole,
    place_of,
    root,
    side,
    sine,
    size_of,
    where,
)

numbers = st.floats(-1e6, 1e6)
several = st.lists(numbers, min_size=1, max_size=9)


@given(numbers)
def test_one_number_and_many_have_the_same_size_sine_cosine_and_whole(number):
    for of_float, of_array, expected in (
        (size_of(number), size_of(np.array([number])), math.fabs(number)),
        (cosine(number), cosine(np.array([number])), math.cos(number)),
        (sine(number), sine(np.array([number])), math.sin(number)),
        (nearest_whole(number), nearest_whole(np.array([number])), float(np.rint(number))),
        (root(number * number), root(np.array([number * number])), math.fabs(number)),
    ):
        assert type(of_float) is float
        assert of_float == pytest.approx(expected, abs=1e-12)
        assert of_array.tolist() == pytest.approx([expected], abs=1e-12)


@given(st.floats(-2, 2))
def test_an_angle_comes_back_from_its_cosine_and_no_number_is_beyond_it(ratio):
    inside = min(max(ratio, -1.0), 1.0)
    for angle in (arc_cosine(ratio), arc_cosine(np.array([ratio]))[0]):
        assert 0 <= angle <= math.pi
        assert math.cos(angle) == pytest.approx(inside, abs=1e-12)


@given(several)
def test_the_least_and_the_greatest_are_the_ends_of_the_sorted_list(values):
    ranked = sorted(values)

    assert (least(*values), greatest(*values)) == (ranked[0], ranked[-1])


@given(st.lists(st.tuples(numbers, numbers), min_size=1, max_size=9), numbers)
def test_arrays_are_compared_draw_by_draw_and_mix_with_single_numbers(pairs, single):
    arrays = [np.array(pair) for pair in pairs]

    assert least(single, *arrays).tolist() == [min(single, *column) for column in zip(*pairs, strict=True)]
    assert greatest(single, *arrays).tolist() == [max(single, *column) for column in zip(*pairs, strict=True)]


@given(several)
def test_the_place_of_the_greatest_is_the_first_of_equals(values):
    assert place_of(max(values), *values) == values.index(max(values)) + 1
    assert place_of(np.array([max(values)]), *(np.array([value]) for value in values)).tolist() == [
        np.argmax(values) + 1
    ]


def test_what_is_not_there_has_no_place():
    assert place_of(3.0, 1.0, 2.0) == 0


@pytest.mark.parametrize(
    ("chance", "way"), [(0.0, 1.0), (math.nextafter(0.5, 0), 1.0), (math.nextafter(0.5, 1), -1.0), (0.999, -1.0)]
)
def test_half_of_chance_goes_each_way(chance, way):
    assert side(chance) == way
    assert side(np.array([chance])).tolist() == [way]


def test_a_choice_is_made_once_or_draw_by_draw():
    assert where(test=True, then=1.0, otherwise=2.0) == 1.0
    assert where(test=False, then=1.0, otherwise=2.0) == 2.0
    assert where(np.array([True, False]), 1.0, np.array([3.0, 4.0])).tolist() == [1.0, 4.0]
