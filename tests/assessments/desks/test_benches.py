"""What each role finds on its bench."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.conf import settings
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from assessments.desks.benches import MOST_LINES, bench_of
from assessments.standing import services
from assessments.standing.rules import Rule
from courses.people.roles import Role
from fixtures_demo.learners import typed_with_slip
from tests.factories.drills import AttemptFactory, handed_in, many_like
from tests.factories.lessons import LessonFactory, LessonRevisionFactory
from tests.factories.machines import SheetRevisionFactory
from tests.factories.people import PersonFactory
from tests.factories.scenarios import ScenarioFactory
from tests.factories.standing import NOW, TODAY, SignatoryFactory, TaskRuleFactory, small_plant
from tests.factories.tasks import TaskFactory

pytestmark = pytest.mark.django_db

OWN = ["What is still missing", "What you hold"]
SUPERVISED = ["Waits for a signature", "Ends soon", "Stopped or run out", "Thin cover today"]


@pytest.fixture
def plant():
    return small_plant()


def section(bench, title):
    return next(one for one in bench.sections if one.title == title)


def titles(person):
    return [one.title for one in bench_of(person, NOW).sections]


def texts(person, title):
    return [line.text for line in section(bench_of(person, NOW), title).lines]


def granted(plant, task=None, person=None, days_ago=10, **more):
    on = TODAY - timedelta(days=days_ago)
    return services.grant(
        person=person or plant.person,
        task=task or plant.b1,
        by=plant.boss,
        reason="Watched twice.",
        on=on,
        at=NOW - timedelta(days=days_ago),
        **more,
    )


def suspended(plant, **more):
    services.suspend(person=plant.person, task=plant.b1, by=plant.boss, reason="Near miss.", on=TODAY, at=NOW, **more)


def opens_for(person, address):
    client = Client()
    client.force_login(person, backend=settings.AUTHENTICATION_BACKENDS[-1])
    return client.get(address).status_code == 200


# --- every role -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("role", [None, *Role])
@pytest.mark.parametrize("is_busy", [False, True], ids=["nothing going on", "much going on"])
def test_the_first_thing_to_do_opens_for_whoever_is_told_to_do_it(plant, role, is_busy):
    person = PersonFactory(roles=[role] if role else [])
    if is_busy:
        granted(plant)
        suspended(plant)
        handed_in(case="tight", typed=lambda *drawn: typed_with_slip(*drawn, "width_as_clearance"), at=NOW)
        ScenarioFactory(task=plant.b4)
        PersonFactory(is_active=False)

    bench = bench_of(person, NOW)

    assert bench.now.text
    assert opens_for(person, bench.now.address)
    for one in bench.sections:
        assert all(opens_for(person, line.address) for line in (*one.lines, one.more)), one.title


def test_somebody_with_several_roles_finds_all_their_blocks(plant):
    everything = PersonFactory(roles=list(Role))

    assert titles(everything) == [
        *SUPERVISED,
        "Scenarios behind their machine's sheet",
        "Slips made most, last 60 days",
        *OWN,
        "Records, most stopped first",
        "May not sign in",
    ]


def test_what_waits_in_any_role_goes_before_what_could_be_done_in_the_first(plant):
    """An instructor could look at scenarios; the learner in them has a drill open."""
    person = PersonFactory(roles=[Role.INSTRUCTOR, Role.MECHANIC])
    attempt = AttemptFactory(person=person)

    assert bench_of(person, NOW).now.address == reverse("drills:attempt_answer", args=[attempt.pk])


def test_a_long_list_is_cut_and_says_where_the_rest_is(plant):
    for _ in range(MOST_LINES + 3):
        PersonFactory(roles=[Role.MECHANIC])

    waits = section(bench_of(plant.boss, NOW), "Waits for a signature")

    assert len(waits.lines) == MOST_LINES
    assert waits.more.note.startswith("and ")
    assert waits.more.address == reverse("standing:board_show")


def test_the_rest_of_a_mechanics_list_is_on_a_page_of_their_own(plant):
    for number in range(MOST_LINES + 1):
        TaskRuleFactory(task=TaskFactory(code=f"E{number + 1}"), rule=Rule(f"E{number + 1}"), by=plant.boss)

    missing = section(bench_of(plant.person, NOW), "What is still missing")

    assert missing.more.note == "and 4 more"
    assert missing.more.address == reverse("standing:own")


def test_a_short_list_does_not_speak_of_more(plant):
    assert section(bench_of(plant.person, NOW), "What is still missing").more.note == ""


@pytest.mark.parametrize("role", list(Role))
def test_a_bench_takes_as_many_queries_for_fifty_people_as_for_five(plant, role):
    person = PersonFactory(roles=[role])
    done, counts = handed_in(), []
    for more in (5, 45):
        for one in PersonFactory.create_batch(more, roles=[Role.MECHANIC]):
            done.person = one
            many_like(done, 3)
        bench_of(person, NOW)
        person = type(person).objects.get(pk=person.pk)
        with CaptureQueriesContext(connection) as queries:
            bench_of(person, NOW)
        counts.append(len(queries))

    assert counts[0] == counts[1] <= 14


# --- supervisor and assessor ------------------------------------------------------------------------------------


@pytest.mark.parametrize("role", [Role.SUPERVISOR, Role.ASSESSOR])
def test_who_signs_is_sent_to_what_waits_for_a_signature(plant, role):
    person = PersonFactory(roles=[role])
    SignatoryFactory(person=person, task=plant.b1)

    bench = bench_of(person, NOW)

    assert bench.now.text == f"See to {plant.person}: {plant.b1}"
    assert bench.now.address == reverse("standing:standing_show", args=[plant.person.pk, "B1"])


def test_nobody_is_sent_to_sign_for_themself(plant):
    person = PersonFactory(full_name="Aa First", roles=[Role.SUPERVISOR, Role.MECHANIC])
    SignatoryFactory(person=person, task=plant.b1)

    assert not any(str(person) in text for text in texts(person, "Waits for a signature"))
    assert any(str(plant.person) in text for text in texts(person, "Waits for a signature"))


def test_a_second_signature_waits_too(plant):
    granted(plant, plant.d1)

    lines = section(bench_of(plant.assessor, NOW), "Waits for a signature").lines

    assert any(line.text == f"{plant.person}: {plant.d1}" and "second signature" in line.note for line in lines)


def test_the_first_signer_is_not_sent_to_the_second_signature(plant):
    granted(plant, plant.d1)

    assert texts(plant.boss, "Waits for a signature") == [f"{plant.person}: {plant.b1}"]


@pytest.mark.parametrize("role", [Role.SUPERVISOR, Role.ASSESSOR])
def test_who_may_not_sign_is_not_sent_to_what_is_ready(plant, role):
    bench = bench_of(PersonFactory(roles=[role]), NOW)

    assert section(bench, "Waits for a signature").lines == ()
    assert bench.now.address == reverse("standing:board_show")


def test_what_ends_soon_is_listed_the_first_to_end_first(plant):
    other = PersonFactory(roles=[Role.MECHANIC], full_name="Zoe Last")
    granted(plant, until_on=TODAY + timedelta(days=40))
    granted(plant, person=other, until_on=TODAY + timedelta(days=20))
    granted(plant, person=PersonFactory(roles=[Role.MECHANIC]))

    lines = section(bench_of(plant.boss, NOW), "Ends soon").lines

    assert [line.text.partition(":")[0] for line in lines] == [str(other), str(plant.person)]
    assert lines[0].note == "until 14 December 2026"


def test_where_no_signature_waits_a_supervisor_is_sent_to_what_ends_first(plant):
    for task in (plant.b1, plant.b4, plant.d1):
        granted(plant, task, until_on=TODAY + timedelta(days=30))
    services.countersign(person=plant.person, task=plant.d1, by=plant.assessor, reason="Agreed.", on=TODAY, at=NOW)

    bench = bench_of(plant.boss, NOW)

    assert section(bench, "Waits for a signature").lines == ()
    assert bench.now.text == f"See to {plant.person}: {plant.b1}"


@pytest.mark.parametrize("role", [Role.SUPERVISOR, Role.ASSESSOR, Role.AUDITOR])
def test_where_nothing_waits_the_board_is_left_to_read(role):
    assert bench_of(PersonFactory(roles=[role]), NOW).now.address == reverse("standing:board_show")


def test_what_was_stopped_says_why(plant):
    granted(plant)
    suspended(plant)

    (line,) = section(bench_of(plant.boss, NOW), "Stopped or run out").lines

    assert line.text == f"{plant.person}: {plant.b1}"
    assert "Near miss." in line.note


def test_thin_cover_counts_holders(plant):
    granted(plant)

    lines = section(bench_of(plant.boss, NOW), "Thin cover today").lines

    assert {line.text: line.note for line in lines} == {
        str(plant.b1): "one person may do it",
        str(plant.b4): "nobody may do it",
        str(plant.d1): "nobody may do it",
    }


# --- instructor -------------------------------------------------------------------------------------------------


def test_an_instructor_is_sent_to_a_scenario_behind_its_sheet():
    scenario = ScenarioFactory(revision__title="The governor end")
    SheetRevisionFactory(machine=scenario.current.sheet.machine, number=2)

    bench = bench_of(PersonFactory(roles=[Role.INSTRUCTOR]), NOW)

    assert bench.now.text == "Bring up to date: The governor end"
    assert bench.now.address == reverse("scenarios:scenario_show", args=[scenario.slug])


def test_an_instructor_sees_the_slips_made_most():
    scenario = ScenarioFactory(revision__title="The governor end")
    row = handed_in(
        scenario=scenario,
        case="tight",
        typed=lambda *drawn: typed_with_slip(*drawn, "width_as_clearance"),
        at=NOW - timedelta(days=1),
    )
    person = PersonFactory(roles=[Role.INSTRUCTOR])

    assert section(bench_of(person, NOW), "Slips made most, last 60 days").lines[0].note == "The governor end: once"
    many_like(row, 1)
    assert section(bench_of(person, NOW), "Slips made most, last 60 days").lines[0].note == "The governor end: twice"
    many_like(row, 1)
    bench = bench_of(person, NOW)
    assert section(bench, "Slips made most, last 60 days").lines[0].note == "The governor end: 3 times"
    assert bench.now.text == "Look at the slip made most"
    assert bench.now.note == row.marked["slips"][0]["says"]


# --- mechanic and apprentice ------------------------------------------------------------------------------------


def test_a_draw_that_is_open_comes_first(plant):
    attempt = AttemptFactory(person=plant.person)

    bench = bench_of(plant.person, NOW)

    assert bench.now.text == f"Go on with: {attempt.revision.title}"
    assert bench.now.note == "a draw you have open"


@pytest.fixture
def lesson(plant):
    """B4 wants a lesson read, and drills."""
    lesson = LessonFactory(task=plant.b4, title="Bearing clearance")
    LessonRevisionFactory(lesson=lesson)
    rule = Rule("B4", tasks_first=("B1",), lessons=(lesson.slug,))
    services.issue_rule(task=plant.b4, rule=rule, effective_on=TODAY, by=plant.boss, reason="Read first.", at=NOW)
    return lesson


def test_then_a_lesson_that_a_task_still_waits_for(plant, lesson):
    LessonRevisionFactory(lesson__task__code="A1")

    bench = bench_of(plant.person, NOW)

    assert bench.now.text == "Read: Bearing clearance"
    assert bench.now.address == reverse("lessons:lesson_show", args=[lesson.slug])


def test_a_lesson_that_cannot_be_read_yet_is_passed_over(plant):
    rule = Rule("B4", lessons=("a-lesson-to-come",))
    services.issue_rule(task=plant.b4, rule=rule, effective_on=TODAY, by=plant.boss, reason="Read first.", at=NOW)

    assert bench_of(plant.person, NOW).now.address == reverse("drills:drill_list")


def test_then_a_drill_for_a_task_that_waits_for_evidence(plant):
    ScenarioFactory(task=plant.d1)
    scenario = ScenarioFactory(task=plant.b4, revision__title="The governor end")

    bench = bench_of(plant.person, NOW)

    assert bench.now.text == "Practise: The governor end"
    assert bench.now.address == reverse("drills:scenario_open", args=[scenario.slug])
    assert bench.now.note == f"for {plant.b4}"


def test_otherwise_a_drill_of_ones_own_choice(plant):
    assert bench_of(plant.person, NOW).now.address == reverse("drills:drill_list")


def test_a_mechanic_sees_what_is_missing_and_what_is_held(plant):
    granted(plant)

    bench = bench_of(plant.person, NOW)

    assert [line.text for line in section(bench, "What is still missing").lines] == [str(plant.b4), str(plant.d1)]
    (held,) = section(bench, "What you hold").lines
    assert (held.text, held.note) == (str(plant.b1), "qualified, until 14 November 2029")


def test_several_things_missing_are_counted(plant, lesson):
    notes = {line.text: line.note for line in section(bench_of(plant.person, NOW), "What is still missing").lines}

    assert notes[str(plant.b4)].endswith(", and 1 more")
    assert notes[str(plant.b1)].startswith("ready for sign-off: ")


def test_what_is_held_for_good_names_no_day(plant):
    services.issue_rule(task=plant.b1, rule=Rule("B1"), effective_on=TODAY, by=plant.boss, reason="No end.", at=NOW)
    granted(plant, days_ago=0)

    (held,) = section(bench_of(plant.person, NOW), "What you hold").lines

    assert held.note == "qualified"


def test_a_supervisor_who_works_too_finds_their_own_tasks_off_the_board(plant):
    person = PersonFactory(roles=[Role.SUPERVISOR, Role.MECHANIC])
    granted(plant, person=person)

    assert texts(person, "What you hold") == [str(plant.b1)]


# --- auditor and administrator ----------------------------------------------------------------------------------


def test_an_auditor_finds_records_in_which_something_was_stopped_first(plant):
    PersonFactory(roles=[Role.MECHANIC], full_name="Aa First")
    granted(plant)
    suspended(plant)

    lines = section(bench_of(PersonFactory(roles=[Role.AUDITOR]), NOW), "Records, most stopped first").lines

    assert lines[0].text == str(plant.person)
    assert lines[0].note == "0 held today, 1 stopped or run out"
    assert lines[0].address == reverse("ledger:record_show", args=[plant.person.pk])


def test_an_administrator_sees_who_may_not_sign_in():
    off = PersonFactory(is_active=False, job_title="fitter")
    PersonFactory()

    bench = bench_of(PersonFactory(roles=[Role.ADMINISTRATOR]), NOW)

    (line,) = section(bench, "May not sign in").lines
    assert (line.text, line.note) == (str(off), "fitter")
    assert bench.now.address == reverse("people:person_list")
