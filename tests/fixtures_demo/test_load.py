"""The demo plant is whole, the same at every load, and made by nothing but the services."""

from __future__ import annotations

import io
import re
from collections import Counter
from datetime import UTC, datetime
from pathlib import Path

import pytest
from django.db import transaction

import fixtures_demo
from assessments.drills.models import Attempt
from assessments.engine.answers import understand
from assessments.engine.draws import Draw, draw
from assessments.engine.marked import document
from assessments.engine.scoring import key_to, score
from assessments.ledger.models import Event
from assessments.scenarios.adapters import engine_scenario
from assessments.scenarios.models import Scenario
from courses.lessons.models import Lesson, LessonRead
from courses.machines.models import Machine, SheetEntry
from courses.people.models import Crew, Person
from courses.people.roles import Role
from courses.tasks.models import Task
from fixtures_demo.load import DEMO_SIGN_INS, load_demo

# One worker loads it.
pytestmark = pytest.mark.xdist_group("fixtures_demo")
NOW = datetime(2026, 11, 24, 9, 30, tzinfo=UTC)


def all_that_was_made():
    attempts = Attempt.objects.order_by("pk").values_list(
        "person__username", "scenario__slug", "seed", "draw", "typed", "marked", "handed_in_at"
    )
    events = Event.objects.order_by("pk").values_list(
        "person__username", "task__code", "kind", "effective_on", "reason", "entered_by__username"
    )
    return list(attempts), list(events)


@pytest.fixture(scope="module")
def plant(django_db_setup, django_db_blocker):
    """The plant loaded twice at one instant: what the first load made, and the second one there to be looked at."""
    with django_db_blocker.unblock():
        with transaction.atomic():
            load_demo(now=NOW)
            first = all_that_was_made()
            transaction.set_rollback(True)
        with transaction.atomic():
            said = io.StringIO()
            load_demo(said, now=NOW)
            yield first, said.getvalue()
            transaction.set_rollback(True)


def test_two_loads_make_the_same_people_work_the_same_draws_with_the_same_marks(plant):
    first, _ = plant

    assert all_that_was_made() == first


def test_each_step_is_said(plant):
    _, said = plant

    assert said.splitlines()[0] == "  people and crews"
    assert "  qualification records" in said.splitlines()


def test_it_holds_three_machines_six_crews_and_some_twenty_four_people(plant):
    assert Machine.objects.count() == 3
    assert Crew.objects.count() == 6
    assert 22 <= Person.objects.count() <= 26


def test_every_machine_and_every_limit_is_called_invented(plant):
    assert all(Machine.objects.values_list("is_invented", flat=True))
    assert {
        source for source in SheetEntry.objects.values_list("source", flat=True) if "invented" not in source
    } == set()
    assert not [
        text for text in Machine.objects.values_list("description", flat=True) if "invented" not in text.lower()
    ]


def test_eight_scenarios_or_more_practise_five_methods(plant):
    scenarios = Scenario.objects.filter(is_open=True)

    assert scenarios.count() >= 8
    assert set(scenarios.values_list("current__method", flat=True)) >= {
        "squashed_strip",
        "bore_less_journal",
        "valve_travel",
        "run_out",
        "instrument_reading",
    }
    assert scenarios.values("task").distinct().count() >= 5


def test_every_role_can_sign_in(plant):
    roles = set()
    for _, username, password in DEMO_SIGN_INS:
        person = Person.objects.get_by_natural_key(username)
        assert person.check_password(password)
        roles |= person.roles

    assert roles == set(Role.values)


def test_nobody_else_can_sign_in(plant):
    others = Person.objects.exclude(username__in=[username for _, username, _ in DEMO_SIGN_INS])

    assert not any(person.has_usable_password() for person in others)


def test_tasks_have_lessons_and_drills(plant):
    assert Task.objects.count() == 15
    assert Lesson.objects.exists()
    assert LessonRead.objects.values("person").distinct().count() > 10


def test_everybody_who_works_has_drills_behind_them_and_nobody_the_future(plant):
    done = Attempt.objects.filter(handed_in_at__isnull=False)

    assert done.values("person").distinct().count() >= 18
    assert done.count() > 400
    assert not done.filter(handed_in_at__gt=NOW).exists()
    assert 0.5 < done.filter(is_right=True).count() / done.count() < 0.85
    assert 3 < done.filter(is_unsafe=True).count() < done.count() / 10


def test_every_scenario_has_been_worked_rightly_and_wrongly(plant):
    right, wrong = (
        set(Attempt.objects.filter(is_right=is_right).values_list("scenario__slug", flat=True))
        for is_right in (True, False)
    )

    assert right == wrong == set(Scenario.objects.values_list("slug", flat=True))


def test_slips_are_the_engines_own_and_of_many_kinds(plant):
    slips = Counter(
        slip["name"]
        for marked in Attempt.objects.filter(is_right=False).values_list("marked", flat=True)
        for slip in marked["slips"]
    )

    assert len(slips) > 15


def test_every_mark_is_what_the_engine_gives_for_what_was_typed(plant):
    """No attempt was written round the services: drawn from its seed and scored again, each comes out as it is stored."""
    rows = Attempt.objects.filter(handed_in_at__isnull=False).select_related("revision__scenario", "revision__sheet")
    for row in rows.order_by("pk")[::5]:
        scenario = engine_scenario(row.revision)
        understood = understand(scenario, row.revision.units, row.typed)
        key = key_to(scenario, Draw.of_document(row.draw))

        assert draw(scenario, row.seed).document() == row.draw
        marked = document(key, score(key, understood.answer), understood.echoes, row.revision.units)
        assert marked == row.marked, row


def test_the_apprentice_has_met_each_kind_of_answer_in_one_scenario_and_has_a_draw_open(plant):
    own = Attempt.objects.filter(person__username="r.tamm")
    slip, unsafe, right = own.filter(scenario__slug="bearing-governor-strip").order_by("pk").reverse()[:3][::-1]

    assert [one["name"] for one in slip.marked["slips"]] == ["ends_swapped"]
    assert (slip.is_right, slip.is_unsafe) == (False, False)
    assert unsafe.is_unsafe
    assert right.is_right
    open_one = own.get(handed_in_at=None)
    assert open_one.scenario.slug == "bearing-coupling-strip"
    assert all(text for field, text in open_one.typed.items() if field.startswith("reading-"))


def test_no_row_is_written_but_by_a_service():
    folder = Path(fixtures_demo.__file__).parent
    written = {
        (path.name, found)
        for path in folder.glob("*.py")
        for found in re.findall(
            r"\w*\.save\(|\.create\(|bulk_\w+|\.update\(|\.delete\(|get_or_create", path.read_text()
        )
    }

    assert written == {("load.py", "crew.save(")}  # a crew is a name; it has no service of its own
