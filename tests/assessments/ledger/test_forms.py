from __future__ import annotations

import datetime as dt

import pytest

from assessments.ledger.forms import KnownForm

TODAY = dt.date(2026, 11, 24)


@pytest.mark.parametrize(
    "typed", [None, {}, {"known": ""}, {"known": "soon"}, {"known": "2026-11-24"}, {"known": "2027-01-01"}]
)
def test_without_an_earlier_day_all_that_is_known_now_counts(typed):
    form = KnownForm(typed, today=TODAY)
    assert form.known_at() is None
    assert form.query == ""


@pytest.mark.parametrize(
    ("day", "instant"),
    [
        ("2026-11-23", dt.datetime(2026, 11, 23, 23, 59, 59, 999999, tzinfo=dt.UTC)),
        ("2026-07-01", dt.datetime(2026, 7, 1, 22, 59, 59, 999999, tzinfo=dt.UTC)),
    ],
)
def test_a_day_counts_to_its_end_in_the_plants_own_time_and_is_carried_along(day, instant):
    form = KnownForm({"known": day}, today=TODAY)
    assert form.known_at() == instant
    assert form.query == f"?known={day}"
