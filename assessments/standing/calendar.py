"""Calendar arithmetic of terms and notices. Pure. A term's last day belongs to it.

Months are counted on the calendar: the same day of a later month, or that month's last day where it is shorter
(the reading of ISO 8601 durations that most date libraries share; common practice, the standards behind the terms do not say).
"""

from __future__ import annotations

import calendar
from datetime import date


def add_months(day: date, months: int) -> date:
    """The day that lies ``months`` later (earlier if negative), held back to the month's last day.

    The calendar ends with the years 1 and 9999; a step beyond them stops at its first or last day.
    """
    count = day.year * 12 + day.month - 1 + months
    year, month = divmod(count, 12)
    if year < date.min.year:
        return date.min
    if year > date.max.year:
        return date.max
    month += 1
    return date(year, month, min(day.day, calendar.monthrange(year, month)[1]))


def add_days(day: date, days: int) -> date:
    """The day that lies ``days`` later (earlier if negative); a step beyond the calendar stops at its first or last day."""
    return date.fromordinal(min(max(day.toordinal() + days, date.min.toordinal()), date.max.toordinal()))


def days_of(first: date, last: date) -> int:
    """How many days from the first to the last, both counted."""
    return (last - first).days + 1


def in_words(day: date) -> str:
    """A day as people here write it: 3 March 2027."""
    return f"{day.day} {calendar.month_name[day.month]} {day.year}"
