"""Pages of standing: the board, one person's task, who may do a task, one's own, the signatures, and evidence."""

from __future__ import annotations

import logging
from typing import TYPE_CHECKING

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.debug import sensitive_post_parameters

from assessments.ledger.services import CorrectionRefusedError, TokenUsedError
from assessments.standing import selectors, services
from assessments.standing.acts import ACTS
from assessments.standing.errors import StandingError
from assessments.standing.forms import BoardForm, DayForm, OccurrenceForm, SignForm, WorkForm
from courses.people.access import roles_only

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http import HttpResponse

    from assessments.standing.selectors import Entering
    from courses.people.access import PersonRequest

refusals = logging.getLogger("refusals")

EVIDENCE: dict[str, tuple[type[WorkForm | OccurrenceForm], Callable[..., object], str]] = {
    "work": (WorkForm, services.record_work, "a task done"),
    "occurrence": (OccurrenceForm, services.record_occurrence, "an absence or a call for a refresher"),
}


@roles_only(*selectors.READERS)
def board_show(request: PersonRequest) -> HttpResponse:
    today = timezone.localdate()
    form = BoardForm(request.GET or None, today=today)
    on = form.day()
    asked = form.cleaned_data if form.is_bound else {}
    known = form.known_at()
    board = selectors.board(on=on, today=today, crew=asked.get("crew"), task=asked.get("task"), as_known_at=known)
    shown = {
        "form": form,
        "board": board,
        "today": today,
        "known": known,
        "marks": selectors.KEY,
        "now": timezone.now(),
        "crew": asked.get("crew"),
    }
    return render(request, "standing/board_show.html", shown)


def standing_show(request: PersonRequest, person_pk: int, code: str) -> HttpResponse:
    person, task = selectors.get_person_for(request.user, person_pk), selectors.get_task(code)
    if person is None or task is None:
        raise _hidden(request)
    today = timezone.localdate()
    form = DayForm(request.GET or None, today=today)
    page = selectors.standing_page(request.user, person, task, form.day(), today, form.known_at())
    shown = {"form": form, "page": page, "today": today, "is_own": person.pk == request.user.pk}
    shown |= {"now": timezone.now(), "known": form.known_at()}
    shown |= {"acts": [ACTS[name] for name in page.acts], **selectors.rights(request.user, person)}
    return render(request, "standing/standing_show.html", shown)


@roles_only(*selectors.READERS)
def task_holders(request: PersonRequest, code: str) -> HttpResponse:
    task = selectors.get_task(code)
    if task is None:
        raise _hidden(request)
    today = timezone.localdate()
    form = DayForm(request.GET or None, today=today)
    known = form.known_at()
    holders = selectors.holders(task=task, on=form.day(), today=today, as_known_at=known)
    shown = {"form": form, "holders": holders, "task": task, "today": today, "known": known, "now": timezone.now()}
    return render(request, "standing/task_holders.html", shown)


def own(request: PersonRequest) -> HttpResponse:
    today = timezone.localdate()
    return render(request, "standing/own.html", {"cells": selectors.own(request.user, today), "today": today})


@sensitive_post_parameters("password")
def sign(request: PersonRequest, person_pk: int, code: str, act: str, event_pk: int | None = None) -> HttpResponse:
    page = ACTS[act]
    asked = selectors.signing(request.user, person_pk, code, page.roles, event_pk)
    if asked is None:
        raise _hidden(request)
    now = timezone.now()
    today = timezone.localdate(now)
    back = reverse("standing:standing_show", args=[person_pk, code])
    form = SignForm(
        request.POST or None, request=request, act=page, today=today, back=back,
        credits_allowed=act == "grant" and asked.may_credit(today),
    )  # fmt: skip
    if request.method == "POST" and form.is_valid():
        said = {name: value for name, value in form.cleaned_data.items() if name != "password"}
        try:
            event = page.sign(event=asked.event, person=asked.person, task=asked.task, by=request.user, at=now, **said)
        except (StandingError, TokenUsedError, ValidationError) as error:
            form.add_error(None, error.messages if isinstance(error, ValidationError) else str(error))
        else:
            messages.success(request, f"Signed and entered as event {event.sequence} of {asked.person.full_name}.")
            return redirect(back)
    shown = {"form": form, "act": page, "asked": asked, "now": now, "standing": asked.standing(today)}
    shown |= {"missing": asked.missing(today), "credits_allowed": "credits_earlier_training" in form.fields}
    shown["lead"] = page.lead_of_two if page.lead_of_two and asked.takes_two(today) else page.lead
    return render(request, "standing/sign.html", shown)


@sensitive_post_parameters("password")
def evidence_enter(request: PersonRequest, person_pk: int, kind: str, row_pk: int | None = None) -> HttpResponse:
    asked = selectors.entering(request.user, person_pk, kind, row_pk)
    if asked is None:
        raise _hidden(request)
    form_of, enter, what = EVIDENCE[kind]
    now = timezone.now()
    form = form_of(
        request.POST or None, request=request, today=timezone.localdate(now), back=_after_evidence(asked), row=asked.row,
        task=request.GET.get("task", ""),
    )  # fmt: skip
    if request.method == "POST" and form.is_valid():
        try:
            enter(person=asked.person, by=request.user, at=now, corrects=asked.row, **form.cleaned_data)
        except (StandingError, CorrectionRefusedError) as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"Entered: {what}, {asked.person.full_name}.")
            return redirect(_after_evidence(asked))
    return render(request, "standing/evidence_enter.html", {"form": form, "asked": asked, "what": what, "now": now})


def _after_evidence(asked: Entering) -> str:
    """The record for those who may read it, the board for others."""
    if asked.may_read_record:
        return reverse("ledger:record_show", args=[asked.person.pk])
    return reverse("standing:board_show")


def _hidden(request: PersonRequest) -> Http404:
    """One answer for hidden and missing; the log says who asked."""
    refusals.warning("%s asked for %s, which is not there for them", request.user.get_username(), request.path)
    return Http404()
