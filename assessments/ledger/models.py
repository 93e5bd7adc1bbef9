"""Append-only records: what was decided about a person and a task, and what was done and seen.

No row here is ever changed or removed; the database refuses it (guards.py, migration 0002). `Line`
alone changes: it says how long each person's line is, and is the row that is locked while a line grows.
"""

from __future__ import annotations

from typing import ClassVar

from django.conf import settings
from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q

from assessments.ledger import chain
from courses.machines.models import Machine
from courses.tasks.models import Task


class Kind(models.TextChoices):
    GRANTED = "granted", "granted"
    COUNTERSIGNED = "countersigned", "countersigned"
    RENEWED = "renewed", "renewed"
    RESTRICTED = "restricted", "restricted"
    RESTRICTION_LIFTED = "restriction lifted", "restriction lifted"
    SUSPENDED = "suspended", "suspended"
    REINSTATED = "reinstated", "reinstated"
    WITHDRAWN = "withdrawn", "withdrawn"
    CORRECTION = "correction", "correction"


ANSWERING_KINDS = (Kind.COUNTERSIGNED, Kind.RESTRICTION_LIFTED, Kind.CORRECTION)


class Meaning(models.TextChoices):
    """What a signature says: 21 CFR 11.50(a)(3) asks that it be stated."""

    OBSERVED = "observed", "observed"
    APPROVED = "approved", "approved"
    AUTHORISED = "authorised", "authorised"


class OccurrenceKind(models.TextChoices):
    """An absence, or what calls for a refresher (29 CFR 1910.178(l)(4)(ii))."""

    ABSENT = "absent", "absent from this work"
    UNSAFE_ACT = "unsafe act", "unsafe act seen"
    NEAR_MISS = "near miss", "accident or near miss"
    FAILED_EVALUATION = "failed evaluation", "failed evaluation"
    OTHER_MACHINE = "other machine", "put on another type of machine"
    CHANGED_PLACE = "changed workplace", "changed workplace or procedure"


class Line(models.Model):
    """How far a person's line of events has grown: the count and the hash of its last event."""

    person = models.OneToOneField(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="line")
    length = models.PositiveIntegerField(default=0)
    head_hash = models.CharField(max_length=64, default=chain.START)

    def __str__(self) -> str:
        return f"{self.person}: {self.length} events"


class Event(models.Model):
    """One signed decision in a person's line.

    ``about`` is the earlier event of the same line that this one countersigns, lifts or corrects.
    ``until_on``: a grant or renewal ends then at the latest; on a suspension or restriction it is the day to
    look again, and ends nothing by itself. ``signed_name`` is the signer's name as it was when signing.
    """

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="events")
    task = models.ForeignKey(Task, on_delete=models.PROTECT, related_name="events")
    sequence = models.PositiveIntegerField()
    kind = models.CharField(max_length=20, choices=Kind.choices)
    effective_on = models.DateField()
    entered_at = models.DateTimeField()
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="events_entered")
    signed_name = models.CharField(max_length=120)
    meaning = models.CharField(max_length=12, choices=Meaning.choices)
    reason = models.TextField()
    evidence = models.JSONField(default=dict, blank=True)
    about = models.ForeignKey("self", on_delete=models.PROTECT, null=True, blank=True, related_name="answers")
    restriction = models.CharField(max_length=200, blank=True)
    until_on = models.DateField(null=True, blank=True)
    token = models.UUIDField(
        null=True, blank=True, unique=True, help_text="One form, one event, however often it is sent."
    )
    previous_hash = models.CharField(max_length=64)
    hash = models.CharField(max_length=64, unique=True)

    class Meta:
        ordering: ClassVar = ["person", "sequence"]
        indexes: ClassVar = [models.Index(fields=["task", "person", "effective_on"], name="ledger_event_task_person")]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["person", "sequence"], name="ledger_event_sequence_once"),
            models.CheckConstraint(condition=Q(sequence__gte=1), name="ledger_event_from_one"),
            models.CheckConstraint(condition=Q(kind__in=Kind.values), name="ledger_event_kind_known"),
            models.CheckConstraint(condition=Q(meaning__in=Meaning.values), name="ledger_event_meaning_known"),
            models.CheckConstraint(condition=~Q(reason=""), name="ledger_event_has_a_reason"),
            models.CheckConstraint(condition=~Q(entered_by=F("person")), name="ledger_event_never_by_oneself"),
            models.CheckConstraint(
                condition=Q(kind=Kind.RESTRICTED, restriction__gt="") | (~Q(kind=Kind.RESTRICTED) & Q(restriction="")),
                name="ledger_event_restriction_in_words",
            ),
            models.CheckConstraint(
                condition=Q(kind__in=ANSWERING_KINDS, about__isnull=False)
                | (~Q(kind__in=ANSWERING_KINDS) & Q(about=None)),
                name="ledger_event_answers_an_event",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person} {self.task.code} {self.kind} {self.effective_on}"

    def clean(self) -> None:
        """Say in a sentence what the database would refuse (its constraints stand all the same)."""
        if self.entered_by_id == self.person_id:
            raise ValidationError({"entered_by": "Nobody signs about themself."})
        if (self.kind == Kind.RESTRICTED) != bool(self.restriction):
            raise ValidationError({"restriction": "A restriction, and nothing else, says its condition in words."})
        if (self.kind in ANSWERING_KINDS) != (self.about is not None):
            raise ValidationError(
                {"about": "A countersignature, a lifting and a correction, and nothing else, answer an earlier event."}
            )

    @property
    def facts(self) -> dict[str, chain.Json]:
        """What the hash covers, besides the previous hash (reads ``task`` and ``about``)."""
        return {
            "about": self.about.sequence if self.about else None,
            "effective_on": self.effective_on.isoformat(),
            "entered_at": chain.instant(self.entered_at),
            "entered_by": self.entered_by_id,
            "evidence": self.evidence,
            "kind": str(self.kind),
            "meaning": str(self.meaning),
            "person": self.person_id,
            "reason": self.reason,
            "restriction": self.restriction,
            "sequence": self.sequence,
            "signed_name": self.signed_name,
            "task": self.task.code,
            "token": str(self.token) if self.token else None,
            "until_on": self.until_on.isoformat() if self.until_on else None,
        }

    @property
    def link(self) -> chain.Link:
        return chain.Link(self.sequence, self.previous_hash, self.facts, self.hash)


