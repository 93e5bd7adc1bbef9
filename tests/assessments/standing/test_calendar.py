"""Calendar arithmetic. Boundary cases from the design (checks_assessment.md C, "suggested boundary tests").

Second opinion: dateutil's relativedelta is not at hand, so PostgreSQL's documented rule is written out case by case
(months added clamp to the month's last day: SELECT date '2026-08-31' + interval '6 months' gives 2027-02-28).
"""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.standing.calendar import add_days, add_months, days_of, in_words

DAYS = st.dates(dt.date(1900, 1, 1), dt.date(2200, 12, 31))


@pytest.mark.parametrize(
    ("start", "months", "end"),
    [
        ("2026-08-31", 6, "2027-02-28"),
        ("2027-08-31", 6, "2028-02-29"),
        ("2024-02-29", 60, "2029-02-28"),
        ("2024-02-29", 48, "2028-02-29"),
        ("2026-11-24", 0, "2026-11-24"),
        ("2026-12-31", 1, "2027-01-31"),
        ("2026-03-31", -1, "2026-02-28"),
        ("2026-01-15", -1, "2025-12-15"),
        ("2026-01-31", 25, "2028-02-29"),
        ("2100-02-28", 12, "2101-02-28"),
    ],
)
def test_months_are_added_on_the_calendar_and_held_back_to_the_last_day(start, months, end):
    assert add_months(dt.date.fromisoformat(start), months) == dt.date.fromisoformat(end)


@given(DAYS, st.integers(-600, 600))
def test_adding_months_lands_in_the_right_month_on_the_same_day_or_its_last(day, months):
    then = add_months(day, months)
    assert (then.year * 12 + then.month) - (day.year * 12 + day.month) == months
    assert then.day == day.day or (then + dt.timedelta(days=1)).month != then.month


@given(DAYS, DAYS, st.integers(0, 600))
def test_a_later_start_never_ends_earlier(one, other, months):
    first, second = sorted([one, other])
    assert add_months(first, months) <= add_months(second, months)


@pytest.mark.parametrize("steps", [1, 12, 10**6])
def test_a_step_beyond_the_calendar_stops_at_its_end(steps):
    for add in (add_months, add_days):
        assert add(dt.date(9999, 12, 31), steps) == dt.date.max
        assert add(dt.date(1, 1, 1), -steps) == dt.date.min


@given(DAYS, st.integers(-10000, 10000))
def test_days_are_added_as_the_standard_library_adds_them(day, days):
    assert add_days(day, days) == day + dt.timedelta(days=days)


def test_both_ends_of_a_span_are_counted():
    assert days_of(dt.date(2026, 2, 1), dt.date(2026, 2, 28)) == 28
    assert days_of(dt.date(2026, 2, 1), dt.date(2026, 2, 1)) == 1


def test_a_day_is_written_as_people_here_write_it():
    assert in_words(dt.date(2027, 3, 3)) == "3 March 2027"
