from __future__ import annotations

import pytest

from assessments.engine.micrometer.misreads import backwards, inch_misreads, metric_misreads, shifts
from assessments.engine.micrometer.parts import INCH, METRIC

MM = 25.4


def test_shifts_are_added_to_the_right_reading() -> None:
    assert shifts(-0.5, 0.5)(12.0) == (11.5, 12.5)


def test_a_thimble_counted_backwards_gives_the_rest_of_the_turn() -> None:
    assert backwards(METRIC, 1.0, 0.0)(22.36) == pytest.approx((22.14,))
    assert backwards(INCH, MM, 2.0)(2.712 * MM) == pytest.approx((2.713 * MM,))


@pytest.mark.parametrize("right", [22.0, 22.25, 22.5, 22.4999999])
def test_it_is_no_slip_where_both_ways_give_the_same(right: float) -> None:
    assert backwards(METRIC, 1.0, 0.0)(right) == ()


def test_whole_inches_can_be_forgotten_only_where_the_range_has_some() -> None:
    names = [{one.name for one in inch_misreads(start, has_vernier=False)} for start in (0, 3)]

    assert names[1] - names[0] == {"range_forgotten"}


def test_a_vernier_brings_its_own_slips() -> None:
    plain, vernier = ({one.name for one in inch_misreads(1, has_vernier=has)} for has in (False, True))

    assert vernier - plain == {"vernier_ignored", "vernier_misplaced", "vernier_line_off"}


def test_a_metric_micrometer_can_lose_half_a_millimetre() -> None:
    (half,) = [one for one in metric_misreads(0) if one.name == "half_millimetre_missed"]

    assert half.wrong(12.66) == pytest.approx((12.16, 13.16))
