"""Publishing lessons, and noting who has read what."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from django.db import transaction
from django.template import TemplateDoesNotExist
from django.template.loader import get_template

from courses.lessons.content import FigureDraft, LessonDraft, StepDraft
from courses.lessons.models import (
    Caution,
    Figure,
    Lesson,
    LessonRead,
    LessonRevision,
    Line,
    Status,
    Step,
    StepKind,
)
from courses.people.models import Person
from courses.tasks.models import Task


class LessonError(ValueError):
    """A lesson that cannot be published, or a reading that cannot be noted."""


class NoSuchTaskError(LessonError):
    def __init__(self, *, slug: str, task: str) -> None:
        self.slug = slug
        self.task = task
        super().__init__(f"The lesson {slug} belongs to task {task}, and there is no such task.")


class NoSuchDrawingError(LessonError):
    def __init__(self, *, slug: str, name: str) -> None:
        self.slug = slug
        self.name = name
        super().__init__(f"The lesson {slug} shows a figure {name}, and there is no drawing of that name.")


class NotPublishedError(LessonError):
    def __init__(self, revision: LessonRevision) -> None:
        self.revision = revision
        super().__init__(f"{revision} has not been published: nobody can have read it.")


@transaction.atomic
def publish(*, draft: LessonDraft, by: Person, at: datetime) -> LessonRevision:
    """Publish a lesson: its first revision, or the next one. Nothing published before changes.

    Raises NoSuchTaskError, NoSuchDrawingError, and ValidationError where a text is too long.
    """
    task = Task.objects.filter(code=draft.task).first()
    if task is None:
        raise NoSuchTaskError(slug=draft.slug, task=draft.task)
    _check_drawings(draft)
    lesson = Lesson.objects.select_for_update().filter(slug=draft.slug).first() or Lesson(slug=draft.slug)
    lesson.task = task
    lesson.title = draft.title
    lesson.full_clean()
    lesson.save()
    last = LessonRevision.objects.filter(lesson=lesson).order_by("-number").first()
    revision = LessonRevision(
        lesson=lesson,
        number=last.number + 1 if last else 1,
        status=Status.PUBLISHED,
        is_major=draft.is_major,
        change=draft.change,
        summary="\n".join(draft.aims),
        published_at=at,
        by=by,
    )
    revision.full_clean()
    revision.save()
    _add_lines(revision, draft)
    _add_steps(revision, draft)
    return revision


@transaction.atomic
def mark_read(*, person: Person, revision: LessonRevision, at: datetime) -> LessonRead:
    """Note that a person has read a revision. Said again, the first time stands. Raises NotPublishedError."""
    if revision.published_at is None or revision.published_at > at:
        raise NotPublishedError(revision)
    read, _ = LessonRead.objects.get_or_create(person=person, revision=revision, defaults={"read_at": at})
    return read


def _check_drawings(draft: LessonDraft) -> None:
    figures = [*draft.figures, *(figure for step in draft.steps for figure in step.figures)]
    for figure in figures:
        try:
            get_template(Figure(name=figure.name).template)
        except TemplateDoesNotExist:
            raise NoSuchDrawingError(slug=draft.slug, name=figure.name) from None


def _add_lines(revision: LessonRevision, draft: LessonDraft) -> None:
    rows = [
        Line(revision=revision, kind=line.kind, position=position, text=line.text, detail=line.detail)
        for position, line in enumerate(draft.lines, start=1)
    ]
    _add_all(rows)


def _add_steps(revision: LessonRevision, draft: LessonDraft) -> None:
    steps = [_step(revision, step, position) for position, step in enumerate(draft.steps, start=1)]
    _add_all(steps)
    cautions: list[tuple[Step | None, str]] = [(None, text) for text in draft.cautions]
    figures: list[tuple[Step | None, FigureDraft]] = [(None, figure) for figure in draft.figures]
    for row, step in zip(steps, draft.steps, strict=True):
        cautions += [(row, text) for text in step.cautions]
        figures += [(row, figure) for figure in step.figures]
    _add_all(
        [
            Caution(revision=revision, step=owner, position=position, text=text)
            for position, (owner, text) in enumerate(cautions, start=1)
        ]
    )
    _add_all(
        [
            Figure(
                revision=revision,
                step=owner,
                position=position,
                name=figure.name,
                title=figure.title,
                alternative=figure.alternative,
                caption=figure.caption,
            )
            for position, (owner, figure) in enumerate(figures, start=1)
        ]
    )


def _step(revision: LessonRevision, step: StepDraft, position: int) -> Step:
    return Step(
        revision=revision,
        position=position,
        kind=StepKind.HOLD_POINT if step.is_hold_point else StepKind.STEP,
        heading=step.heading,
        text=step.text,
        reason=step.reason,
        goes_wrong=step.goes_wrong,
        working="\n".join(step.working),
        sheet_entries="\n".join(step.sheet_entries),
        scenario=step.scenario,
    )


def _add_all(rows: list[Step] | list[Caution] | list[Figure] | list[Line]) -> None:
    """Check every row by itself, then store them together: one query however many there are."""
    for row in rows:
        row.full_clean(exclude=["revision", "step"], validate_unique=False, validate_constraints=False)
    if rows:
        type(rows[0]).objects.bulk_create(rows)  # type: ignore[arg-type]


def publish_all(*, drafts: Iterable[LessonDraft], by: Person, at: datetime) -> list[LessonRevision]:
    """Publish several lessons, in the order given."""
    return [publish(draft=draft, by=by, at=at) for draft in drafts]
