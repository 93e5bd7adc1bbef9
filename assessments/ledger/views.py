"""A person's record, to read and to print."""

from __future__ import annotations

import logging
from typing import TYPE_CHECKING

from django.http import Http404
from django.shortcuts import render
from django.utils import timezone

from assessments.ledger import selectors
from assessments.ledger.forms import KnownForm

if TYPE_CHECKING:
    from django.http import HttpResponse

    from courses.people.access import PersonRequest

refusals = logging.getLogger("refusals")


def record_show(request: PersonRequest, person_pk: int) -> HttpResponse:
    person = selectors.get_person_for(request.user, person_pk)
    if person is None:
        refusals.warning("%s asked for %s, which is not theirs to read", request.user.get_username(), request.path)
        raise Http404
    now = timezone.now()
    form = KnownForm(request.GET or None, today=timezone.localdate(now))
    known = form.known_at()
    line = list(selectors.events_of(person))
    events = [event for event in line if known is None or event.entered_at <= known]
    shown = {
        "form": form,
        "known": known,
        "person": person,
        "events": events,
        "work": selectors.work_lines(person, known, request.user),
        "occurrences": selectors.occurrence_lines(person, known, request.user),
        "broken": selectors.first_break_of(person, line),
        "last": events[-1] if events else None,
        "may_enter": selectors.may_enter_evidence(request.user, person),
        "now": now,
    }
    return render(request, "ledger/record_show.html", shown)
