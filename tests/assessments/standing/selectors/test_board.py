from __future__ import annotations

import datetime as dt

import pytest

from assessments.standing import selectors, services
from courses.people.roles import Role
from tests.factories.people import CrewFactory, PersonFactory
from tests.factories.standing import NOW, TODAY

DAY = dt.timedelta(days=1)


def board(**said):
    return selectors.board(**{"on": TODAY, "today": TODAY, **said})


def cell(shown, person, task):
    (row,) = [row for row in shown.rows if row.person == person]
    return next(each for each in row.cells if each.task == task)


def test_everybody_who_works_stands_by_every_task(plant, said):
    services.grant(**said)
    shown = board()
    assert [row.person for row in shown.rows] == [plant.person]
    assert [each.mark for each in shown.rows[0].cells] == ["qualified", "ready-for-sign-off", "ready-for-sign-off"]
    assert shown.rows[0].held == 1


def test_a_supervisor_who_was_signed_for_stands_on_the_board_too(plant, said):
    services.grant(**{**said, "person": plant.other})
    assert {row.person for row in board().rows} == {plant.person, plant.other}


def test_a_restriction_has_a_mark_of_its_own_and_a_word(plant, said):
    services.grant(**said)
    services.restrict(**said, restriction="by day only")
    found = cell(board(), plant.person, plant.b1)
    assert (found.mark, found.words) == ("restricted", "qualified, restricted")


def test_the_board_of_a_past_day_and_of_a_coming_one(plant, said):
    services.grant(**said)
    assert cell(board(on=TODAY - DAY), plant.person, plant.b1).mark == "ready-for-sign-off"
    assert cell(board(on=dt.date(2029, 11, 1)), plant.person, plant.b1).mark == "due"
    assert cell(board(on=dt.date(2029, 11, 25)), plant.person, plant.b1).mark == "lapsed"


def test_the_board_as_it_was_known_then(plant, said):
    services.grant(**said)
    known = board(as_known_at=NOW - dt.timedelta(seconds=1))
    assert known.rows == () or cell(known, plant.person, plant.b1).mark == "ready-for-sign-off"


def test_a_day_passes_and_the_board_has_changed_by_itself(plant, said):
    services.grant(**said, until_on=TODAY)
    assert cell(board(), plant.person, plant.b1).mark == "due"
    assert cell(board(on=TODAY + DAY, today=TODAY + DAY), plant.person, plant.b1).mark == "lapsed"


def test_crew_and_task_narrow_what_is_shown_but_not_what_is_counted(plant, said):
    crew = CrewFactory()
    PersonFactory(roles=[Role.MECHANIC], crew=crew)
    services.grant(**said)
    shown = board(crew=crew, task=plant.b1)
    assert [row.person.crew for row in shown.rows] == [crew]
    assert shown.tasks == (plant.b1,)
    assert [(cover.task, cover.holders) for cover in shown.thin] == [(plant.b1, 1)]


def test_cover_is_thin_below_two_holders(plant, said):
    for person in (plant.person, plant.other):
        services.grant(**{**said, "person": person})
    assert [(cover.task.code, cover.holders) for cover in board().thin] == [("B4", 0), ("D1", 0)]


def test_people_who_left_stand_on_past_days_only_and_nobody_before_joining(plant):
    gone = PersonFactory(roles=[Role.MECHANIC], is_active=False)
    assert gone not in {row.person for row in board().rows}
    assert gone in {row.person for row in board(on=TODAY - DAY).rows}
    assert board(on=dt.date(2024, 2, 28)).rows == ()


def test_twenty_people_take_as_many_queries_as_two(plant, said, django_assert_max_num_queries):
    PersonFactory(roles=[Role.MECHANIC])
    with django_assert_max_num_queries(10) as two:
        board()
    for _ in range(18):
        services.grant(**{**said, "person": PersonFactory(roles=[Role.MECHANIC])})
    with django_assert_max_num_queries(len(two)):
        assert len(board().rows) == 20


def test_every_mark_a_cell_can_have_is_in_the_key(plant):
    from assessments.standing.rules import State

    marks = {str(state).replace(" ", "-") for state in State} | {"restricted"}
    assert {each.mark for each in selectors.KEY} == marks


@pytest.mark.parametrize(
    ("role", "may"), [(Role.MECHANIC, False), (Role.SUPERVISOR, True), (Role.AUDITOR, True), (Role.INSTRUCTOR, True)]
)
def test_who_may_read_the_board(db, role, may):
    from assessments.standing.selectors.board import may_read_board

    assert may_read_board(PersonFactory(roles=[role])) is may
