from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from django.http import Http404

from courses.lessons.content import LineDraft
from courses.lessons.models import Status
from courses.lessons.selectors import (
    ReadingRow,
    current_lessons,
    get_lesson_for,
    get_revision,
    lessons_for_task,
    lessons_with_progress,
    readings_by_task,
)
from courses.lessons.services import publish
from courses.machines.services import issue_sheet
from courses.people.models import Person
from tests.factories.lessons import (
    LessonDraftFactory,
    LessonFactory,
    LessonReadFactory,
    LessonRevisionFactory,
    StepDraftFactory,
)
from tests.factories.machines import EntryDraftFactory, MachineFactory
from tests.factories.people import PersonFactory
from tests.factories.tasks import TaskFactory

pytestmark = pytest.mark.django_db
AT = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)


def revisions(lesson, *majors):
    """Revisions 1, 2, ... of a lesson, a day apart from AT, each major or not."""
    return [
        LessonRevisionFactory(
            lesson=lesson, number=number, is_major=major, published_at=AT + timedelta(days=number - 1)
        )
        for number, major in enumerate(majors, start=1)
    ]


def test_the_current_lessons_are_the_latest_published_ones():
    lesson = LessonFactory(task=TaskFactory(code="B4"), slug="strips", title="Strips")
    revisions(lesson, False, True)
    LessonRevisionFactory(lesson=lesson, number=3, status=Status.DRAFT, published_at=None)
    LessonRevisionFactory(lesson__slug="only-a-draft", status=Status.DRAFT, published_at=None)

    (found,) = current_lessons()

    assert (found.task_code, found.slug, found.title, found.number, found.majors) == ("B4", "strips", "Strips", 2, (2,))
    assert [row.number for row in current_lessons(at=AT)] == [1]
    assert current_lessons(at=AT - timedelta(seconds=1)) == []


def test_a_reading_names_what_was_read_and_what_has_come_since():
    lesson = LessonFactory(task=TaskFactory(code="B4"), slug="strips")
    first, *_ = revisions(lesson, False, True, False)
    read = LessonReadFactory(revision=first, read_at=AT)

    assert readings_by_task([read.person]) == [ReadingRow(read.person.pk, "B4", "strips", 1, 3, AT, True)]


@pytest.mark.parametrize(
    ("majors", "read", "changed"),
    [((False, False), 1, False), ((True, False), 1, False), ((False, True), 2, False), ((False, True), 1, True)],
)
def test_only_a_major_change_after_the_reading_counts(majors, read, changed):
    rows = revisions(LessonFactory(), *majors)
    person = LessonReadFactory(revision=rows[read - 1]).person

    assert [row.changed_majorly_since for row in readings_by_task([person])] == [changed]


def test_of_several_readings_of_a_lesson_the_highest_revision_counts():
    first, second = revisions(LessonFactory(), False, True)
    person = PersonFactory()
    LessonReadFactory(person=person, revision=second, read_at=AT)
    LessonReadFactory(person=person, revision=first, read_at=AT + timedelta(days=9))

    assert [(row.revision_number, row.read_at) for row in readings_by_task([person])] == [(2, AT)]


def test_readings_are_told_as_they_stood_at_an_instant():
    first, second = revisions(LessonFactory(), False, True)
    person = PersonFactory()
    LessonReadFactory(person=person, revision=first, read_at=AT + timedelta(hours=1))
    LessonReadFactory(person=person, revision=second, read_at=AT + timedelta(days=5))

    def told(after):
        return [
            (row.revision_number, row.current_number, row.changed_majorly_since)
            for row in readings_by_task([person], AT + after)
        ]

    assert told(timedelta(0)) == []
    assert told(timedelta(hours=2)) == [(1, 1, False)]
    assert told(timedelta(days=2)) == [(1, 2, True)]
    assert told(timedelta(days=6)) == [(2, 2, False)]


def test_only_the_people_asked_for_are_told():
    read, other = LessonReadFactory(), LessonReadFactory()

    assert [row.person_id for row in readings_by_task([read.person])] == [read.person.pk]
    assert {row.person_id for row in readings_by_task(Person.objects.all())} == {read.person.pk, other.person.pk}
    assert readings_by_task([]) == []


@pytest.mark.parametrize("count", [2, 20])
def test_the_readings_of_any_number_of_people_take_two_queries(count, django_assert_num_queries):
    rows = [revisions(LessonFactory(), False, True)[0] for _ in range(count)]
    people = [PersonFactory() for _ in range(count)]
    for person in people:
        for row in rows:
            LessonReadFactory(person=person, revision=row)

    with django_assert_num_queries(2):
        assert len(readings_by_task(people)) == count * count


