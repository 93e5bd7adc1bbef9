from __future__ import annotations

import datetime as dt

import pytest

from assessments.standing.acts import ACTS
from assessments.standing.forms import BoardForm, DayForm, SignForm
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
