"""Rows and drafts of lessons."""

from __future__ import annotations

from datetime import UTC, datetime

import factory
from factory.django import DjangoModelFactory

from courses.lessons.content import LessonDraft, StepDraft
from courses.lessons.models import Lesson, LessonRead, LessonRevision, Status
from tests.factories.people import PersonFactory
from tests.factories.tasks import TaskFactory


class LessonFactory(DjangoModelFactory[Lesson]):
    class Meta:
        model = Lesson

    slug = factory.Sequence(lambda n: f"lesson-{n}")
    task = factory.SubFactory(TaskFactory)
    title = factory.Sequence(lambda n: f"Lesson {n}")


class LessonRevisionFactory(DjangoModelFactory[LessonRevision]):
    class Meta:
        model = LessonRevision

    lesson = factory.SubFactory(LessonFactory)
    number = 1
    status = Status.PUBLISHED
    change = "First issue."
    summary = "do it"
    published_at = datetime(2026, 1, 5, 8, 0, tzinfo=UTC)
    by = factory.SubFactory(PersonFactory)


class LessonReadFactory(DjangoModelFactory[LessonRead]):
    class Meta:
        model = LessonRead

    person = factory.SubFactory(PersonFactory)
    revision = factory.SubFactory(LessonRevisionFactory)
    read_at = datetime(2026, 2, 2, 8, 0, tzinfo=UTC)


class StepDraftFactory(factory.Factory[StepDraft]):
    class Meta:
        model = StepDraft

    heading = factory.Sequence(lambda n: f"Step {n}")
    text = "Do this."
    reason = "It has to be done."
    goes_wrong = "It is not done."


class LessonDraftFactory(factory.Factory[LessonDraft]):
    """A lesson with one step, for a task that has to exist."""

    class Meta:
        model = LessonDraft

    slug = "a-lesson"
    task = "B4"
    title = "A lesson"
    aims = ("do it",)
    steps = factory.LazyFunction(lambda: (StepDraftFactory(),))
