from __future__ import annotations

import datetime as dt

import pytest

from assessments.standing.acts import ACTS
from assessments.standing.forms import BoardForm, DayForm, OccurrenceForm, SignForm, WorkForm
from tests.factories.ledger import WorkDoneFactory
from tests.factories.people import CrewFactory
from tests.factories.standing import TODAY
from tests.factories.tasks import TaskFactory


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        (None, TODAY),
        ({}, TODAY),
        ({"on": ""}, TODAY),
        ({"on": "2027-03-14"}, dt.date(2027, 3, 14)),
        ({"on": "soon"}, TODAY),
        ({"on": "2027-02-30"}, TODAY),
    ],
)
def test_a_day_that_cannot_be_read_is_today(typed, day):
    assert DayForm(typed, today=TODAY).day() == day


def test_a_day_that_cannot_be_read_is_said():
    form = DayForm({"on": "soon"}, today=TODAY)
    assert form.errors["on"] == ["Write the day as 2027-03-14 or 14/03/2027."]


@pytest.mark.parametrize("typed", [None, {}, {"on": ""}, {"crew": ""}])
def test_the_day_shown_stands_in_its_field(typed):
    assert DayForm(typed, today=TODAY)["on"].value() == TODAY
    assert DayForm({"on": "soon"}, today=TODAY)["on"].value() == "soon"


@pytest.mark.parametrize(
    ("typed", "query"),
    [
        ({"on": "2026-11-24"}, ""),
        ({"on": "2027-03-14"}, "?on=2027-03-14"),
        ({"on": "2026-03-14", "known": "2026-04-01"}, "?on=2026-03-14&known=2026-04-01"),
        ({"known": "2026-04-01"}, "?known=2026-04-01"),
    ],
)
def test_links_carry_on_what_was_asked_besides_today(typed, query):
    assert DayForm(typed, today=TODAY).query == query


def test_the_board_form_knows_crews_and_tasks(db):
    crew, task = CrewFactory(), TaskFactory(code="B4")
    form = BoardForm({"crew": crew.pk, "task": "B4"}, today=TODAY)
    assert form.is_valid()
    assert (form.cleaned_data["crew"], form.cleaned_data["task"]) == (crew, task)


@pytest.mark.parametrize(
    ("act", "fields"),
    [
        ("grant", ["reason", "on", "until_on", "password", "token"]),
        ("suspend", ["reason", "on", "until_on", "password", "token"]),
        ("restrict", ["restriction", "reason", "on", "until_on", "password", "token"]),
        ("reinstate", ["reason", "on", "password", "token"]),
        ("correct", ["reason", "password", "token"]),
    ],
)
def test_a_signature_asks_only_for_what_it_needs(act, fields):
    form = SignForm(request=None, act=ACTS[act], today=TODAY, back="/board/")
    assert list(form.fields) == fields


def test_every_form_has_a_token_of_its_own():
    one, other = (SignForm(request=None, act=ACTS["grant"], today=TODAY, back="/") for _ in range(2))
    assert one.initial["token"] != other.initial["token"]


def test_the_password_is_not_tried_while_something_else_is_missing(monkeypatch):
    from assessments.standing import forms

    monkeypatch.setattr(forms, "password_is_theirs", lambda **_: pytest.fail("tried"))
    form = SignForm({"password": "x"}, request=None, act=ACTS["grant"], today=TODAY, back="/")
    assert form.errors["reason"] == ["Say why. The reason stays in the record."]


def errors_of(form_of, about, **typed):
    said = {"task": about.code, "on": "2026-11-20", "note": "Seen.", **typed}
    return {name: str(each[0]) for name, each in form_of(said, today=TODAY, back="/").errors.items()}


@pytest.mark.parametrize(
    ("form_of", "typed", "name", "sentence"),
    [
        (WorkForm, {"on": "2026-11-25"}, "on", "That day has not come yet. Enter it on the day."),
        (WorkForm, {"on": "soon"}, "on", "Write the day as 2027-03-14 or 14/03/2027."),
        (WorkForm, {"on": ""}, "on", "Say on which day it was."),
        (WorkForm, {"task": ""}, "task", "Choose the task that was done."),
        (WorkForm, {"note": " "}, "note", "Say in a few words what was seen. It stays in the record."),
        (OccurrenceForm, {}, "kind", "Choose what it was."),
        (OccurrenceForm, {"kind": "near miss", "on": "2026-11-25"}, "on", "That day has not come yet. Enter it on the day."),
        (OccurrenceForm, {"kind": "near miss", "to_on": "2026-11-22"}, "to_on", "Only an absence has a last day. Leave it empty here."),
        (OccurrenceForm, {"kind": "absent", "to_on": "2026-11-19"}, "to_on", "The last day lies before the first."),
    ],
)  # fmt: skip
def test_what_cannot_be_entered_is_said_in_a_sentence(db, form_of, typed, name, sentence):
    assert errors_of(form_of, TaskFactory(), **typed) == {name: sentence}


def test_evidence_says_what_the_services_take(db):
    task = TaskFactory()
    form = OccurrenceForm({"kind": "absent", "on": "2026-11-20", "note": "Away."}, today=TODAY, back="/")
    assert form.is_valid()
    assert form.cleaned_data == {
        "kind": "absent", "on": dt.date(2026, 11, 20), "to_on": None, "task": None, "note": "Away.", "happened": True,
    }  # fmt: skip
    assert errors_of(WorkForm, task) == {}


def test_a_correction_begins_with_what_was_entered_but_not_with_its_note(db):
    row = WorkDoneFactory()
    form = WorkForm(today=TODAY, back="/", row=row)
    assert (form["on"].value(), form["task"].value(), form["note"].value()) == (row.on, row.task.code, None)
    assert "is_mistake" in form.fields
    assert "is_mistake" not in WorkForm(today=TODAY, back="/").fields
