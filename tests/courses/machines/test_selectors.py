from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from django.http import Http404

from courses.machines.selectors import (
    NoSuchEntryError,
    changes_between,
    changes_since,
    current_sheet,
    drafts_of,
    entry,
    get_machine,
    get_sheet,
    history_of,
    machine_rows,
    machines,
    places_of,
)
from courses.machines.services import issue_sheet
from tests.factories.machines import EntryDraftFactory, MachineFactory, SheetRevisionFactory
from tests.factories.people import PersonFactory

pytestmark = pytest.mark.django_db
LINE = EntryDraftFactory()


def issue(machine, *entries, at=datetime(2026, 3, 1, 9, 0, tzinfo=UTC)):
    return issue_sheet(machine=machine, entries=entries, reason="So.", by=PersonFactory(), at=at)


def test_machines_come_by_name_with_their_latest_sheet():
    bare, told = MachineFactory(name="B"), MachineFactory(name="A")
    SheetRevisionFactory(machine=told, number=1)
    latest = SheetRevisionFactory(machine=told, number=2)

    assert list(machines()) == [told, bare]
    assert [(row.machine, row.number, row.issued_at) for row in machine_rows()] == [
        (told, 2, latest.issued_at),
        (bare, None, None),
    ]


@pytest.mark.parametrize("count", [2, 20])
def test_the_list_of_machines_takes_one_query(count, django_assert_num_queries):
    for _ in range(count):
        SheetRevisionFactory()

    with django_assert_num_queries(1):
        assert len(machine_rows()) == count


def test_a_machine_or_a_sheet_that_does_not_exist_is_not_found():
    machine = MachineFactory(slug="t-2")

    assert get_machine("t-2") == machine
    with pytest.raises(Http404):
        get_machine("t-3")
    with pytest.raises(Http404):
        get_sheet(machine, 1)


def test_a_sheet_of_another_machine_is_not_found():
    other = SheetRevisionFactory(number=7)

    with pytest.raises(Http404):
        get_sheet(MachineFactory(), 7)
    assert get_sheet(other.machine, 7) == other


def test_the_sheet_in_force_on_a_day_is_the_last_one_issued_by_its_end_at_the_plant():
    """The plant is in London: on 1 July its day ends at 23:00 UTC."""
    machine = MachineFactory()
    first = issue(machine, LINE, at=datetime(2026, 6, 1, 9, 0, tzinfo=UTC))
    late = issue(machine, replace(LINE, high=Decimal("0.14")), at=datetime(2026, 7, 1, 22, 59, tzinfo=UTC))
    next_day = issue(machine, replace(LINE, high=Decimal("0.13")), at=datetime(2026, 7, 1, 23, 0, tzinfo=UTC))

    assert current_sheet(machine, date(2026, 5, 31)) is None
    assert current_sheet(machine, date(2026, 6, 1)) == first
    assert current_sheet(machine, date(2026, 6, 30)) == first
    assert current_sheet(machine, date(2026, 7, 1)) == late
    assert current_sheet(machine, date(2026, 7, 2)) == next_day
    assert current_sheet(machine) == next_day


def test_a_line_is_found_by_its_code_without_another_query(django_assert_num_queries):
    sheet = current_sheet(issue(MachineFactory(), LINE, replace(LINE, code="rotor.float")).machine)

    with django_assert_num_queries(0):
        assert entry(sheet, "rotor.float").figures == "0.090 to 0.150 mm"
        with pytest.raises(NoSuchEntryError) as caught:
            entry(sheet, "rotor.run-out")
    assert (caught.value.revision, caught.value.code) == (sheet, "rotor.run-out")


def test_changes_are_those_between_two_sheets():
    machine = MachineFactory()
    old = issue(machine, LINE)
    new = issue(machine, replace(LINE, high=Decimal("0.140")))

    assert [(change.before, change.after) for change in changes_between(old, new)] == [
        ("0.090 to 0.150 mm", "0.090 to 0.140 mm")
    ]
    assert [change.what for change in changes_between(None, new)] == ["added"]
    assert [change.what for change in changes_since(machine, 1, new)] == ["changed"]
    assert [change.what for change in changes_since(machine, 0, new)] == ["added"]
    assert drafts_of(None) == []


def test_lines_are_grouped_by_place_in_the_order_of_the_sheet():
    sheet = issue(
        MachineFactory(),
        replace(LINE, code="a", where="rotor"),
        replace(LINE, code="b", where="coupling"),
        replace(LINE, code="c", where="rotor"),
    )

    assert [(place.where, [row.code for row in place.entries]) for place in places_of(sheet)] == [
        ("rotor", ["a", "c"]),
        ("coupling", ["b"]),
    ]


@pytest.mark.parametrize("count", [2, 20])
def test_the_history_takes_two_queries_however_long(count, django_assert_num_queries):
    machine = MachineFactory()
    for number in range(count):
        issue(machine, replace(LINE, high=Decimal(number + 1)))

    with django_assert_num_queries(2):
        history = history_of(machine)

    assert [issue.revision.number for issue in history] == list(range(count, 0, -1))
    assert [len(issue.changes) for issue in history] == [1] * (count - 1) + [0]
