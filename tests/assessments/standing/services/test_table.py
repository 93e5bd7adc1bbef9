from __future__ import annotations

import datetime as dt

from assessments.standing import services
from assessments.standing.models import CurrentStanding
from courses.people.models import Person
from tests.factories.people import PersonFactory
from tests.factories.standing import NOW, TODAY


def rows():
    return list(
        CurrentStanding.objects.order_by("person", "task").values(
            "person", "task", "state", "from_on", "until_on", "holds_until"
        )
    )


def test_refreshing_twice_leaves_the_same_rows(plant, said):
    services.grant(**said)
    services.refresh(person=plant.person, at=NOW)
    before = rows()
    services.refresh(person=plant.person, at=NOW)
    assert rows() == before
    assert len(before) == 3


def test_refreshing_many_takes_as_many_queries_as_refreshing_two(plant, said, django_assert_max_num_queries):
    people = [PersonFactory() for _ in range(20)]
    with django_assert_max_num_queries(20) as two:
        services.refresh_people(people=people[:2], at=NOW)
    with django_assert_max_num_queries(len(two)):
        assert services.refresh_people(people=people, at=NOW) == 60


def test_rebuilding_makes_the_table_anew_from_the_events(plant, said):
    services.grant(**said)
    CurrentStanding.objects.update(state="suspended", holds_until=dt.date(1999, 1, 1))
    assert services.rebuild(at=NOW, chunk=2) == 3 * Person.objects.count()
    row = CurrentStanding.objects.get(person=plant.person, task=plant.b1)
    assert (row.state, row.from_on) == ("qualified", TODAY)
    assert str(row) == "Pim Learner B1: qualified"
