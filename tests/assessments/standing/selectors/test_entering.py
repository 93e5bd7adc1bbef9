from __future__ import annotations

import pytest

from assessments.standing import selectors, services
from courses.people.roles import Role
from tests.factories.ledger import OccurrenceFactory, WorkDoneFactory
from tests.factories.people import PersonFactory
from tests.factories.standing import NOW, TODAY


@pytest.mark.parametrize(
    ("role", "may_enter", "may_read"),
    [
        (Role.SUPERVISOR, True, True),
        (Role.ASSESSOR, True, True),
        (Role.INSTRUCTOR, True, False),
        (Role.MECHANIC, False, False),
        (Role.AUDITOR, False, False),
        (Role.ADMINISTRATOR, False, False),
    ],
)
def test_evidence_is_entered_by_those_who_teach_assess_or_supervise(plant, role, may_enter, may_read):
    found = selectors.entering(PersonFactory(roles=[role]), plant.person.pk, "work", None)
    assert (found is not None) is may_enter
    if found:
        assert (found.person, found.row, found.may_read_record) == (plant.person, None, may_read)


def test_nobody_enters_it_for_themself_or_for_somebody_who_is_not_there(plant):
    assert selectors.entering(plant.boss, plant.boss.pk, "work", None) is None
    assert selectors.entering(plant.boss, 10**9, "work", None) is None


@pytest.mark.parametrize(("kind", "factory"), [("work", WorkDoneFactory), ("occurrence", OccurrenceFactory)])
def test_an_entry_is_corrected_only_where_it_stands(plant, kind, factory):
    row = factory(person=plant.person)
    assert selectors.entering(plant.boss, plant.person.pk, kind, row.pk).row == row
    assert selectors.entering(plant.boss, plant.other.pk, kind, row.pk) is None
    assert selectors.entering(plant.boss, plant.person.pk, kind, row.pk + 1) is None


def test_an_entry_that_takes_another_back_is_not_corrected_again(plant):
    said = {"person": plant.person, "task": plant.b1, "on": TODAY, "by": plant.boss, "at": NOW}
    row = services.record_work(**said, note="Done.")
    taken_back = services.record_work(**said, note="Another person.", corrects=row, happened=False)
    assert selectors.entering(plant.boss, plant.person.pk, "work", taken_back.pk) is None
