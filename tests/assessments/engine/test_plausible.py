from __future__ import annotations

import math

import pytest

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.plausible import MOST, need_numbers, need_sizes


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 2 * MOST, -2 * MOST])
def test_what_is_no_figure_of_a_machine_is_refused_by_name(value):
    for need in (need_numbers, need_sizes):
        with pytest.raises(ImpossibleReadingError) as refused:
            need({"sound": 1.0, "odd": value})

        assert refused.value.name == "odd"
        assert refused.value.reason.endswith(".")


@pytest.mark.parametrize("value", [0.0, -0.0, -1.0])
def test_a_number_may_be_nothing_or_less_but_a_size_may_not(value):
    need_numbers({"reading": value})
    with pytest.raises(ImpossibleReadingError) as refused:
        need_sizes({"reading": value})

    assert refused.value.value == value


def test_ordinary_sizes_pass():
    need_sizes({"bore": 50.1, "largest": MOST})
