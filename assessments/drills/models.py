"""Attempts at drills: the draw as it was, what was typed, and the marking as it was given."""

from __future__ import annotations

from typing import ClassVar

from django.conf import settings
from django.db import models
from django.db.models import Q

from assessments.scenarios.models import Scenario, ScenarioRevision


class Attempt(models.Model):
    """One draw put before one person.

    draw: engine.draws.Draw.document(). typed: field name to text, exactly as typed.
    marked: engine.marked.document, written once when it is handed in, and shown from then on.
    """

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="attempts")
    scenario = models.ForeignKey(Scenario, on_delete=models.PROTECT, related_name="attempts")
    revision = models.ForeignKey(ScenarioRevision, on_delete=models.PROTECT, related_name="attempts")
    seed = models.BigIntegerField()
    draw = models.JSONField()
    typed = models.JSONField(default=dict, blank=True)
    opened_at = models.DateTimeField()
    saved_at = models.DateTimeField(null=True, blank=True)
    handed_in_at = models.DateTimeField(null=True, blank=True)
    marked = models.JSONField(null=True, blank=True)
    is_right = models.BooleanField(null=True, blank=True)
    is_unsafe = models.BooleanField(null=True, blank=True)
    points = models.PositiveSmallIntegerField(null=True, blank=True)
    out_of = models.PositiveSmallIntegerField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["-opened_at"]
        indexes: ClassVar = [
            models.Index(fields=["person", "handed_in_at"], name="drills_person_handed_in"),
            models.Index(fields=["scenario", "handed_in_at"], name="drills_scenario_handed_in"),
        ]
        constraints: ClassVar = [
            # However often "draw another" is pressed, one draw of a scenario is open for one person.
            models.UniqueConstraint(
                fields=["person", "scenario"], condition=Q(handed_in_at=None), name="drills_one_open_attempt"
            ),
            models.CheckConstraint(
                name="drills_handed_in_is_marked",
                condition=(
                    Q(
                        handed_in_at=None,
                        marked__isnull=True,  # a plain None would ask for the null of JSON
                        is_right=None,
                        is_unsafe=None,
                        points=None,
                        out_of=None,
                    )
                    | Q(
                        handed_in_at__isnull=False,
                        marked__isnull=False,
                        is_right__isnull=False,
                        is_unsafe__isnull=False,
                        points__isnull=False,
                        out_of__isnull=False,
                        out_of__gte=models.F("points"),
                    )
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person}: {self.scenario}, draw {self.pk}"

    @property
    def is_handed_in(self) -> bool:
        return self.handed_in_at is not None
