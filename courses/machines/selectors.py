"""Reading machines and their sheets. They are open to every signed-in person."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import zip_longest

from django.db.models import OuterRef, QuerySet, Subquery
from django.shortcuts import get_object_or_404
from django.utils import timezone

from courses.machines.models import Machine, SheetEntry, SheetRevision
from courses.machines.rules import Change, EntryDraft, compare


class NoSuchEntryError(LookupError):
    """A sheet has no line with this code."""

    def __init__(self, *, revision: SheetRevision, code: str) -> None:
        self.revision = revision
        self.code = code
        super().__init__(f"{revision} has no line {code}.")


@dataclass(frozen=True, slots=True)
class MachineRow:
    """A machine and its latest sheet; `number` is None while it has none."""

    machine: Machine
    number: int | None
    issued_at: datetime | None


@dataclass(frozen=True, slots=True)
class Place:
    """The lines of a sheet that belong to one place on the machine."""

    where: str
    entries: tuple[SheetEntry, ...]


@dataclass(frozen=True, slots=True)
class Issue:
    """A revision and what it changed against the one before it."""

    revision: SheetRevision
    changes: tuple[Change, ...]


def machines() -> QuerySet[Machine]:
    """Every machine, by name."""
    return Machine.objects.all()


def machine_rows() -> list[MachineRow]:
    """Every machine with the number and date of its latest sheet. One query."""
    latest = SheetRevision.objects.filter(machine=OuterRef("pk")).order_by("-number")
    rows = Machine.objects.annotate(
        sheet_number=Subquery(latest.values("number")[:1]),
        sheet_issued_at=Subquery(latest.values("issued_at")[:1]),
    )
    return [MachineRow(row, row.sheet_number, row.sheet_issued_at) for row in rows]


def get_machine(slug: str) -> Machine:
    """One machine. Http404 if there is none."""
    return get_object_or_404(Machine, slug=slug)


def sheets_of(machine: Machine) -> QuerySet[SheetRevision]:
    """Every revision of a machine's sheet, newest first, with who issued it and its lines. Two queries."""
    return (
        SheetRevision.objects.filter(machine=machine)
        .select_related("machine", "issued_by")
        .prefetch_related("entries")
        .order_by("-number")
    )


def current_sheet(machine: Machine, on: date | None = None) -> SheetRevision | None:
    """The sheet in force now, or at the end of a day in the plant's time zone; None if there was none yet."""
    rows = sheets_of(machine)
    if on is not None:
        rows = rows.filter(issued_at__lt=timezone.make_aware(datetime.combine(on + timedelta(days=1), time.min)))
    return rows.first()


def get_sheet(machine: Machine, number: int) -> SheetRevision:
    """One revision of a machine's sheet. Http404 if there is none."""
    return get_object_or_404(sheets_of(machine), number=number)


def entry(revision: SheetRevision, code: str) -> SheetEntry:
    """One line of a sheet. Raises NoSuchEntryError."""
    for row in revision.entries.all():
        if row.code == code:
            return row
    raise NoSuchEntryError(revision=revision, code=code)


def drafts_of(revision: SheetRevision | None) -> list[EntryDraft]:
    """The lines of a sheet as drafts, in order; none without a sheet."""
    return [] if revision is None else [row.draft for row in revision.entries.all()]


def changes_between(old: SheetRevision | None, new: SheetRevision) -> list[Change]:
    """What the new sheet says differently."""
    return compare(drafts_of(old), drafts_of(new))


def places_of(revision: SheetRevision) -> list[Place]:
    """The lines of a sheet by where on the machine they belong, places in the order of their first line."""
    found: dict[str, list[SheetEntry]] = {}
    for row in revision.entries.all():
        found.setdefault(row.where, []).append(row)
    return [Place(where, tuple(rows)) for where, rows in found.items()]


def history_of(machine: Machine) -> list[Issue]:
    """Each revision, newest first, with what it changed; the first one changed nothing. Two queries."""
    rows = list(sheets_of(machine))
    return [Issue(new, tuple(changes_between(old, new)) if old else ()) for new, old in zip_longest(rows, rows[1:])]


def changes_since(machine: Machine, number: int, latest: SheetRevision) -> list[Change]:
    """What has been issued since the revision of that number (0: since there was no sheet)."""
    return changes_between(sheets_of(machine).filter(number=number).first(), latest)
