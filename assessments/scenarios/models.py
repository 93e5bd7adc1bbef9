"""Scenarios and their revisions. A revision is never edited: attempts point at it for ever."""

from __future__ import annotations

import uuid
from typing import ClassVar

from django.conf import settings
from django.db import models
from django.db.models import Q

from assessments.engine.methods import all_methods
from assessments.engine.plots import per_cent
from courses.machines.models import SheetRevision
from courses.tasks.issued import IssuedOnce
from courses.tasks.models import Task

HALF_STEP = 0.5


class Scenario(models.Model):
    """One measurement on one machine that people practise, whatever its present revision."""

    slug = models.SlugField(max_length=60, unique=True)
    task = models.ForeignKey(Task, on_delete=models.PROTECT, related_name="scenarios")
    is_open = models.BooleanField(default=False, help_text="Open for drills.")
    current = models.OneToOneField(
        "ScenarioRevision", on_delete=models.PROTECT, null=True, blank=True, related_name="current_of"
    )

    class Meta:
        ordering: ClassVar = ["task__code", "slug"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=Q(is_open=False) | Q(current__isnull=False), name="scenarios_open_has_revision"
            ),
        ]

    def __str__(self) -> str:
        return self.slug


class Units(models.TextChoices):
    METRIC = "mm", "millimetres"
    INCH = "in", "inches"


class Carrying(models.TextChoices):
    WORST_CASE = "worst case", "worst case"
    ROOT_SUM_SQUARE = "root sum square", "root sum square"


class ScenarioRevision(IssuedOnce):
    """One revision: a method on a sheet revision, instruments, cases, and what is asked.

    dims: method's dim name to {"entry": code} of the sheet, or {"value": "0.60", "unit": "mm"} for a gauge.
    limits: method's limit name to entry code. instruments: reading name to instrument name.
    shares: condition name to share. asked: result names.
    """

    scenario = models.ForeignKey(Scenario, on_delete=models.PROTECT, related_name="revisions")
    number = models.PositiveIntegerField()
    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    title = models.CharField(max_length=120)
    situation = models.TextField(help_text="What the learner is told, in two or three plain sentences.")
    method = models.CharField(max_length=40)
    sheet = models.ForeignKey(SheetRevision, on_delete=models.PROTECT, related_name="scenario_revisions")
    dims = models.JSONField(default=dict, blank=True)
    limits = models.JSONField(default=dict, blank=True)
    instruments = models.JSONField()
    shares = models.JSONField()
    asked = models.JSONField(default=list, blank=True)
    reach = models.FloatField(default=0.6)
    reading_steps = models.FloatField(default=0.5)
    carrying = models.CharField(max_length=20, choices=Carrying.choices, default=Carrying.WORST_CASE)
    units = models.CharField(max_length=2, choices=Units.choices, default=Units.METRIC)
    fair_share = models.FloatField(help_text="Part of the first draws that was fair when this revision was issued.")
    reason = models.TextField(help_text="Why this revision was issued.")
    issued_at = models.DateTimeField()
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering: ClassVar = ["scenario", "-number"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["scenario", "number"], name="scenarios_revision_number_once"),
            models.CheckConstraint(condition=Q(number__gte=1), name="scenarios_revision_from_one"),
            models.CheckConstraint(
                condition=Q(fair_share__gte=0.6) & Q(fair_share__lte=1), name="scenarios_revision_is_fair"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.title}, revision {self.number}"

    @property
    def is_issued(self) -> bool:
        """False while it is only being tried out."""
        return not self._state.adding

    @property
    def method_title(self) -> str:
        """What its method is called; its bare name if the engine no longer has it."""
        method = all_methods().get(self.method)
        return method.title if method else self.method

    @property
    def fair_words(self) -> str:
        """The fair share in whole per cent."""
        return per_cent(self.fair_share)

    @property
    def reading_steps_words(self) -> str:
        return "half a step of its instrument" if self.reading_steps == HALF_STEP else "one step of its instrument"

    @property
    def stream(self) -> str:
        """Names the stream of chance its draws come from: the same on every site that holds this revision."""
        return f"{self.scenario.slug}/{self.number}"
