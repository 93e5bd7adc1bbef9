"""Reading lessons and readings. Published lessons are open to every signed-in person."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Prefetch, QuerySet
from django.http import Http404

from courses.lessons.models import Caution, Figure, Lesson, LessonRead, LessonRevision, Line, LineKind, Status, Step
from courses.lessons.rules import has_changed_majorly
from courses.machines.models import Machine, SheetEntry, SheetRevision
from courses.machines.selectors import current_sheet
from courses.people.models import Person
from courses.tasks.models import Task
from courses.tasks.selectors import tasks_in_order


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """The latest revision of a lesson that a person has read, and what has come since.

    `current_number` is the lesson's latest published revision; `changed_majorly_since` says that a
    revision marked major came after the one read.
    """

    person_id: int
    task_code: str
    lesson_slug: str
    revision_number: int
    current_number: int
    read_at: datetime
    changed_majorly_since: bool


@dataclass(frozen=True, slots=True)
class CurrentLesson:
    """A lesson that can be read now. `published_at` is never None here: the database sees to it."""

    task_code: str
    slug: str
    title: str
    number: int
    published_at: datetime | None
    majors: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Progress:
    """A lesson as one person sees it in the list. `state` is new, read, or changed since."""

    lesson: CurrentLesson
    state: str
    read_number: int | None
    read_at: datetime | None


@dataclass(frozen=True, slots=True)
class TaskProgress:
    """A task, and its lessons as one person sees them."""

    task: Task
    lessons: tuple[Progress, ...]


@dataclass(frozen=True, slots=True)
class NeededEntry:
    """A line of the sheet that a lesson works with; `entry` is None where this machine's sheet has no such line."""

    code: str
    entry: SheetEntry | None


