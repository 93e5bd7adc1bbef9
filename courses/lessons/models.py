"""Lessons: what a task's lesson says, revision by revision, and who has read which revision.

A lesson is never edited: a change is a new revision with everything in it, so that "read" always
means one text that still stands.
"""

from __future__ import annotations

from typing import ClassVar

from django.conf import settings
from django.core.validators import RegexValidator
from django.db import models
from django.db.models import Q

from courses.tasks.issued import IssuedOnce
from courses.tasks.models import Task

SLUG_WORDS = RegexValidator(r"^[a-z0-9]+(-[a-z0-9]+)*\Z", "Small letters, digits and hyphens only.")
CODE_LINES = RegexValidator(r"^([a-z0-9]+([.-][a-z0-9]+)*\n?)+\Z", "Codes of lines of a machine sheet.")


class Lesson(models.Model):
    """A lesson that belongs to one task."""

    slug = models.CharField(max_length=60, unique=True, validators=[SLUG_WORDS])
    task = models.ForeignKey(Task, on_delete=models.PROTECT, related_name="lessons")
    title = models.CharField(max_length=120)

    class Meta:
        ordering: ClassVar = ["task", "slug"]

    def __str__(self) -> str:
        return self.title


class Status(models.TextChoices):
    DRAFT = "draft", "draft"
    PUBLISHED = "published", "published"


class LessonRevision(IssuedOnce):
    """One published text of a lesson. A major one has to be read again by those who read an earlier one."""

    lesson = models.ForeignKey(Lesson, on_delete=models.PROTECT, related_name="revisions")
    number = models.PositiveIntegerField()
    status = models.CharField(max_length=10, choices=Status.choices)
    is_major = models.BooleanField(default=False)
    change = models.TextField(help_text="What changed, in words.")
    summary = models.TextField(help_text="You will be able to: one line each.")
    published_at = models.DateTimeField(null=True, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering: ClassVar = ["lesson", "-number"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["lesson", "number"], name="lessons_revision_number_once"),
            models.CheckConstraint(condition=Q(number__gte=1), name="lessons_revision_from_one"),
            models.CheckConstraint(
                name="lessons_published_at_an_instant",
                condition=Q(status="published", published_at__isnull=False) | Q(status="draft", published_at=None),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.lesson}, revision {self.number}"

    @property
    def aims(self) -> list[str]:
        """What the reader will be able to do."""
        return self.summary.splitlines()


class StepKind(models.TextChoices):
    STEP = "step", "step"
    HOLD_POINT = "hold point", "hold point"


class Step(IssuedOnce):
    """One step of the work, with its reason and what goes wrong otherwise."""

    revision = models.ForeignKey(LessonRevision, on_delete=models.PROTECT, related_name="steps")
    position = models.PositiveIntegerField()
    kind = models.CharField(max_length=10, choices=StepKind.choices, default=StepKind.STEP)
    heading = models.CharField(max_length=120)
    text = models.TextField(help_text="Plain paragraphs, an empty line between them.")
    reason = models.TextField()
    goes_wrong = models.TextField(help_text="What goes wrong otherwise.")
    working = models.TextField(blank=True, help_text="A working on squared paper, one line each: what | how.")
    sheet_entries = models.TextField(
        blank=True,
        validators=[CODE_LINES],
        help_text="Codes of the lines of the machine sheet it works to, one a line.",
    )
    scenario = models.CharField(
        max_length=60, blank=True, validators=[SLUG_WORDS], help_text="The drill that practises this step, by its key."
    )

    class Meta:
        ordering: ClassVar = ["revision", "position"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["revision", "position"], name="lessons_step_position_once"),
            models.CheckConstraint(condition=Q(kind__in=StepKind.values), name="lessons_step_kind_known"),
        ]

    def __str__(self) -> str:
        return f"{self.position}. {self.heading}"

    @property
    def is_hold_point(self) -> bool:
        return self.kind == StepKind.HOLD_POINT

    @property
    def entry_codes(self) -> list[str]:
        """The lines of the machine sheet that the step works to."""
        return self.sheet_entries.splitlines()

    @property
    def working_lines(self) -> list[tuple[str, str]]:
        """The working, line by line: what, and how."""
        halves = (line.partition("|") for line in self.working.splitlines())
        return [(what.strip(), how.strip()) for what, _, how in halves]

    @property
    def drill_path(self) -> str:
        """Where the drill for this step is. A path in words: the drills belong to another floor of the house."""
        return f"/drills/scenario/{self.scenario}/" if self.scenario else ""


class Caution(IssuedOnce):
    """A caution, at the step where it bites, or for the whole lesson."""

    revision = models.ForeignKey(LessonRevision, on_delete=models.PROTECT, related_name="cautions")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, null=True, blank=True, related_name="cautions")
    position = models.PositiveIntegerField()
    text = models.TextField()

    class Meta:
        ordering: ClassVar = ["revision", "position"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["revision", "position"], name="lessons_caution_position_once"),
        ]

    def __str__(self) -> str:
        return self.text


class Figure(IssuedOnce):
    """A drawing of the lesson: `name` is the drawing's file, `alternative` says what a sighted reader sees."""

    revision = models.ForeignKey(LessonRevision, on_delete=models.PROTECT, related_name="figures")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, null=True, blank=True, related_name="figures")
    position = models.PositiveIntegerField()
    name = models.CharField(max_length=60, validators=[SLUG_WORDS])
    title = models.CharField(max_length=120)
    alternative = models.TextField()
    caption = models.TextField()

    class Meta:
        ordering: ClassVar = ["revision", "position"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["revision", "position"], name="lessons_figure_position_once"),
            models.UniqueConstraint(fields=["revision", "name"], name="lessons_figure_name_once"),
        ]

    def __str__(self) -> str:
        return self.title

    @property
    def template(self) -> str:
        """The drawing itself. `name` holds no dot and no slash, so this stays inside the folder of drawings."""
        return f"lessons/figures/{self.name}.svg"


class LineKind(models.TextChoices):
    TOOL = "tool", "tool"
    PART = "part", "part"
    SHEET_ENTRY = "sheet entry", "line of the machine sheet"
    MISTAKE = "mistake", "usual mistake"
    WRITE_DOWN = "write down", "what to write down"
    TERM = "term", "word explained"


class Line(IssuedOnce):
    """One line of a lesson's lists. `detail` is the meaning of a term, or what is right instead of a mistake."""

    revision = models.ForeignKey(LessonRevision, on_delete=models.PROTECT, related_name="lines")
    kind = models.CharField(max_length=12, choices=LineKind.choices)
    position = models.PositiveIntegerField()
    text = models.TextField()
    detail = models.TextField(blank=True)

    class Meta:
        ordering: ClassVar = ["revision", "kind", "position"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["revision", "kind", "position"], name="lessons_line_position_once"),
            models.CheckConstraint(condition=Q(kind__in=LineKind.values), name="lessons_line_kind_known"),
        ]

    def __str__(self) -> str:
        return self.text


class LessonRead(IssuedOnce):
    """A person says to have read a revision."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="lessons_read")
    revision = models.ForeignKey(LessonRevision, on_delete=models.PROTECT, related_name="reads")
    read_at = models.DateTimeField()

    class Meta:
        ordering: ClassVar = ["-read_at"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["person", "revision"], name="lessons_read_once"),
        ]

    def __str__(self) -> str:
        return f"{self.person}: {self.revision}"
