from __future__ import annotations

import datetime as dt

from assessments.standing import selectors, services
from tests.factories.standing import TODAY


def test_what_waits_for_a_signature_first_or_second(plant, said):
    services.grant(**{**said, "task": plant.d1})
    found = selectors.waiting_for_signature(TODAY, TODAY)
    assert [(each.person, each.cell.task.code) for each in found] == [(plant.person, "B1"), (plant.person, "D1")]


def test_what_ends_within_a_month_the_first_to_end_first(plant, said):
    services.grant(**said, until_on=TODAY + dt.timedelta(days=20))
    services.grant(**{**said, "person": plant.other}, until_on=TODAY + dt.timedelta(days=10))
    services.grant(**{**said, "person": plant.assessor}, until_on=TODAY + dt.timedelta(days=40))
    assert [each.person for each in selectors.ending_within(30, TODAY, TODAY)] == [plant.other, plant.person]
