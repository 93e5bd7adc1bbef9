from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.methods.instrument_reading import METHOD

DIMS = {"low": 0.0, "high": 25.0}


@given(st.floats(-100, 100), st.floats(0.01, 100), st.floats(0, 1, exclude_max=True))
def test_a_drawn_reading_lies_in_the_range(low, span, chance):
    dims = {"low": low, "high": low + span}

    reading = METHOD.simulate({}, dims, [chance])["reading"]

    assert low <= reading <= low + span


def test_every_tenth_of_the_range_is_as_likely_as_another():
    chance = np.random.default_rng(1).random(20_000)

    counts, _ = np.histogram(METHOD.simulate({}, DIMS, [chance])["reading"], bins=10, range=(0, 25))

    # Five standard deviations of a binomial count of 2000.
    assert np.abs(counts - 2000).max() < 5 * math.sqrt(20_000 * 0.1 * 0.9)


def test_nothing_is_worked_out_of_it():
    assert METHOD.work_one({"reading": 12.34}, DIMS) == {"low": 0.0, "high": 25.0, "reading": 12.34}
    assert METHOD.asked == METHOD.results == ()


@pytest.mark.parametrize("reading", [math.nan, math.inf, -math.inf, 1e9])
def test_a_reading_that_is_no_number_is_refused(reading):
    with pytest.raises(ImpossibleReadingError):
        METHOD.check({"reading": reading}, DIMS)


@pytest.mark.parametrize("dims", [{"low": 1.0, "high": 1.0}, {"low": 2.0, "high": 1.0}, {"low": 0.0, "high": math.nan}])
def test_a_range_with_nothing_in_it_is_refused(dims):
    with pytest.raises(ImpossibleReadingError):
        METHOD.check({"reading": 1.0}, dims)


def test_a_reading_beyond_the_range_may_be_typed():
    METHOD.check({"reading": 25.5}, DIMS)
