from __future__ import annotations

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from courses.machines.models import SheetEntry, SheetRevision
from courses.tasks.issued import AlreadyIssuedError
from tests.factories.machines import MachineFactory, SheetEntryFactory, SheetRevisionFactory

pytestmark = pytest.mark.django_db


def test_a_machine_its_sheet_and_its_lines_say_what_they_are():
    entry = SheetEntryFactory(
        code="bearing.governor.clearance", revision__machine__name="T-2 feed pump drive", revision__number=3
    )

    assert str(entry.revision.machine) == "T-2 feed pump drive"
    assert str(entry.revision) == "T-2 feed pump drive, sheet revision 3"
    assert str(entry) == "Clearance on the diameter (bearing.governor.clearance)"
    assert entry.unit_in_words == "millimetre"


@pytest.mark.parametrize(("decimals", "words"), [(2, "0.09 to 0.15 mm"), (3, "0.090 to 0.150 mm")])
def test_a_stored_line_is_lettered_with_the_decimals_it_was_issued_with(decimals, words):
    pk = SheetEntryFactory(decimals=decimals).pk

    assert SheetEntry.objects.get(pk=pk).figures == words


def test_an_issued_line_is_not_changed():
    entry = SheetEntryFactory()
    entry.high = Decimal("0.200")

    with pytest.raises(AlreadyIssuedError):
        entry.save()
    with pytest.raises(AlreadyIssuedError):
        SheetEntry.objects.update(high=Decimal("0.200"))

    assert SheetEntry.objects.get().high == Decimal("0.150")


def test_an_issued_sheet_is_not_changed():
    revision = SheetRevisionFactory()
    revision.reason = "Another one."

    with pytest.raises(AlreadyIssuedError):
        revision.save()
    with pytest.raises(AlreadyIssuedError):
        revision.delete()

    assert SheetRevision.objects.get().reason == "First issue."


def test_a_line_that_is_not_whole_is_not_clean():
    entry = SheetEntryFactory.build(low=Decimal("0.2"), revision=SheetRevisionFactory())

    with pytest.raises(ValidationError) as caught:
        entry.full_clean()

    assert "high" in caught.value.message_dict


def test_the_database_refuses_a_sheet_number_twice():
    machine = MachineFactory()
    SheetRevisionFactory(machine=machine, number=1)

    with pytest.raises(IntegrityError), transaction.atomic():
        SheetRevisionFactory(machine=machine, number=1)


def test_the_database_refuses_sheet_nought():
    with pytest.raises(IntegrityError), transaction.atomic():
        SheetRevisionFactory(number=0)


def test_the_database_refuses_a_code_twice_on_a_sheet():
    entry = SheetEntryFactory(code="rotor.float")

    with pytest.raises(IntegrityError), transaction.atomic():
        SheetEntryFactory(revision=entry.revision, code="rotor.float")


@pytest.mark.parametrize(
    "broken",
    [
        {"low": Decimal("0.2")},
        {"low": Decimal("0.150")},
        {"low": None},
        {"nominal": Decimal(1)},
        {"form": "at most"},
        {"form": "at least"},
        {"form": "dimension"},
        {"form": "plus or minus", "low": None, "high": None, "nominal": Decimal(1), "tolerance": Decimal(0)},
        {"form": "about"},
        {"decimals": 7},
        {"decimals": -1},
    ],
)
def test_the_database_refuses_a_line_whose_figures_do_not_fit_its_form(broken):
    with pytest.raises(IntegrityError), transaction.atomic():
        SheetEntryFactory(**broken)