@dataclass(frozen=True, slots=True)
class StepCard:
    """A step with everything that is shown with it."""

    step: Step
    cautions: tuple[Caution, ...]
    figures: tuple[Figure, ...]
    needed: tuple[NeededEntry, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LessonPage:
    """A lesson as a person reads it, with the sheet of the machine chosen."""

    lesson: Lesson
    revision: LessonRevision
    latest_number: int
    read: LessonRead | None
    machine: Machine | None
    sheet: SheetRevision | None
    entries: tuple[NeededEntry, ...]
    cautions: tuple[Caution, ...]
    figures: tuple[Figure, ...]
    steps: tuple[StepCard, ...]
    tools: tuple[Line, ...]
    parts: tuple[Line, ...]
    mistakes: tuple[Line, ...]
    write_down: tuple[Line, ...]
    terms: tuple[Line, ...]


def published(at: datetime | None = None) -> QuerySet[LessonRevision]:
    """Every published revision, or those published by an instant."""
    rows = LessonRevision.objects.filter(status=Status.PUBLISHED)
    return rows if at is None else rows.filter(published_at__lte=at)


def current_lessons(at: datetime | None = None) -> list[CurrentLesson]:
    """Every lesson that can be read, by task code and slug, as it stood at an instant. One query."""
    rows = published(at).select_related("lesson__task").order_by("lesson__task__code", "lesson__slug", "number")
    by_lesson: dict[int, list[LessonRevision]] = defaultdict(list)
    for row in rows:
        by_lesson[row.lesson_id].append(row)
    found = []
    for revisions in by_lesson.values():
        last = revisions[-1]
        majors = tuple(row.number for row in revisions if row.is_major)
        lesson = last.lesson
        found.append(CurrentLesson(lesson.task.code, lesson.slug, lesson.title, last.number, last.published_at, majors))
    return found


def readings_by_task(people: Iterable[Person], at: datetime | None = None) -> list[ReadingRow]:
    """What each of these people has read, as it stood at an instant: one row a person and lesson. Two queries."""
    lessons = {lesson.slug: lesson for lesson in current_lessons(at)}
    reads = LessonRead.objects.filter(person__in=list(people)).order_by("person_id", "revision__number")
    if at is not None:
        reads = reads.filter(read_at__lte=at)
    found: dict[tuple[int, str], ReadingRow] = {}
    for person_id, slug, number, read_at in reads.values_list(
        "person_id", "revision__lesson__slug", "revision__number", "read_at"
    ):
        lesson = lessons[slug]
        found[person_id, slug] = ReadingRow(
            person_id=person_id,
            task_code=lesson.task_code,
            lesson_slug=slug,
            revision_number=number,
            current_number=lesson.number,
            read_at=read_at,
            changed_majorly_since=has_changed_majorly(number, lesson.majors),
        )
    return list(found.values())


def lessons_for_task(task: Task) -> list[CurrentLesson]:
    """The lessons of one task that can be read now. One query."""
    return [lesson for lesson in current_lessons() if lesson.task_code == task.code]


def lessons_with_progress(person: Person) -> list[TaskProgress]:
    """Every task in the order of work, with its lessons and what the person has read of them. Four queries."""
    readings = {row.lesson_slug: row for row in readings_by_task([person])}
    lessons: dict[str, list[Progress]] = defaultdict(list)
    for lesson in current_lessons():
        lessons[lesson.task_code].append(_progress(lesson, readings.get(lesson.slug)))
    return [TaskProgress(task, tuple(lessons[task.code])) for task in tasks_in_order()]


def _progress(lesson: CurrentLesson, reading: ReadingRow | None) -> Progress:
    if reading is None:
        return Progress(lesson, "new", None, None)
    state = "changed since" if reading.revision_number < lesson.number else "read"
    return Progress(lesson, state, reading.revision_number, reading.read_at)


def get_lesson_for(
    person: Person, slug: str, *, machines: Sequence[Machine] = (), chosen: str = "", number: int | None = None
) -> LessonPage:
    """A lesson as a person reads it: its latest revision, or a numbered one, beside the chosen machine's sheet.

    `chosen` is a machine's slug among `machines`; without one the first of them. Http404 for a lesson,
    a revision or a machine that does not exist. The number of queries does not depend on the lesson's length.
    """
    revision = _revision(slug, number)
    machine = _choose(machines, chosen)
    sheet = current_sheet(machine) if machine else None
    lines: dict[str, list[Line]] = defaultdict(list)
    for line in revision.lines.all():
        lines[line.kind].append(line)
    on_sheet = {entry.code: entry for entry in sheet.entries.all()} if sheet else {}
    cautions, figures = list(revision.cautions.all()), list(revision.figures.all())
    return LessonPage(
        lesson=revision.lesson,
        revision=revision,
        latest_number=max(row.number for row in revision.lesson.revisions.all()),
        read=LessonRead.objects.filter(person=person, revision=revision).first(),
        machine=machine,
        sheet=sheet,
        entries=tuple(NeededEntry(line.text, on_sheet.get(line.text)) for line in lines[LineKind.SHEET_ENTRY]),
        cautions=tuple(caution for caution in cautions if caution.step_id is None),
        figures=tuple(figure for figure in figures if figure.step_id is None),
        steps=tuple(
            StepCard(
                step,
                tuple(caution for caution in cautions if caution.step_id == step.pk),
                tuple(figure for figure in figures if figure.step_id == step.pk),
                tuple(NeededEntry(code, on_sheet.get(code)) for code in step.entry_codes),
            )
            for step in revision.steps.all()
        ),
        tools=tuple(lines[LineKind.TOOL]),
        parts=tuple(lines[LineKind.PART]),
        mistakes=tuple(lines[LineKind.MISTAKE]),
        write_down=tuple(lines[LineKind.WRITE_DOWN]),
        terms=tuple(lines[LineKind.TERM]),
    )


def get_revision(slug: str, number: int) -> LessonRevision:
    """One published revision of a lesson. Http404 if there is none."""
    return _revision(slug, number)


def _revision(slug: str, number: int | None) -> LessonRevision:
    rows = (
        published()
        .filter(lesson__slug=slug)
        .select_related("lesson__task", "by")
        .prefetch_related(
            "lines", "steps", "cautions", "figures", Prefetch("lesson__revisions", published().order_by("-number"))
        )
        .order_by("-number")
    )
    row = (rows if number is None else rows.filter(number=number)).first()
    if row is None:
        raise Http404
    return row


def _choose(machines: Sequence[Machine], chosen: str) -> Machine | None:
    if not chosen:
        return machines[0] if machines else None
    for machine in machines:
        if machine.slug == chosen:
            return machine
    raise Http404
