from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from django.core.exceptions import ValidationError

from courses.lessons.content import FigureDraft, LineDraft, read_lessons
from courses.lessons.models import Lesson, LessonRead, LessonRevision, Status
from courses.lessons.services import (
    NoSuchDrawingError,
    NoSuchTaskError,
    NotPublishedError,
    mark_read,
    publish,
    publish_all,
)
from tests.factories.lessons import LessonDraftFactory, LessonRevisionFactory, StepDraftFactory
from tests.factories.people import PersonFactory
from tests.factories.tasks import TaskFactory

pytestmark = pytest.mark.django_db
AT = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)
DEMO = Path(__file__).parents[3] / "fixtures_demo" / "lessons"
PRINTS = FigureDraft(name="prints", title="Prints", alternative="Three prints.", caption="Wide is tight.")


@pytest.fixture
def task():
    return TaskFactory(code="B4")


def out(draft, **given):
    return publish(draft=draft, by=given.get("by") or PersonFactory(), at=given.get("at", AT))


def test_a_lesson_is_published_with_everything_in_it(task):
    by = PersonFactory()
    step = StepDraftFactory(
        is_hold_point=True,
        cautions=("Hot.",),
        figures=(PRINTS,),
        working=("Taper | 0.020 mm",),
        sheet_entries=("rotor.float",),
        scenario="a-drill",
    )
    draft = LessonDraftFactory(
        aims=("one", "two"),
        steps=(StepDraftFactory(), step),
        cautions=("Isolate.",),
        lines=(LineDraft(kind="tool", text="rule"),),
    )

    revision = out(draft, by=by)

    assert (revision.number, revision.status, revision.published_at, revision.by) == (1, Status.PUBLISHED, AT, by)
    assert revision.aims == ["one", "two"]
    first, second = revision.steps.all()
    assert (first.position, first.is_hold_point, second.position, second.is_hold_point) == (1, False, 2, True)
    assert second.working_lines == [("Taper", "0.020 mm")]
    assert second.entry_codes == ["rotor.float"]
    assert [(row.text, row.step) for row in revision.cautions.all()] == [("Isolate.", None), ("Hot.", second)]
    assert [(row.name, row.step) for row in revision.figures.all()] == [("prints", second)]
    assert [row.text for row in revision.lines.all()] == ["rule"]


def test_the_next_revision_leaves_the_last_one_as_it_was(task):
    first = out(LessonDraftFactory(title="Old"))
    second = out(LessonDraftFactory(title="New", is_major=True, change="Torque by stages."))

    assert (second.number, second.is_major, second.lesson.title) == (2, True, "New")
    assert Lesson.objects.count() == 1
    assert LessonRevision.objects.get(number=1).steps.count() == 1
    assert LessonRevision.objects.get(number=1).change == first.change


def test_a_lesson_for_a_task_that_does_not_exist_is_not_published():
    with pytest.raises(NoSuchTaskError) as caught:
        out(LessonDraftFactory(task="Q9"))

    assert (caught.value.slug, caught.value.task) == ("a-lesson", "Q9")
    assert not Lesson.objects.exists()


@pytest.mark.parametrize("place", ["lesson", "step"])
def test_a_lesson_that_shows_a_missing_drawing_is_not_published(task, place):
    missing = replace(PRINTS, name="no-such-drawing")
    steps = (StepDraftFactory(figures=(missing,) if place == "step" else ()),)

    with pytest.raises(NoSuchDrawingError) as caught:
        out(LessonDraftFactory(figures=(missing,) if place == "lesson" else (), steps=steps))

    assert caught.value.name == "no-such-drawing"
    assert not Lesson.objects.exists()


@pytest.mark.parametrize(
    "steps",
    [
        (StepDraftFactory(heading="x" * 121),),
        (StepDraftFactory(sheet_entries=("Rotor float",)),),
        (StepDraftFactory(scenario="../x"),),
    ],
)
def test_a_lesson_that_is_not_whole_is_not_published_at_all(task, steps):
    with pytest.raises(ValidationError):
        out(LessonDraftFactory(steps=steps))

    assert not Lesson.objects.exists()


@pytest.mark.parametrize("count", [5, 40])
def test_a_long_lesson_is_written_in_as_many_queries_as_a_short_one(task, count, django_assert_num_queries):
    steps = tuple(StepDraftFactory(cautions=("Hot.",)) for _ in range(count))
    draft, by = LessonDraftFactory(steps=steps, lines=(LineDraft(kind="tool", text="rule"),)), PersonFactory()

    with django_assert_num_queries(21):  # savepoints and the checks of lesson and revision among them
        out(draft, by=by)


def test_the_demo_lessons_are_published():
    for code in ("B1", "B4"):
        TaskFactory(code=code)

    revisions = publish_all(drafts=read_lessons(DEMO), by=PersonFactory(), at=AT)

    assert [(row.lesson.slug, row.steps.count(), row.figures.count()) for row in revisions] == [
        ("shop-instruments", 7, 2),
        ("bearing-clearance", 14, 6),
    ]
    assert all(row.cautions.filter(step=None, text__contains="1910.147").exists() for row in revisions)


def test_a_reading_is_noted_once_and_the_first_time_stands():
    person, revision = PersonFactory(), LessonRevisionFactory()

    first = mark_read(person=person, revision=revision, at=AT)
    again = mark_read(person=person, revision=revision, at=AT + timedelta(days=3))

    assert again == first
    assert LessonRead.objects.get().read_at == AT


def test_two_people_and_two_revisions_are_noted_apart():
    one, other = PersonFactory(), PersonFactory()
    revision = LessonRevisionFactory()
    later = LessonRevisionFactory(lesson=revision.lesson, number=2)
    for person, row in [(one, revision), (other, revision), (one, later)]:
        mark_read(person=person, revision=row, at=AT)

    assert LessonRead.objects.count() == 3


def test_nobody_has_read_a_draft():
    draft = LessonRevisionFactory(status=Status.DRAFT, published_at=None)

    with pytest.raises(NotPublishedError):
        mark_read(person=PersonFactory(), revision=draft, at=AT)


def test_nobody_has_read_a_revision_before_it_was_published():
    revision = LessonRevisionFactory(published_at=AT)

    with pytest.raises(NotPublishedError) as caught:
        mark_read(person=PersonFactory(), revision=revision, at=AT - timedelta(seconds=1))

    assert caught.value.revision == revision
