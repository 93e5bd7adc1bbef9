from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone

from courses.lessons.content import LineDraft, read_lesson, read_lessons
from courses.lessons.models import LessonRead
from courses.lessons.services import publish, publish_all
from courses.machines.services import issue_sheet
from courses.people.roles import Role
from tests.factories.lessons import LessonDraftFactory, LessonReadFactory, StepDraftFactory
from tests.factories.machines import EntryDraftFactory, MachineFactory
from tests.factories.people import PersonFactory
from tests.factories.tasks import TaskFactory

pytestmark = pytest.mark.django_db
DEMO = Path(__file__).parents[3] / "fixtures_demo" / "lessons"
FIGURES = Path(__file__).parents[3] / "courses" / "lessons" / "templates" / "lessons" / "figures"
SHOW = reverse("lessons:lesson_show", args=["bearing-clearance"])
READ = reverse("lessons:lesson_read", args=["bearing-clearance", 1])
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def demo():
    for code in ("B1", "B4"):
        TaskFactory(code=code)
    revisions = publish_all(drafts=read_lessons(DEMO), by=PersonFactory(), at=timezone.now())
    for slug, high in (("t-1", "0.150"), ("t-2", "0.145")):
        machine = MachineFactory(slug=slug, name=slug)
        entry = EntryDraftFactory(high=type(EntryDraftFactory().high)(high), source=f"invented for {slug}")
        issue_sheet(machine=machine, entries=[entry], reason="So.", by=PersonFactory(), at=timezone.now())
    return revisions


def signed_in(client, *roles):
    person = PersonFactory(roles=roles or [Role.MECHANIC])
    client.force_login(person)
    return person


def text(response):
    return " ".join(response.content.decode().split())


@pytest.mark.parametrize("role", Role)
@pytest.mark.parametrize("address", [reverse("lessons:lesson_list"), SHOW, f"{SHOW}revision/1/", f"{SHOW}?machine=t-2"])
def test_every_role_may_read_the_lessons(client, demo, role, address):
    signed_in(client, role)

    response = client.get(address)

    assert response.status_code == 200
    assert response.content.count(b"<h1") == 1


@pytest.mark.parametrize("address", [reverse("lessons:lesson_list"), SHOW])
def test_a_stranger_is_sent_to_sign_in(client, demo, address):
    assert client.get(address).status_code == 302
    assert client.post(READ).status_code == 302
    assert not LessonRead.objects.exists()


@pytest.mark.parametrize("address", ["/lessons/none/", f"{SHOW}revision/9/", f"{SHOW}?machine=t-9"])
def test_what_does_not_exist_is_not_found(client, demo, address):
    signed_in(client)

    assert client.get(address).status_code == 404


def test_the_figures_are_those_of_the_machine_chosen_with_their_source(client, demo):
    signed_in(client)

    first, second = text(client.get(SHOW)), text(client.get(SHOW, {"machine": "t-2"}))

    assert "0.090 to 0.150 mm" in first
    assert "invented for t-1" in first
    assert "0.090 to 0.145 mm" in second
    assert "0.090 to 0.150 mm" not in second
    assert "bearing.cap.torque" in second  # the sheet has no such line, and the page says so
    assert "stop and ask" in second


def test_hold_points_and_drills_are_shown(client, demo):
    signed_in(client)

    page = text(client.get(SHOW))

    assert page.count('class="hold-point"') == 3
    assert 'href="/drills/scenario/bearing-governor-strip/"' in page
    assert page.count('class="caution"') >= 8
    assert page.count("<dt>Why</dt>") == page.count("<dt>Otherwise</dt>") == 14


def test_reading_is_noted_once(client, demo):
    person = signed_in(client)
    assert "I have read this, revision 1" in text(client.get(SHOW))

    for _ in range(2):
        assert client.post(READ, follow=True).status_code == 200

    assert LessonRead.objects.get().person == person
    page = text(client.get(SHOW))
    assert "You have read this revision" in page
    assert "I have read this, revision 1" not in page


def test_reading_is_never_noted_by_looking(client, demo):
    signed_in(client)

    assert client.get(READ).status_code == 405
    assert not LessonRead.objects.exists()


def test_a_revision_that_does_not_exist_cannot_have_been_read(client, demo):
    signed_in(client)

    assert client.post(reverse("lessons:lesson_read", args=["bearing-clearance", 9])).status_code == 404
    assert not LessonRead.objects.exists()


def test_a_page_left_open_notes_the_revision_it_showed(client, demo):
    """Another revision came meanwhile: the one that was on the screen is noted, and the newer one stays to be read."""
    signed_in(client)
    publish(draft=read_lesson(DEMO / "b4-bearing-clearance.toml"), by=PersonFactory(), at=timezone.now())

    page = text(client.post(READ, follow=True))

    assert LessonRead.objects.get().revision.number == 1
    assert "I have read this, revision 2" in page


def test_an_old_revision_says_that_it_was_replaced(client, demo):
    signed_in(client)
    publish(draft=read_lesson(DEMO / "b4-bearing-clearance.toml"), by=PersonFactory(), at=timezone.now())

    assert "Read revision 2" in text(client.get(f"{SHOW}revision/1/"))
    assert "Replaced." not in text(client.get(SHOW))


