"""Which events count; the states that follow are in test_states.py."""

from __future__ import annotations

import datetime as dt

from assessments.standing.rules import Event, Kind, open_restrictions, suspension, was_granted

DAY = dt.date(2026, 5, 1)


def line(*kinds):
    return [Event(number, Kind(kind), DAY + dt.timedelta(days=number), 2) for number, kind in enumerate(kinds, start=1)]


def test_something_was_granted_until_it_is_withdrawn():
    assert not was_granted(line("suspended"))
    assert was_granted(line("granted", "suspended"))
    assert was_granted(line("granted", "renewed"))
    assert not was_granted(line("granted", "withdrawn"))
    assert was_granted(line("granted", "withdrawn", "granted"))


def test_a_restriction_is_open_until_its_own_lifting():
    one, two = (Event(number, Kind.RESTRICTED, DAY, 2, restriction=f"no. {number}") for number in (1, 2))
    lifted = Event(3, Kind.RESTRICTION_LIFTED, DAY, 2, about=1)
    assert open_restrictions([one, two, lifted]) == [two]


def test_the_suspension_that_holds_is_named():
    events = line("suspended", "reinstated", "suspended")
    assert suspension(events, DAY + dt.timedelta(days=1)) is events[0]
    assert suspension(events, DAY + dt.timedelta(days=2)) is None
    assert suspension(events, DAY + dt.timedelta(days=3)) is events[2]
    assert suspension(events, DAY) is None
