from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from courses.machines.models import SheetRevision
from courses.machines.selectors import current_sheet, drafts_of
from courses.machines.services import NothingChangedError, SheetMovedOnError, add_machine, issue_sheet
from tests.factories.machines import EntryDraftFactory, MachineFactory
from tests.factories.people import PersonFactory

pytestmark = pytest.mark.django_db
AT = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)
CLEARANCE = EntryDraftFactory()
TAPER = EntryDraftFactory(code="bearing.governor.taper", label="Taper", form="at most", low=None, high=Decimal("0.02"))


def issue(machine, *entries, **given):
    terms = {"reason": "First issue.", "by": given.pop("by", None) or PersonFactory(), "at": AT}
    return issue_sheet(machine=machine, entries=entries, **{**terms, **given})


def test_a_machine_is_added():
    machine = add_machine(
        slug="t-2",
        name="T-2",
        machine_type="one stage",
        drives="feed pump",
        is_invented=True,
        description="For practice.",
    )

    assert (machine.slug, machine.is_invented, machine.description) == ("t-2", True, "For practice.")
    assert current_sheet(machine) is None


def test_a_machine_needs_a_slug_of_its_own():
    MachineFactory(slug="t-2")

    with pytest.raises(ValidationError):
        add_machine(slug="t-2", name="T-2", machine_type="x", drives="x", is_invented=False)


def test_a_sheet_is_issued_with_all_its_lines_in_order():
    machine, by = MachineFactory(), PersonFactory()

    revision = issue(machine, TAPER, CLEARANCE, by=by)

    assert (revision.number, revision.issued_by, revision.issued_at) == (1, by, AT)
    assert drafts_of(current_sheet(machine)) == [TAPER, CLEARANCE]


def test_decimals_survive_the_database():
    issue(machine := MachineFactory(), replace(CLEARANCE, low=Decimal("0.10"), high=Decimal("0.150")))

    assert current_sheet(machine).entries.get().figures == "0.100 to 0.150 mm"


def test_the_next_sheet_leaves_the_last_one_as_it_was():
    machine = MachineFactory()
    first = issue(machine, CLEARANCE)
    second = issue(machine, replace(CLEARANCE, high=Decimal("0.140")), reason="Drawn in.")

    assert second.number == 2
    assert [row.figures for row in first.entries.all()] == ["0.090 to 0.150 mm"]
    assert [row.figures for row in second.entries.all()] == ["0.090 to 0.140 mm"]


@pytest.mark.parametrize(
    ("entries", "says"),
    [
        ((), "at least one line"),
        ((CLEARANCE, CLEARANCE), "stands on more than one line"),
        ((replace(CLEARANCE, unit="furlong"),), "is not a unit"),
        ((replace(CLEARANCE, low=Decimal(1)),), "more than the low one"),
        ((replace(CLEARANCE, label="x" * 121),), "at most 120 characters"),
    ],
)
def test_a_sheet_that_is_not_whole_is_not_issued_at_all(entries, says):
    machine = MachineFactory()

    with pytest.raises(ValidationError, match=says):
        issue(machine, *entries)

    assert not SheetRevision.objects.exists()


def test_a_sheet_needs_a_reason():
    with pytest.raises(ValidationError):
        issue(MachineFactory(), CLEARANCE, reason="")


def test_the_second_of_two_instructors_is_told_which_sheet_came_first():
    machine = MachineFactory()
    issue(machine, CLEARANCE)
    issue(machine, CLEARANCE, TAPER, after=1)

    with pytest.raises(SheetMovedOnError) as caught:
        issue(machine, replace(CLEARANCE, high=Decimal("0.140")), after=1)

    assert caught.value.latest.number == 2
    assert SheetRevision.objects.count() == 2


def test_the_first_sheet_of_two_instructors_counts_too():
    machine = MachineFactory()
    issue(machine, CLEARANCE, after=0)

    with pytest.raises(SheetMovedOnError):
        issue(machine, TAPER, after=0)


def test_a_sheet_sent_twice_is_issued_once():
    machine, by = MachineFactory(), PersonFactory()
    first = issue(machine, CLEARANCE, by=by, after=0)

    assert issue(machine, CLEARANCE, by=by, after=0) == first
    assert SheetRevision.objects.count() == 1


def test_a_sheet_that_says_nothing_new_is_not_issued():
    machine = MachineFactory()
    issue(machine, CLEARANCE)

    with pytest.raises(NothingChangedError, match="Nothing is different"):
        issue(machine, CLEARANCE, reason="Again.", after=1)


@pytest.mark.parametrize("count", [2, 20])
def test_a_sheet_is_written_in_as_many_queries_however_long(count, django_assert_num_queries):
    entries = [replace(CLEARANCE, code=f"line.{number}") for number in range(count)]
    machine, by = MachineFactory(), PersonFactory()

    with django_assert_num_queries(12):  # savepoints and the checks of the revision among them
        issue(machine, *entries, by=by)
