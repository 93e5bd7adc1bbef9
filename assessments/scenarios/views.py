"""Pages of the scenarios: for instructors and administrators, and to be read by auditors."""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from assessments.engine.errors import EngineError, UnknownNameError
from assessments.engine.method import Method
from assessments.engine.methods import find_method
from assessments.scenarios.adapters import engine_scenario
from assessments.scenarios.forms import (
    ISSUE,
    LOOK_OVER,
    AddingForm,
    BeginForm,
    RevisionForm,
    beginning_for,
    beginning_of,
)
from assessments.scenarios.previews import preview, preview_of, sample, verdict_lines
from assessments.scenarios.selectors import (
    bindings_of,
    current_revision,
    get_scenario_for,
    revisions_of,
    scenario_to_be,
    scenarios_by_task,
    sheets_for,
)
from assessments.scenarios.services import (
    RevisionDraft,
    RevisionMovedOnError,
    add_scenario,
    close_scenario,
    draft_of,
    issue_revision,
    reopen_scenario,
    try_out,
)
from courses.machines.selectors import get_machine, machines, sheets_of
from courses.people.access import PersonRequest, roles_only
from courses.people.roles import Role
from courses.tasks.selectors import all_tasks, get_task

refusals = logging.getLogger("refusals")

WRITERS = (Role.INSTRUCTOR, Role.ADMINISTRATOR)
READERS = (*WRITERS, Role.AUDITOR)
MOST_SEED = 2**53


@roles_only(*READERS)
def scenario_list(request: PersonRequest) -> HttpResponse:
    context = {"groups": scenarios_by_task(request.user), "may_write": request.user.has_role(*WRITERS)}
    return render(request, "scenarios/scenario_list.html", context)


@roles_only(*READERS)
def scenario_show(request: PersonRequest, slug: str) -> HttpResponse:
    """What is told, what it is held against, how its draws lie, and one of them (?seed=) worked out."""
    scenario = get_scenario_for(request.user, slug)
    revision = current_revision(scenario)
    seed = _seed(request.GET.get("seed", ""))
    sheets = sheets_for(revision)
    context: dict[str, Any] = {
        "scenario": scenario,
        "revision": revision,
        "newest_sheet": sheets[0],
        "revisions": revisions_of(scenario),
        "may_write": request.user.has_role(*WRITERS),
    }
    try:
        method = find_method(revision.method)
        context |= {"method": method, "verdict_lines": verdict_lines(method)}
        context["bindings"] = bindings_of(revision, method, sheets[0])
        context["preview"] = preview_of(revision)
        context["sample"] = sample(engine_scenario(revision), seed, revision.units)
    except EngineError as error:
        # Issued under an engine that knew something this one does not: say so, and keep the rest of the page.
        context["refused"] = str(error)
    context |= {"seed": seed, "next_seed": min(seed + 1, MOST_SEED), "last_seed": max(seed - 1, 0)}
    return render(request, "scenarios/scenario_show.html", context)


@roles_only(*WRITERS)
def scenario_revise(request: PersonRequest, slug: str) -> HttpResponse:
    """The form of the next revision; sent once it is looked over, sent from there it counts."""
    scenario = get_scenario_for(request.user, slug)
    revision = current_revision(scenario)
    method, sheets = _method(revision.method), sheets_for(revision)
    form = RevisionForm(
        request.POST if request.method == "POST" else None,
        method=method,
        sheets=sheets,
        initial=beginning_of(replace(draft_of(revision), sheet=sheets[0]), method, revision.number),
        way_back=reverse("scenarios:scenario_show", args=[slug]),
    )

    def issue(draft: RevisionDraft) -> None:
        after = form.cleaned_data["after"]
        reason = form.cleaned_data["reason"]
        at = timezone.now()
        issued = issue_revision(scenario=scenario, draft=draft, by=request.user, reason=reason, at=at, after=after)
        messages.success(request, f"Revision {issued.number} is issued: every draw from now on is made from it.")

    context = {"scenario": scenario, "revision": revision, "title": f"New revision: {revision.title}", "form": form}
    return _written(request, context, slug, issue)


