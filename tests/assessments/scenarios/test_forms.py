"""The form of a revision: what is offered, what is refused and how, and the draft it makes."""

from __future__ import annotations

from decimal import Decimal

import pytest

from assessments.engine.methods import all_methods, find_method
from assessments.scenarios.forms import (
    OWN_FIGURE,
    AddingForm,
    BeginForm,
    RevisionForm,
    beginning_for,
    beginning_of,
)
from assessments.scenarios.selectors import sheets_for
from assessments.scenarios.services import draft_of
from courses.machines.selectors import sheets_of
from tests.factories.machines import MachineFactory, SheetEntryFactory, SheetRevisionFactory
from tests.factories.scenarios import CLEARANCE, JOURNAL, TAPER, ScenarioFactory, ScenarioRevisionFactory
from tests.factories.tasks import TaskFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def revision():
    return ScenarioRevisionFactory()


def beginning(revision, **changed):
    method = find_method(revision.method)
    return {**beginning_of(draft_of(revision), method, revision.number), "reason": "Better.", **changed}


def form_for(revision, **changed):
    method = find_method(revision.method)
    return RevisionForm(beginning(revision, **changed), method=method, sheets=sheets_for(revision), way_back="/")


def choices(form, field):
    return dict(form.fields[field].choices)


def test_what_it_begins_with_gives_the_same_draft_back(revision):
    form = form_for(revision)
    assert form.is_valid(), form.errors
    draft = form.draft
    before = draft_of(revision)
    assert draft.dims == {"strip": {"value": "0.60 mm", "unit": "mm"}}
    assert draft.shares == {**dict.fromkeys((c.name for c in form.method.conditions), 0.0), **before.shares}
    for name in ("title", "situation", "method", "sheet", "limits", "instruments", "asked", "reach", "units"):
        assert getattr(draft, name) == getattr(before, name)


def test_only_lines_of_the_right_kind_are_offered(revision):
    SheetEntryFactory(revision=revision.sheet, code="speed", unit="rpm", label="Trip speed")
    form = form_for(revision)
    assert set(choices(form, "limit-clearance")) == {"", CLEARANCE, TAPER}
    assert set(choices(form, "dim-strip")) == {OWN_FIGURE, JOURNAL}


def test_lines_are_offered_by_label_place_and_figures(revision):
    offered = choices(form_for(revision), "limit-clearance")
    assert offered[CLEARANCE] == "Clearance on the diameter, governor-end bearing: 0.090 to 0.150 mm"


def test_only_instruments_of_the_families_allowed_are_offered(revision):
    assert set(choices(form_for(revision), "instrument-w_governor")) == {
        "squashed_strip_metric",
        "squashed_strip_inch",
    }


def test_another_sheet_offers_its_own_lines_and_keeps_what_was_chosen_in_sight(revision):
    sheet = SheetRevisionFactory(machine=revision.sheet.machine, number=2)
    SheetEntryFactory(revision=sheet, code=CLEARANCE, low=Decimal("0.100"))
    form = form_for(revision, sheet="2")
    assert "0.100 to 0.150" in choices(form, "limit-clearance")[CLEARANCE]
    assert not form.is_valid()
    assert f"no line {TAPER} of this kind" in form.errors["limit-taper"][0]
    assert choices(form, "limit-taper")[TAPER] == f"{TAPER}: not on this sheet, or not of this kind"


def test_a_dimension_from_the_sheet_goes_before_a_figure_of_its_own(revision):
    form = form_for(revision, **{"dim-strip": JOURNAL})
    assert form.is_valid(), form.errors
    assert form.draft.dims == {"strip": {"entry": JOURNAL}}


@pytest.mark.parametrize("typed", ["", "thick", "0.60 rpm", "9" * 40, "NaN"])
def test_a_figure_that_cannot_be_read_is_refused_beside_its_field(revision, typed):
    form = form_for(revision, **{"value-strip": typed})
    assert not form.is_valid()
    assert form.errors["value-strip"]
    assert form.data["title"] == revision.title


@pytest.mark.parametrize("typed", ["inf", "nan", "-1", "many", "1e400", "1001", ""])
def test_a_share_that_is_no_share_is_refused(revision, typed):
    assert not form_for(revision, **{"share-good": typed}).is_valid()


def test_a_decimal_comma_is_a_point(revision):
    form = form_for(revision, reach="0,4", **{"share-good": "2,5"})
    assert form.is_valid(), form.errors
    assert (form.draft.reach, form.draft.shares["good"]) == (0.4, 2.5)


def test_at_least_one_case_needs_a_share(revision):
    form = form_for(revision, **{f"share-{name}": "0" for name in ("good", "tight", "loose", "disturbed")})
    assert form.non_field_errors() == ["Give at least one kind of case a share."]


def test_at_least_one_result_is_asked(revision):
    assert form_for(revision, asked=[]).errors["asked"] == ["Ask for at least one result."]


@pytest.mark.parametrize("after", ["", "-1", "1; drop", "one"])
def test_a_number_that_was_tampered_with_is_seen(revision, after):
    form = form_for(revision, after=after)
    assert not form.is_valid()
    assert form.is_tampered_with


def test_going_on_from_another_revision_keeps_what_was_typed(revision):
    form = form_for(revision, title="Mine")
    form.go_on_from(7)
    assert (form["title"].value(), form["after"].value()) == ("Mine", "7")


@pytest.mark.parametrize("method", all_methods().values(), ids=lambda method: method.name)
def test_every_method_has_a_form_for_its_first_revision(method):
    revision = ScenarioRevisionFactory()
    sheets = sheets_for(revision)
    form = AddingForm(method=method, sheets=sheets, way_back="/", initial=beginning_for(method, sheets[0]))
    assert {f"instrument-{reading.name}" for reading in method.readings} <= set(form.fields)
    assert {f"limit-{name}" for name in method.limits} <= set(form.fields)


@pytest.mark.parametrize(
    ("slug", "sentence"),
    [("Strip", "Small letters only"), ("taken", "already"), ("a b", "valid"), ("", "required"), ("new", "address")],
)
def test_a_short_name_that_will_not_do_is_refused(slug, sentence):
    ScenarioFactory(slug="taken")
    revision = ScenarioRevisionFactory()
    form = AddingForm(
        beginning(revision, slug=slug),
        method=find_method("squashed_strip"),
        sheets=sheets_for(revision),
        way_back="/",
    )
    assert sentence in form.errors["slug"][0]


def test_a_new_scenario_begins_with_task_machine_and_method():
    task, machine = TaskFactory(), MachineFactory()
    form = BeginForm(
        {"task": task.code, "machine": machine.slug, "method": "run_out"}, tasks=[task], machines=[machine]
    )
    assert form.is_valid()
    assert not BeginForm({"task": "Z99"}, tasks=[task], machines=[machine]).is_valid()


def test_the_newest_sheet_is_said_to_be_it(revision):
    SheetRevisionFactory(machine=revision.sheet.machine, number=2)
    form = RevisionForm(method=find_method("run_out"), sheets=list(sheets_of(revision.sheet.machine)), way_back="/")
    assert [label.endswith("the newest") for _, label in form.fields["sheet"].choices] == [True, False]
