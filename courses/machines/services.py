"""Writing machines and issuing their sheets."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction

from courses.machines.models import Machine, SheetEntry, SheetRevision
from courses.machines.rules import FIGURE_NAMES, EntryDraft, compare, mistakes, repeated_codes
from courses.machines.selectors import drafts_of
from courses.people.models import Person


class SheetMovedOnError(Exception):
    """Somebody issued a revision meanwhile. `latest` is that revision."""

    def __init__(self, latest: SheetRevision) -> None:
        self.latest = latest
        super().__init__(f"Revision {latest.number} was issued meanwhile by {latest.issued_by}.")


class NothingChangedError(Exception):
    """A new revision would say exactly what the last one says."""

    sentence = "Nothing is different from the revision in force: there is nothing to issue."

    def __init__(self) -> None:
        super().__init__(self.sentence)


@transaction.atomic
def add_machine(
    *,
    slug: str,
    name: str,
    machine_type: str,
    drives: str,
    is_invented: bool,
    description: str = "",
) -> Machine:
    """Add a machine; its sheet follows by `issue_sheet`."""
    machine = Machine(
        slug=slug,
        name=name,
        machine_type=machine_type,
        drives=drives,
        description=description,
        is_invented=is_invented,
    )
    machine.full_clean()
    machine.save()
    return machine


@transaction.atomic
def issue_sheet(
    *,
    machine: Machine,
    entries: Sequence[EntryDraft],
    reason: str,
    by: Person,
    at: datetime,
    after: int | None = None,
) -> SheetRevision:
    """Issue the next revision of a machine's sheet, all entries at once. Nothing issued before changes.

    `after` is the number of the revision it was made from (0: there was none): if another one has
    been issued since, SheetMovedOnError is raised, unless it is this very one sent twice.
    NothingChangedError says that no line is different; ValidationError names every line that is not whole.
    """
    Machine.objects.select_for_update().get(pk=machine.pk)
    check_lines(entries)
    last = SheetRevision.objects.filter(machine=machine).select_related("issued_by").order_by("-number").first()
    number = last.number if last else 0
    if last is not None and after is not None and after != number:
        is_sent_twice = last.issued_by_id == by.pk and last.reason == reason and drafts_of(last) == list(entries)
        if is_sent_twice:
            return last
        raise SheetMovedOnError(last)
    if last is not None and not compare(drafts_of(last), entries):
        raise NothingChangedError
    revision = SheetRevision(machine=machine, number=number + 1, reason=reason, issued_at=at, issued_by=by)
    revision.full_clean()
    revision.save()
    rows = [_row(revision, entry, position) for position, entry in enumerate(entries, start=1)]
    for row in rows:
        row.full_clean(exclude=["revision"], validate_unique=False, validate_constraints=False)
    SheetEntry.objects.bulk_create(rows)
    return revision


def check_lines(entries: Sequence[EntryDraft]) -> None:
    """Raises ValidationError naming each line that is not whole, and codes that stand twice."""
    sentences = [
        f"{entry.code or 'A line without a code'}, {mistake.field}: {mistake.message}"
        for entry in entries
        for mistake in mistakes(entry)
    ]
    sentences += [f"{code} stands on more than one line." for code in repeated_codes(entries)]
    if not entries:
        sentences.append("A sheet needs at least one line.")
    if sentences:
        raise ValidationError(sentences)


def _row(revision: SheetRevision, entry: EntryDraft, position: int) -> SheetEntry:
    return SheetEntry(
        revision=revision,
        code=entry.code,
        label=entry.label,
        where=entry.where,
        form=entry.form,
        unit=entry.unit,
        source=entry.source,
        outside=entry.outside,
        decimals=entry.decimals,
        position=position,
        **{name: getattr(entry, name) for name in FIGURE_NAMES},
    )
