from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from courses.lessons.models import Caution, Figure, Lesson, LessonRevision, Line, Status, Step
from courses.tasks.issued import AlreadyIssuedError
from tests.factories.lessons import LessonFactory, LessonReadFactory, LessonRevisionFactory

pytestmark = pytest.mark.django_db


def step(revision, position=1, **given):
    fields = {"kind": "step", "heading": "Wipe it", "text": "x", "reason": "x", "goes_wrong": "x"}
    return Step.objects.create(revision=revision, position=position, **{**fields, **given})


def figure(revision, position=1, name="a-figure"):
    return Figure.objects.create(
        revision=revision, position=position, name=name, title="A figure", alternative="x", caption="x"
    )


def test_rows_say_what_they_are():
    read = LessonReadFactory(person__full_name="R. Tamm", revision__lesson__title="Strips", revision__number=2)
    revision = read.revision

    assert str(revision.lesson) == "Strips"
    assert str(revision) == "Strips, revision 2"
    assert str(read) == "R. Tamm: Strips, revision 2"
    assert str(step(revision)) == "1. Wipe it"
    assert str(figure(revision)) == "A figure"
    assert str(Caution(text="Hot.")) == "Hot."
    assert str(Line(text="rule")) == "rule"


def test_a_step_gives_its_working_its_lines_of_the_sheet_and_its_drill():
    row = Step(
        working="Strip | d = 0.60 mm\nTaper | a | b", sheet_entries="rotor.float\nrotor.mass", scenario="a-drill"
    )

    assert row.working_lines == [("Strip", "d = 0.60 mm"), ("Taper", "a | b")]
    assert row.entry_codes == ["rotor.float", "rotor.mass"]
    assert row.drill_path == "/drills/scenario/a-drill/"
    assert not Step().drill_path


@pytest.mark.parametrize("slug", ["../base", "a.b", "A", "a_b", "a-\n"])
def test_a_slug_or_a_figure_never_names_another_place(slug):
    with pytest.raises(ValidationError):
        Figure(name=slug).clean_fields(exclude=["revision", "position", "title", "alternative", "caption"])
    with pytest.raises(ValidationError):
        Lesson(slug=slug, title="x").full_clean(exclude=["task"])


@pytest.mark.parametrize(
    ("codes", "good"), [("rotor.float\nrotor.mass", True), ("rotor float", False), ("x\n\ny", False)]
)
def test_lines_of_the_sheet_are_named_by_their_codes(codes, good):
    row = Step(position=1, heading="x", text="x", reason="x", goes_wrong="x", sheet_entries=codes)
    if good:
        row.clean_fields(exclude=["revision"])
    else:
        with pytest.raises(ValidationError):
            row.clean_fields(exclude=["revision"])


def test_what_is_published_is_not_changed():
    revision = LessonRevisionFactory()
    row = step(revision)
    row.text = "Another."

    with pytest.raises(AlreadyIssuedError):
        row.save()
    with pytest.raises(AlreadyIssuedError):
        revision.save()
    with pytest.raises(AlreadyIssuedError):
        LessonRevision.objects.update(summary="x")
    with pytest.raises(AlreadyIssuedError):
        LessonReadFactory(revision=revision).delete()

    assert Step.objects.get().text == "x"


def broken_revision(**given):
    return lambda: LessonRevisionFactory(**given)


def twice(make):
    def again():
        revision = LessonRevisionFactory()
        make(revision)
        make(revision)

    return again


@pytest.mark.parametrize(
    "broken",
    [
        broken_revision(number=0),
        broken_revision(published_at=None),
        broken_revision(status=Status.DRAFT),
        broken_revision(status="proof"),
        twice(lambda revision: LessonRevisionFactory(lesson=revision.lesson, number=9)),
        twice(step),
        twice(lambda revision: figure(revision, position=1, name=f"n{Figure.objects.count()}")),
        twice(lambda revision: figure(revision, position=Figure.objects.count() + 1)),
        twice(lambda revision: Caution.objects.create(revision=revision, position=1, text="x")),
        twice(lambda revision: Line.objects.create(revision=revision, kind="tool", position=1, text="x")),
        twice(lambda revision: LessonReadFactory(revision=revision, person=revision.by)),
        lambda: step(LessonRevisionFactory(), kind="guess"),
        lambda: Line.objects.create(revision=LessonRevisionFactory(), kind="guess", position=1, text="x"),
        lambda: (LessonFactory(slug="one"), LessonFactory(slug="one")),
    ],
)
def test_the_database_refuses_what_must_not_be(broken):
    with pytest.raises(IntegrityError), transaction.atomic():
        broken()