def test_lessons_of_a_task_are_only_its_own():
    task = TaskFactory(code="B4")
    LessonRevisionFactory(lesson__task=task, lesson__slug="mine")
    LessonRevisionFactory()

    assert [lesson.slug for lesson in lessons_for_task(task)] == ["mine"]


@pytest.mark.parametrize("count", [2, 20])
def test_progress_takes_four_queries_however_much_there_is(count, django_assert_num_queries):
    person = PersonFactory()
    for _ in range(count):
        LessonReadFactory(person=person)

    with django_assert_num_queries(5):
        rows = lessons_with_progress(person)
    assert [row.lessons[0].state for row in rows] == ["read"] * count


def test_progress_tells_new_read_and_changed():
    person, task = PersonFactory(), TaskFactory(code="B4")
    TaskFactory(code="A1")
    LessonRevisionFactory(lesson__task=task, lesson__slug="a-new")
    LessonReadFactory(person=person, revision__lesson__task=task, revision__lesson__slug="b-read")
    changed = LessonReadFactory(person=person, revision__lesson__task=task, revision__lesson__slug="c-changed").revision
    LessonRevisionFactory(lesson=changed.lesson, number=2)

    bare, full = lessons_with_progress(person)

    assert bare.lessons == ()
    assert [(row.lesson.slug, row.state, row.read_number) for row in full.lessons] == [
        ("a-new", "new", None),
        ("b-read", "read", 1),
        ("c-changed", "changed since", 1),
    ]


def lesson(count=1, **given):
    TaskFactory(code="B4")
    steps = tuple(StepDraftFactory(cautions=("Hot.",), sheet_entries=("rotor.float",)) for _ in range(count))
    draft = LessonDraftFactory(steps=steps, lines=(LineDraft(kind="sheet entry", text="rotor.float"),), **given)
    return publish(draft=draft, by=PersonFactory(), at=AT)


def machine_with(code, **given):
    machine = MachineFactory(**given)
    issue_sheet(machine=machine, entries=[EntryDraftFactory(code=code)], reason="So.", by=PersonFactory(), at=AT)
    return machine


def test_a_lesson_is_shown_with_the_figures_of_the_machine_chosen():
    lesson()
    first, second = machine_with("rotor.mass"), machine_with("rotor.float", slug="t-2")

    by_default = get_lesson_for(PersonFactory(), "a-lesson", machines=[first, second])
    page = get_lesson_for(PersonFactory(), "a-lesson", machines=[first, second], chosen="t-2")

    assert (by_default.machine, by_default.entries[0].entry) == (first, None)
    assert (page.machine, page.sheet.number) == (second, 1)
    assert page.entries[0].entry.figures == "0.090 to 0.150 mm"
    assert page.steps[0].needed[0].entry.figures == "0.090 to 0.150 mm"


def test_a_lesson_stands_without_a_machine_and_without_a_sheet():
    lesson()

    bare = get_lesson_for(PersonFactory(), "a-lesson")
    unsheeted = get_lesson_for(PersonFactory(), "a-lesson", machines=[MachineFactory()])

    assert (bare.machine, bare.sheet, bare.entries[0].entry) == (None, None, None)
    assert (unsheeted.sheet, unsheeted.entries[0].entry) == (None, None)


def test_the_latest_revision_is_shown_unless_another_is_asked_for():
    revision = lesson()
    publish(draft=LessonDraftFactory(), by=PersonFactory(), at=AT)

    assert get_lesson_for(PersonFactory(), "a-lesson").revision.number == 2
    old = get_lesson_for(PersonFactory(), "a-lesson", number=1)
    assert (old.revision, old.latest_number) == (revision, 2)
    assert get_revision("a-lesson", 1) == revision


def test_the_page_knows_whether_this_person_has_read_this_revision():
    revision = lesson()
    read = LessonReadFactory(revision=revision)

    assert get_lesson_for(read.person, "a-lesson").read == read
    assert get_lesson_for(PersonFactory(), "a-lesson").read is None


def test_what_does_not_exist_or_is_a_draft_is_not_found():
    LessonRevisionFactory(lesson__slug="draft", status=Status.DRAFT, published_at=None)
    lesson()
    person = PersonFactory()

    for slug, given in [("none", {}), ("draft", {}), ("a-lesson", {"number": 9}), ("a-lesson", {"chosen": "t-9"})]:
        with pytest.raises(Http404):
            get_lesson_for(person, slug, **given)


@pytest.mark.parametrize("count", [5, 40])
def test_a_long_lesson_takes_as_many_queries_as_a_short_one(count, django_assert_num_queries):
    lesson(count)
    machine, person = machine_with("rotor.float"), PersonFactory()

    with django_assert_num_queries(9):
        page = get_lesson_for(person, "a-lesson", machines=[machine])
        assert len(page.steps) == count
        assert all(card.cautions and card.needed[0].entry for card in page.steps)
