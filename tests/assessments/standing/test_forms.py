from __future__ import annotations

import datetime as dt
import uuid
from types import SimpleNamespace

import pytest

from assessments.standing import forms
from assessments.standing.acts import ACTS
from assessments.standing.forms import BoardForm, DayForm, OccurrenceForm, SignForm, WorkForm
from tests.factories.ledger import OccurrenceFactory, WorkDoneFactory
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
        ("grant", ["reason", "until_on", "password", "token"]),
        ("suspend", ["reason", "on", "until_on", "password", "token"]),
        ("restrict", ["restriction", "reason", "on", "until_on", "password", "token"]),
        ("reinstate", ["reason", "password", "token"]),
        ("renew", ["reason", "until_on", "password", "token"]),
        ("countersign", ["reason", "password", "token"]),
        ("lift", ["reason", "password", "token"]),
        ("withdraw", ["reason", "on", "password", "token"]),
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
    monkeypatch.setattr(forms, "password_is_theirs", lambda **_: pytest.fail("tried"))
    form = SignForm({"password": "x"}, request=None, act=ACTS["grant"], today=TODAY, back="/")
    assert form.errors["reason"] == ["Say why. The reason stays in the record."]


def errors_of(form_of, about, **typed):
    said = {"task": about.code, "on": "2026-11-20", "note": "Seen.", **typed}
    return {name: str(each[0]) for name, each in form_of(said, request=None, today=TODAY, back="/").errors.items()}


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
    form = OccurrenceForm({"kind": "absent", "on": "2026-11-20", "note": "Away."}, request=None, today=TODAY, back="/")
    assert form.is_valid()
    assert form.cleaned_data == {
        "kind": "absent", "on": dt.date(2026, 11, 20), "to_on": None, "task": None, "note": "Away.", "happened": True,
    }  # fmt: skip
    assert errors_of(WorkForm, task) == {}


def test_a_correction_begins_with_what_was_entered_but_not_with_its_note(db):
    row = WorkDoneFactory()
    form = WorkForm(request=None, today=TODAY, back="/", row=row)
    assert (form["on"].value(), form["machine"].value(), form["note"].value()) == (row.on, row.machine, None)
    assert list(form.fields) == ["on", "machine", "note", "is_mistake", "password"]
    assert "is_mistake" not in WorkForm(request=None, today=TODAY, back="/").fields


def test_a_correction_keeps_what_it_is_and_its_task_whatever_is_sent(db, monkeypatch):
    monkeypatch.setattr(forms, "password_is_theirs", lambda **_: True)
    row = OccurrenceFactory(task=TaskFactory(code="D1"))
    sent = {"kind": "absent", "task": "", "on": "2026-11-20", "note": "Not so.", "is_mistake": "on", "password": "x"}
    form = OccurrenceForm(sent, request=SimpleNamespace(user=None), today=TODAY, back="/", row=row)
    assert form.is_valid(), form.errors
    assert {name: form.cleaned_data[name] for name in ("kind", "task", "happened")} == {
        "kind": "near miss", "task": row.task, "happened": False,
    }  # fmt: skip
    assert list(form.fields) == ["on", "note", "is_mistake", "password"]


@pytest.mark.parametrize(("kind", "has_last_day"), [("absent", True), ("near miss", False)])
def test_only_an_absence_gets_a_last_day_also_where_it_is_corrected(db, monkeypatch, kind, has_last_day):
    monkeypatch.setattr(forms, "password_is_theirs", lambda **_: True)
    sent = {"on": "2026-11-20", "to_on": "2026-11-21", "note": "So.", "password": "x"}
    row = OccurrenceFactory(kind=kind)
    form = OccurrenceForm(sent, request=SimpleNamespace(user=None), today=TODAY, back="/", row=row)
    assert form.is_valid()
    assert form.cleaned_data.get("to_on") == (dt.date(2026, 11, 21) if has_last_day else None)


def test_the_password_is_not_tried_where_the_last_day_is_wrong(db, monkeypatch):
    monkeypatch.setattr(forms, "password_is_theirs", lambda **_: pytest.fail("tried"))
    sent = {"on": "2026-11-20", "to_on": "2026-11-19", "note": "So.", "password": "x"}
    form = OccurrenceForm(sent, request=None, today=TODAY, back="/", row=OccurrenceFactory(kind="absent"))
    assert form.errors == {"to_on": ["The last day lies before the first."]}


@pytest.mark.parametrize(
    ("act", "on", "until_on", "is_good"),
    [
        ("grant", None, "2026-11-24", True),
        ("grant", None, "2026-11-23", False),
        ("grant", None, "2046-11-24", True),
        ("grant", None, "2046-11-25", False),
        ("grant", None, "9999-12-31", False),
        ("suspend", "2026-11-20", "2026-11-20", True),
        ("suspend", "2026-11-20", "2026-11-19", False),
        ("suspend", "2026-11-20", "9999-12-31", False),
        ("suspend", "9999-12-31", "9999-12-31", True),
        ("suspend", "soon", "2026-11-23", False),
    ],
)
def test_a_last_day_lies_between_the_day_of_effect_and_twenty_years_on(monkeypatch, act, on, until_on, is_good):
    monkeypatch.setattr(forms, "password_is_theirs", lambda **_: True)
    sent = {"reason": "So.", "on": on, "until_on": until_on, "password": "x", "token": str(uuid.uuid4())}
    form = SignForm(sent, request=SimpleNamespace(user=None), act=ACTS[act], today=TODAY, back="/")
    assert ("until_on" not in form.errors) is is_good