class Entry(models.Model):
    """What is common to evidence that people enter. A later row that ``corrects`` this one stands in its place;
    with ``happened`` false it says that the corrected row was a mistake and nothing took its place.
    """

    note = models.TextField()
    happened = models.BooleanField(default=True)
    corrects = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="corrected_by"
    )
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    entered_at = models.DateTimeField()

    class Meta:
        abstract = True


class WorkDone(Entry):
    """The person did the task, on a day, on a machine where one is named."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="work_done")
    task = models.ForeignKey(Task, on_delete=models.PROTECT, related_name="work_done")
    on = models.DateField()
    machine = models.ForeignKey(Machine, on_delete=models.PROTECT, null=True, blank=True, related_name="work_done")

    class Meta:
        ordering: ClassVar = ["person", "on", "pk"]
        verbose_name_plural = "work done"
        indexes: ClassVar = [models.Index(fields=["person", "task", "on"], name="ledger_work_person_task")]

    def __str__(self) -> str:
        return f"{self.person} did {self.task.code} on {self.on}"


class Occurrence(Entry):
    """An absence from ``on`` to ``to_on`` (still absent where that is empty), or what calls for a refresher.

    Without a task it concerns every task of the person.
    """

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="occurrences")
    task = models.ForeignKey(Task, on_delete=models.PROTECT, null=True, blank=True, related_name="occurrences")
    kind = models.CharField(max_length=20, choices=OccurrenceKind.choices)
    on = models.DateField()
    to_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["person", "on", "pk"]
        indexes: ClassVar = [models.Index(fields=["person", "on"], name="ledger_occurrence_person")]
        constraints: ClassVar = [
            models.CheckConstraint(condition=Q(kind__in=OccurrenceKind.values), name="ledger_occurrence_kind_known"),
            models.CheckConstraint(
                condition=Q(to_on=None) | Q(kind=OccurrenceKind.ABSENT, to_on__gte=F("on")),
                name="ledger_occurrence_ends_after_it_began",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person}: {self.kind} on {self.on}"


GUARDED_TABLES: dict[str, tuple[tuple[str, ...], ...]] = {
    "ledger_event": (("person_id", "sequence"), ("hash",), ("token",)),
    "ledger_workdone": (("corrects_id",),),
    "ledger_occurrence": (("corrects_id",),),
}
"""The tables that the database keeps from change, each with its unique keys beside ``id``."""