def test_the_list_says_what_is_new_and_what_was_read(client, demo):
    person = signed_in(client)
    LessonReadFactory(person=person, revision=demo[0])
    TaskFactory(code="C1", short_title="Carbon rings")

    page = text(client.get(reverse("lessons:lesson_list")))

    assert "you read revision 1" in page
    assert '<span class="tag firm">read</span>' in page
    assert '<span class="tag">new</span>' in page
    assert "C1 Carbon rings" in page


def test_an_empty_list_says_so(client):
    signed_in(client)

    assert "No task has been issued yet." in text(client.get(reverse("lessons:lesson_list")))


def test_a_lesson_stands_in_a_plant_without_machines(client):
    TaskFactory(code="B4")
    publish(draft=read_lesson(DEMO / "b4-bearing-clearance.toml"), by=PersonFactory(), at=timezone.now())
    signed_in(client)

    assert "There is no machine yet" in text(client.get(SHOW))
    MachineFactory()
    assert "This machine has no sheet yet" in text(client.get(SHOW))


def test_text_of_a_lesson_is_never_markup(client):
    TaskFactory(code="B4")
    bad = "<script>x</script>"
    step = StepDraftFactory(
        heading=bad, text=bad, reason=bad, goes_wrong=bad, cautions=(bad,), working=(f"{bad} | {bad}",)
    )
    draft = LessonDraftFactory(title=bad, aims=(bad,), steps=(step,), lines=(LineDraft(kind="tool", text=bad),))
    publish(draft=draft, by=PersonFactory(), at=timezone.now())
    signed_in(client)

    page = client.get(reverse("lessons:lesson_show", args=["a-lesson"])).content.decode()

    assert bad not in page
    assert page.count("&lt;script&gt;") >= 9


@pytest.mark.parametrize("count", [5, 40])
def test_a_long_lesson_takes_as_many_queries_as_a_short_one(client, count, django_assert_num_queries):
    TaskFactory(code="B4")
    steps = tuple(
        StepDraftFactory(cautions=("Hot.",), sheet_entries=("bearing.governor.clearance",)) for _ in range(count)
    )
    publish(draft=LessonDraftFactory(steps=steps), by=PersonFactory(), at=timezone.now())
    for _ in range(count):
        issue_sheet(
            machine=MachineFactory(), entries=[EntryDraftFactory()], reason="So.", by=PersonFactory(), at=timezone.now()
        )
    signed_in(client)

    with django_assert_num_queries(13):  # session, person, roles, machines; the lesson nine
        client.get(reverse("lessons:lesson_show", args=["a-lesson"]))


def drawings():
    return sorted(path.stem for path in FIGURES.glob("*.svg"))


def drawn(name):
    figure = {"name": name, "title": f"Title of {name}", "alternative": "What is seen & meant."}
    return ET.fromstring(  # noqa: S314  # our own drawing
        render_to_string(f"lessons/figures/{name}.svg", {"figure": figure}).replace(
            "<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1
        )
    )


@pytest.mark.parametrize("name", drawings())
def test_a_drawing_is_named_and_told_and_clear_of_inline_style(name):
    svg = drawn(name)
    told = svg.get("aria-labelledby").split()
    ids = [node.get("id") for node in svg.iter() if node.get("id")]

    assert svg.get("role") == "img"
    assert svg.find(f"{SVG}title").text == f"Title of {name}"
    assert svg.find(f"{SVG}desc").text == "What is seen & meant."
    assert set(told) <= set(ids)
    assert len(ids) == len(set(ids))
    assert all(one.startswith(name) for one in ids)
    assert not any(node.get("style") for node in svg.iter())
    for node in svg.iter():
        used = re.search(r"url\(#(.*)\)", node.get("fill", ""))
        assert used is None or used[1] in ids


@pytest.mark.parametrize("name", drawings())
def test_a_drawing_is_narrow_enough_for_lettering_of_12_px_on_a_phone(name):
    """Shown about 316 px wide on a phone of 390 px, 14 units of lettering come out at 12 px or more."""
    width = float(drawn(name).get("viewBox").split()[2])

    assert 14 * 316 / width >= 12


def test_the_pressed_strip_is_drawn_with_the_area_it_had():
    """Circle and stadium to one scale: pi d^2/4 = (w - c) c + pi c^2/4 (checks_fits 1)."""
    svg = drawn("strip-pressed")
    circle = svg.find(f".//{SVG}circle[@class='print']")
    print_ = svg.find(f".//{SVG}rect[@class='print']")
    width, height, edge = (float(print_.get(name)) for name in ("width", "height", "rx"))
    radius = float(circle.get("r"))

    assert edge == height / 2
    assert (width - height) * height + 3.14159265 * height**2 / 4 == pytest.approx(3.14159265 * radius**2, rel=0.001)


def test_the_mean_is_drawn_half_way_between_the_ends():
    marks = [
        (node.get("class"), float(re.match(r"M([0-9.]+) 82 ", node.get("d"))[1]))
        for node in drawn("ends-on-limits").iter(f"{SVG}path")
        if re.match(r"M[0-9.]+ 82 ", node.get("d"))
    ]
    ends = [x for kind, x in marks if kind == "head"]

    assert [x for kind, x in marks if kind == "edge"] == [sum(ends) / 2]
    assert min(ends) > 104
    assert max(ends) > 246
