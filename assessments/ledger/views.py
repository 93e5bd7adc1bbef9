"""A person's record, to read and to print."""

from __future__ import annotations

import logging
from typing import TYPE_CHECKING

from django.http import Http404
from django.shortcuts import render
from django.utils import timezone

from assessments.ledger import selectors

if TYPE_CHECKING:
    from django.http import HttpResponse

    from courses.people.access import PersonRequest

refusals = logging.getLogger("refusals")


def record_show(request: PersonRequest, person_pk: int) -> HttpResponse:
    person = selectors.get_person_for(request.user, person_pk)
    if person is None:
        refusals.warning("%s asked for %s, which is not theirs to read", request.user.get_username(), request.path)
        raise Http404
    events = list(selectors.events_of(person))
    shown = {
        "person": person,
        "events": events,
        "work": selectors.work_of_all([person]),
        "occurrences": selectors.occurrences_of_all([person]),
        "broken": selectors.first_break_of(person, events),
        "last": events[-1] if events else None,
        "printed_at": timezone.now(),
    }
    return render(request, "ledger/record_show.html", shown)
