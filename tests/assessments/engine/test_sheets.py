from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import BadLimitError
from assessments.engine.sheets import Limit

sizes = st.floats(-1e4, 1e4, allow_nan=False)


def test_a_size_on_a_limit_is_inside():
    limit = Limit.between(0.09, 0.15, source="demo sheet")

    assert limit.holds(0.09)
    assert limit.holds(0.15)
    assert not limit.holds(0.0899)
    assert not limit.holds(0.1501)


def test_a_limit_of_one_side_leaves_the_other_open():
    assert Limit.at_least(0.1, source="s").holds(1e9)
    assert not Limit.at_least(0.1, source="s").holds(0.09)
    assert Limit.at_most(0.1, source="s").holds(-1e9)
    assert not Limit.at_most(0.1, source="s").holds(0.11)


def test_the_floats_of_decimal_figures_do_not_push_a_size_out():
    # 0.1 + 0.05 is 0.15000000000000002 as floats.
    assert Limit.at_most(0.15, source="s").holds(0.1 + 0.05)
    assert Limit.at_least(0.3, source="s").holds(0.1 * 3 - 1e-16)


def test_the_grain_is_no_tolerance_of_the_shop():
    # A tenth of a micrometre is already outside.
    assert not Limit.at_most(0.15, source="s").holds(0.1501)


def test_rotor_float_of_a_small_turbine_is_judged_as_the_book_has_it():
    # Bloch & Geitner, Practical Machinery Management for Process Plants vol. 4, p. 388: normal .010-.018 in,
    # never over .025 in. Cases of checks_fits.md section 9.
    normal = Limit.between(0.254, 0.4572, source="PMM p. 388")
    never = Limit.at_most(0.635, source="PMM p. 388")

    assert not normal.holds(0.0185 * 25.4)
    assert never.holds(0.0185 * 25.4)
    assert not never.holds(0.026 * 25.4)


@pytest.mark.parametrize(
    ("low", "high"), [(None, None), (0.2, 0.1), (0.1, 0.1), (math.nan, 1.0), (0.0, math.inf), (-math.inf, None)]
)
def test_what_nothing_can_be_held_against_is_refused(low, high):
    with pytest.raises(BadLimitError) as refused:
        Limit(low=low, high=high, source="s")

    assert str(refused.value).endswith(".")


@given(nominal=sizes, tolerance=st.floats(1e-3, 10))
def test_plus_minus_lies_the_same_either_way(nominal, tolerance):
    limit = Limit.plus_minus(nominal, tolerance, source="s")

    assert limit.holds(nominal)
    assert not limit.holds(nominal + tolerance * 1.01)
    assert not limit.holds(nominal - tolerance * 1.01)


@given(low=sizes, width=st.floats(1e-3, 10), value=sizes)
def test_inside_two_limits_is_inside_each(low, width, value):
    both = Limit.between(low, low + width, source="s")

    assert both.holds(value) == (
        Limit.at_least(low, source="s").holds(value) and Limit.at_most(low + width, source="s").holds(value)
    )
