"""What of the scenarios a person may see, and what a revision takes from its sheet."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.http import Http404

from assessments.engine.methods import find_method
from assessments.scenarios.selectors import (
    behind_their_sheet,
    bindings_of,
    current_revision,
    get_scenario_for,
    open_scenarios_by_task,
    open_scenarios_for_task,
    revisions_of,
    scenario_to_be,
    scenarios_by_task,
    scenarios_visible_to,
    sheets_for,
    slug_is_taken,
    written,
)
from courses.people.roles import Role
from tests.factories.machines import SheetEntryFactory, SheetRevisionFactory
from tests.factories.people import PersonFactory
from tests.factories.scenarios import CLEARANCE, ScenarioFactory, ScenarioRevisionFactory, StripSheetFactory
from tests.factories.tasks import TaskFactory

pytestmark = pytest.mark.django_db
STRIP = find_method("squashed_strip")


@pytest.mark.parametrize("role", Role)
def test_closed_scenarios_are_for_those_who_write_and_those_who_audit(role):
    opened, closed = ScenarioFactory(), ScenarioFactory(revision=False)
    seen = set(scenarios_visible_to(PersonFactory(roles=[role])))
    sees_all = role in {Role.INSTRUCTOR, Role.ADMINISTRATOR, Role.AUDITOR}
    assert seen == ({opened, closed} if sees_all else {opened})


def test_hidden_and_missing_are_answered_alike():
    closed = ScenarioFactory(revision=False)
    learner = PersonFactory(roles=[Role.MECHANIC])
    for slug in (closed.slug, "no-such-scenario"):
        with pytest.raises(Http404):
            get_scenario_for(learner, slug)


def test_a_scenario_without_a_revision_cannot_be_drawn_from():
    with pytest.raises(Http404):
        current_revision(ScenarioFactory(revision=False))


def test_the_current_revision_names_its_stream_without_another_query(django_assert_num_queries):
    ScenarioFactory(slug="strip")
    person = PersonFactory(roles=[Role.MECHANIC])
    with django_assert_num_queries(2):  # the scenario, and the roles
        assert current_revision(get_scenario_for(person, "strip")).stream == "strip/1"


def test_revisions_come_newest_first():
    scenario = ScenarioFactory()
    ScenarioRevisionFactory(scenario=scenario)
    assert [revision.number for revision in revisions_of(scenario)] == [2, 1]


def test_scenarios_stand_under_their_tasks():
    second = ScenarioFactory(task=TaskFactory(code="D3"))
    first = ScenarioFactory(task=TaskFactory(code="B4"))
    groups = scenarios_by_task(PersonFactory(roles=[Role.INSTRUCTOR]))
    assert [(task.code, scenarios) for task, scenarios in groups] == [("B4", [first]), ("D3", [second])]


def test_open_scenarios_are_found_by_task():
    scenario = ScenarioFactory()
    ScenarioFactory(revision=False)
    assert list(open_scenarios_for_task("B4")) == [scenario]
    assert open_scenarios_by_task() == {"B4": [scenario]}


def newer_sheet(machine, **clearance):
    sheet = SheetRevisionFactory(machine=machine, number=2, reason="Corrected.")
    SheetEntryFactory(revision=sheet, code=CLEARANCE, **clearance)
    return sheet


def test_a_revision_behind_its_sheet_is_found():
    behind, level = ScenarioFactory(), ScenarioFactory()
    newer_sheet(behind.current.sheet.machine)
    assert [revision.scenario for revision in behind_their_sheet()] == [behind]
    assert level.current not in behind_their_sheet()


def test_bindings_give_the_figures_of_the_sheet_that_is_bound():
    revision = ScenarioRevisionFactory()
    sheets = sheets_for(revision)
    found = bindings_of(revision, STRIP, sheets[0])
    assert [(one.label, one.figures, one.now) for one in found] == [
        ("Clearance on the diameter", "0.090 to 0.150 mm", ""),
        ("Taper along the liner", "at most 0.020 mm", ""),
        ("Diameter of the round strip", "0.60 mm", ""),
    ]


def test_bindings_say_what_a_newer_sheet_says_otherwise():
    revision = ScenarioRevisionFactory()
    newer_sheet(revision.sheet.machine, low=Decimal("0.100"))
    sheets = sheets_for(revision)
    found = bindings_of(revision, STRIP, sheets[0])
    assert (sheets[0].number, revision.sheet.number) == (2, 1)
    assert [one.now for one in found] == ["0.100 to 0.150 mm", "no longer on it", ""]


def test_a_binding_to_a_line_that_is_not_there_says_so():
    revision = ScenarioRevisionFactory(limits={"clearance": "gone", "taper": "gone"}, dims={})
    found = bindings_of(revision, STRIP, sheets_for(revision)[0])
    assert found[0].figures == "no line gone on the sheet"


def test_sheets_and_lines_take_two_queries(django_assert_num_queries):
    revision = ScenarioRevisionFactory()
    revision = type(revision).objects.select_related("sheet__machine").get(pk=revision.pk)
    with django_assert_num_queries(2):
        bindings_of(revision, STRIP, sheets_for(revision)[0])
        [entry.label for entry in revision.sheet.entries.all()]


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [("0.60", "mm", "0.60 mm"), ("0.60 mm", "mm", "0.60 mm"), ('1/16"', "in", '1/16"'), ("1/16", "in", "1/16 in")],
)
def test_a_figure_of_the_scenarios_own_is_told_with_one_unit(value, unit, text):
    assert written(value, unit) == text


def test_a_slug_that_is_there_is_taken():
    ScenarioFactory(slug="strip")
    assert slug_is_taken("strip")
    assert not slug_is_taken("other")


def test_a_scenario_to_be_is_not_written():
    assert scenario_to_be("new", TaskFactory()).pk is None
    assert StripSheetFactory().entries.count() == 3
