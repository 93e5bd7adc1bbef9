"""Rows of the machines and their sheets."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal

import factory
from factory.django import DjangoModelFactory

from courses.machines.models import Machine, SheetEntry, SheetRevision
from courses.machines.rules import EntryDraft
from tests.factories.people import PersonFactory


class MachineFactory(DjangoModelFactory[Machine]):
    class Meta:
        model = Machine

    slug = factory.Sequence(lambda n: f"machine-{n}")
    name = factory.Sequence(lambda n: f"T-{n} feed pump drive")
    machine_type = "one stage, ring-oiled"
    drives = "feed pump"
    is_invented = True


class SheetRevisionFactory(DjangoModelFactory[SheetRevision]):
    class Meta:
        model = SheetRevision

    machine = factory.SubFactory(MachineFactory)
    number = 1
    reason = "First issue."
    issued_at = datetime(2026, 1, 5, 8, 0, tzinfo=UTC)
    issued_by = factory.SubFactory(PersonFactory)


class SheetEntryFactory(DjangoModelFactory[SheetEntry]):
    """A limit between two figures; give `form` and its figures for another kind."""

    class Meta:
        model = SheetEntry

    revision = factory.SubFactory(SheetRevisionFactory)
    code = factory.Sequence(lambda n: f"bearing.governor.clearance-{n}")
    label = "Clearance on the diameter"
    where = "governor-end bearing"
    form = "between"
    unit = "mm"
    low = Decimal("0.090")
    high = Decimal("0.150")
    decimals = 3
    source = "invented for practice"
    position = factory.Sequence(lambda n: n)


class EntryDraftFactory(factory.Factory[EntryDraft]):
    """A line that is whole, as it would be given to `issue_sheet`."""

    class Meta:
        model = EntryDraft

    code = "bearing.governor.clearance"
    label = "Clearance on the diameter"
    where = "governor-end bearing"
    form = "between"
    unit = "mm"
    low = Decimal("0.090")
    high = Decimal("0.150")
    source = "invented for practice"
