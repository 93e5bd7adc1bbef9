"""Pages of the machines and their sheets. Open to every signed-in person; only instructors issue sheets."""

from __future__ import annotations

import logging
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from courses.machines.forms import Revising
from courses.machines.rules import compare
from courses.machines.selectors import (
    changes_since,
    current_sheet,
    drafts_of,
    get_machine,
    get_sheet,
    history_of,
    machine_rows,
    places_of,
)
from courses.machines.services import NothingChangedError, SheetMovedOnError, issue_sheet
from courses.people.access import PersonRequest, roles_only
from courses.people.roles import Role

refusals = logging.getLogger("refusals")


def machine_list(request: PersonRequest) -> HttpResponse:
    return render(request, "machines/machine_list.html", {"rows": machine_rows()})


def machine_show(request: PersonRequest, slug: str) -> HttpResponse:
    machine = get_machine(slug)
    context = {
        "machine": machine,
        "history": history_of(machine),
        "may_revise": request.user.has_role(Role.INSTRUCTOR),
    }
    return render(request, "machines/machine_show.html", context)


def sheet_show(request: PersonRequest, slug: str, number: int) -> HttpResponse:
    machine = get_machine(slug)
    sheet = get_sheet(machine, number)
    history = history_of(machine)
    context = {
        "machine": machine,
        "sheet": sheet,
        "latest": history[0].revision,
        "places": places_of(sheet),
        "history": [issue for issue in history if issue.revision.number <= number],
        "may_revise": request.user.has_role(Role.INSTRUCTOR),
    }
    return render(request, "machines/sheet_show.html", context)


@roles_only(Role.INSTRUCTOR)
def sheet_revise(request: PersonRequest, slug: str) -> HttpResponse:
    """The form; sent once it is looked over, sent from there it counts."""
    machine = get_machine(slug)
    sheet = current_sheet(machine)
    revising = Revising(drafts_of(sheet), request.POST if request.method == "POST" else None)
    context: dict[str, Any] = {"machine": machine, "sheet": sheet, "revising": revising}
    if request.method == "POST" and revising.is_valid():
        step = request.POST.get("step")
        if step == "issue":
            answer = _issue(request, context)
            if answer is not None:
                return answer
        elif step == "look over" and revising.after == _number(context):
            changes = compare(drafts_of(sheet), revising.entries)
            if changes:
                return render(request, "machines/sheet_look_over.html", {**context, "changes": changes})
            revising.reason_form.add_error(None, NothingChangedError.sentence)
    return _form_again(request, context)


def _number(context: dict[str, Any]) -> int:
    return context["sheet"].number if context["sheet"] else 0


def _issue(request: PersonRequest, context: dict[str, Any]) -> HttpResponse | None:
    """Issue it and lead to it; None if it cannot be issued, and the form says why."""
    revising: Revising = context["revising"]
    try:
        revision = issue_sheet(
            machine=context["machine"],
            entries=revising.entries,
            reason=revising.reason,
            by=request.user,
            at=timezone.now(),
            after=revising.after,
        )
    except SheetMovedOnError as error:
        context["sheet"] = error.latest
        return None
    except NothingChangedError as error:
        revising.reason_form.add_error(None, str(error))
        return None
    messages.success(request, f"Revision {revision.number} is issued.")
    return redirect("machines:sheet_show", slug=context["machine"].slug, number=revision.number)


def _form_again(request: PersonRequest, context: dict[str, Any]) -> HttpResponse:
    """The form with what was typed; says so where another revision appeared meanwhile."""
    revising: Revising = context["revising"]
    if request.method == "POST" and "after" in revising.reason_form.errors:
        refusals.warning("%s sent a tampered form for %s", request.user.get_username(), request.path)
    context["number"] = _number(context)
    after = revising.after
    if after is not None and after != context["number"]:
        context["moved_on"] = changes_since(context["machine"], after, context["sheet"])
    return render(request, "machines/sheet_revise.html", context)