@roles_only(*WRITERS)
def scenario_add(request: PersonRequest) -> HttpResponse:
    """First what it is about, in the address; then its first revision."""
    begin = BeginForm(request.GET or None, tasks=all_tasks(), machines=machines())
    if not begin.is_valid():
        return render(request, "scenarios/scenario_begin.html", {"form": begin})
    task, machine = get_task(begin.cleaned_data["task"]), get_machine(begin.cleaned_data["machine"])
    method, sheets = _method(begin.cleaned_data["method"]), list(sheets_of(machine))
    if not sheets:
        begin.add_error("machine", "This machine has no sheet yet: issue one first.")
        return render(request, "scenarios/scenario_begin.html", {"form": begin})
    form = AddingForm(
        request.POST if request.method == "POST" else None,
        method=method,
        sheets=sheets,
        initial=beginning_for(method, sheets[0]),
        way_back=reverse("scenarios:scenario_list"),
    )
    slug = request.POST.get("slug", "")

    def issue(draft: RevisionDraft) -> None:
        reason = form.cleaned_data["reason"]
        add_scenario(slug=slug, task=task, draft=draft, by=request.user, reason=reason, at=timezone.now())
        messages.success(request, "The scenario is there, and open for drills.")

    context = {
        "scenario": scenario_to_be(slug, task),
        "title": f"New scenario: {method.title}, {machine.name}",
        "form": form,
    }
    return _written(request, context, slug, issue)


@require_POST
@roles_only(*WRITERS)
def scenario_close(request: PersonRequest, slug: str) -> HttpResponse:
    close_scenario(scenario=get_scenario_for(request.user, slug))
    messages.success(request, "Closed: no new draws. What was worked stays.")
    return redirect("scenarios:scenario_show", slug=slug)


@require_POST
@roles_only(*WRITERS)
def scenario_reopen(request: PersonRequest, slug: str) -> HttpResponse:
    reopen_scenario(scenario=get_scenario_for(request.user, slug))
    messages.success(request, "Open for drills again.")
    return redirect("scenarios:scenario_show", slug=slug)


def _written(
    request: PersonRequest, context: dict[str, Any], slug: str, issue: Callable[[RevisionDraft], None]
) -> HttpResponse:
    """The form, the form with what is wrong, the looking over, or, once issued, the scenario."""
    form: RevisionForm = context["form"]
    step = request.POST.get("step")
    if step in {LOOK_OVER, ISSUE} and form.is_valid():
        try:
            if step == ISSUE:
                issue(form.draft)
                return redirect("scenarios:scenario_show", slug=slug)
            _must_be_newest(form, context.get("revision"))
            return _looked_over(request, context, form.draft)
        except EngineError as error:
            form.add_error(None, str(error))
        except RevisionMovedOnError as error:
            context["moved_on"] = error.latest
            form.go_on_from(error.latest.number)
    if form.is_tampered_with:
        refusals.warning("%s sent a tampered form for %s", request.user.get_username(), request.path)
    return render(request, "scenarios/scenario_revise.html", context)


def _must_be_newest(form: RevisionForm, revision: Any) -> None:
    if revision is not None and form.cleaned_data["after"] != revision.number:
        raise RevisionMovedOnError(revision)


def _looked_over(request: PersonRequest, context: dict[str, Any], draft: RevisionDraft) -> HttpResponse:
    revision, lies = try_out(scenario=context["scenario"], draft=draft)
    built = engine_scenario(revision)
    context |= {
        "next": revision,
        "preview": preview(built, lies, revision.units),
        "sample": sample(built, 0, revision.units),
        "bindings": bindings_of(revision, built.method, draft.sheet),
    }
    return render(request, "scenarios/scenario_look_over.html", context)


def _seed(typed: str) -> int:
    """The number of the sample draw in the address; the first one for anything that is none."""
    return min(int(typed), MOST_SEED) if typed.isascii() and typed.isdigit() and len(typed) < 20 else 0


def _method(name: str) -> Method:
    try:
        return find_method(name)
    except UnknownNameError:
        raise Http404 from None
