"""The tasks of a reassembly, what comes after what, and the revisions of each task's procedure."""

from __future__ import annotations

from typing import ClassVar

from django.conf import settings
from django.core.validators import RegexValidator
from django.db import models
from django.db.models import Q

from courses.tasks.issued import IssuedOnce


class Task(models.Model):
    """One task of the job, for example B4, check bearing clearance and close the bearing caps."""

    code = models.CharField(max_length=4, unique=True, validators=[RegexValidator(r"^[A-Z][0-9]{1,2}\Z")])
    title = models.CharField(max_length=120)
    short_title = models.CharField(max_length=30)
    is_critical = models.BooleanField(default=False)
    critical_because = models.CharField(max_length=60, blank=True)
    comes_after = models.ManyToManyField("self", symmetrical=False, related_name="comes_before", blank=True)

    class Meta:
        ordering: ClassVar = ["code"]
        constraints: ClassVar = [
            models.CheckConstraint(
                name="tasks_only_a_critical_task_has_a_reason",
                condition=Q(is_critical=True) | Q(critical_because=""),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.title}"


class TaskRevision(IssuedOnce):
    """One issue of a task's procedure. A major one makes holders due again after a grace time."""

    task = models.ForeignKey(Task, on_delete=models.PROTECT, related_name="revisions")
    number = models.PositiveIntegerField()
    is_major = models.BooleanField(default=False)
    change = models.TextField(help_text="What changed, in words.")
    issued_at = models.DateTimeField()
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering: ClassVar = ["task", "-number"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["task", "number"], name="tasks_revision_number_once"),
            models.CheckConstraint(condition=Q(number__gte=1), name="tasks_revision_from_one"),
        ]

    def __str__(self) -> str:
        return f"{self.task.code} revision {self.number}"
