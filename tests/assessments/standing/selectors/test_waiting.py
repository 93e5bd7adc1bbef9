"""What the bench offers for signing is what the reader could sign."""

from __future__ import annotations

import datetime as dt

from assessments.standing import selectors, services
from courses.people.roles import Role
from tests.factories.people import PersonFactory
from tests.factories.standing import NOW, TODAY, SignatoryFactory

DAY = dt.timedelta(days=1)


def waiting(reader):
    board = selectors.board(on=TODAY, today=TODAY)
    fresh = type(reader).objects.get(pk=reader.pk)
    return [(each.person.full_name, each.cell.task.code) for each in selectors.waiting_for(fresh, board, TODAY)]


def test_what_is_ready_waits_for_those_who_are_named_for_it(plant):
    assert waiting(plant.boss) == [("Pim Learner", "B1"), ("Pim Learner", "D1")]
    assert waiting(plant.other) == []  # a supervisor who neither holds the tasks nor is named
    assert waiting(PersonFactory(roles=[Role.AUDITOR])) == []


def test_a_second_signature_waits_for_anybody_but_the_first_signer(plant, said):
    services.grant(**{**said, "task": plant.d1})
    assert waiting(plant.boss) == [("Pim Learner", "B1")]
    assert waiting(plant.assessor) == [("Pim Learner", "B1"), ("Pim Learner", "D1")]


def test_who_holds_a_task_is_offered_its_signatures_and_never_their_own(plant, said):
    services.grant(**{**said, "person": plant.other})
    assert ("Pim Learner", "B1") in waiting(plant.other)
    assert not any(name == "Odd Other" for name, _ in waiting(plant.other))
    services.suspend(**{**said, "person": plant.other})
    assert ("Pim Learner", "B1") not in waiting(plant.other)


def test_a_naming_that_has_ended_or_not_begun_offers_nothing(plant):
    signer = PersonFactory(roles=[Role.ASSESSOR])
    SignatoryFactory(person=signer, task=plant.b1, ended_on=TODAY)
    SignatoryFactory(person=signer, task=plant.d1, named_on=TODAY + DAY)
    assert waiting(signer) == []
    SignatoryFactory(person=signer, task=plant.b1, ended_on=TODAY + DAY)
    assert waiting(signer) == [("Pim Learner", "B1")]


def test_what_the_bench_offers_the_page_offers_and_the_service_takes(plant, said):
    services.grant(**{**said, "task": plant.d1})
    for reader in (plant.boss, plant.other, plant.assessor):
        offered = {code for _, code in waiting(reader)}
        for task in (plant.b1, plant.b4, plant.d1):
            page = selectors.standing_page(reader, plant.person, task, TODAY, TODAY)
            may_sign = {"grant", "countersign"} & set(page.acts)
            assert (task.code in offered) is (bool(may_sign) and not page.standing.missing)
    for code, service in (("B1", services.grant), ("D1", services.countersign)):
        assert ("Pim Learner", code) in waiting(plant.assessor)
        service(**{**said, "by": plant.assessor, "task": {"B1": plant.b1, "D1": plant.d1}[code], "at": NOW})
