"""Pages of the drills."""

from __future__ import annotations

import logging
import secrets

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from assessments.drills import pages, selectors, services
from assessments.drills.forms import TOKEN, AnswerForm, is_token_of, token_of
from assessments.engine.answers import understand
from assessments.engine.draws import Draw
from assessments.scenarios.adapters import engine_scenario
from assessments.scenarios.selectors import current_revision, get_scenario_for
from courses.people.access import PersonRequest

refusals = logging.getLogger("refusals")

SEEDS = 2**53
A_PAGE = 25


@require_GET
def drill_list(request: PersonRequest) -> HttpResponse:
    rows = selectors.drill_rows(request.user)
    return render(request, "drills/drill_list.html", {"rows": rows})


@require_GET
def attempt_list(request: PersonRequest) -> HttpResponse:
    page = Paginator(selectors.past_attempts(request.user), A_PAGE).get_page(request.GET.get("page"))
    return render(request, "drills/attempt_list.html", {"page": page})


@never_cache
@require_http_methods(["GET", "POST"])
def scenario_open(request: PersonRequest, slug: str) -> HttpResponse:
    scenario = get_scenario_for(request.user, slug)
    revision = current_revision(scenario)
    if request.method == "POST":
        if not scenario.is_open:
            raise Http404
        attempt = services.open_attempt(
            person=request.user,
            scenario=scenario,
            revision=revision,
            seed=secrets.randbelow(SEEDS),
            at=timezone.now(),
        )
        return redirect("drills:attempt_answer", attempt.pk)
    return render(
        request,
        "drills/scenario_open.html",
        {
            "scenario": scenario,
            "revision": revision,
            "method": engine_scenario(revision).method,
            "open_attempt": selectors.open_attempt_of(request.user, scenario),
            "past": selectors.past_attempts(request.user, scenario)[:10],
        },
    )


@never_cache
@require_http_methods(["GET", "POST"])
def attempt_answer(request: PersonRequest, pk: int) -> HttpResponse:
    attempt = selectors.get_own_attempt(request.user, pk)
    if attempt.is_handed_in:
        if request.method == "POST":
            messages.info(request, "This draw was handed in already. It counts once.")
        return redirect("drills:attempt_result", pk)
    scenario = engine_scenario(attempt.revision)
    if request.method == "POST":
        _must_be_its_own_form(request, pk, is_token_of(attempt, request.POST.get(TOKEN, "")))
        form = AnswerForm(scenario, attempt.revision.units, request.POST)
        services.keep_typed(attempt=attempt, typed=form.typed, at=timezone.now())
        if form.is_valid():
            return redirect("drills:attempt_review", pk)
    else:
        form = AnswerForm(scenario, attempt.revision.units, initial=attempt.typed)
    draw = Draw.of_document(attempt.draw)
    return render(
        request,
        "drills/attempt_answer.html",
        {
            "attempt": attempt,
            "form": form,
            "token": token_of(attempt),
            "seen": pages.seen(form, draw),
            "worked_fields": pages.worked_fields(form),
            "choice_fields": pages.choice_fields(form),
            "given": pages.given(scenario, attempt.revision.units),
            "caution": scenario.method.caution,
            "title_block": pages.title_block(attempt, selectors.number_of(attempt)),
        },
    )


def _must_be_its_own_form(request: PersonRequest, pk: int, is_own: bool) -> None:
    if not is_own:
        refusals.warning("%s sent a changed hidden field for attempt %s", request.user.get_username(), pk)
        raise Http404


@never_cache
@require_POST
def attempt_save(request: PersonRequest, pk: int) -> HttpResponse:
    """What is typed so far, kept while it is typed; answers how each field is understood."""
    attempt = selectors.get_own_attempt(request.user, pk)
    _must_be_its_own_form(request, pk, is_token_of(attempt, request.POST.get(TOKEN, "")))
    if attempt.is_handed_in:
        return JsonResponse({"is_handed_in": True, "echoes": {}, "errors": {}})
    form = AnswerForm(engine_scenario(attempt.revision), attempt.revision.units, request.POST)
    services.keep_typed(attempt=attempt, typed=form.typed, at=timezone.now())
    form.is_valid()
    understood = form.understood
    return JsonResponse({"is_handed_in": False, "echoes": dict(understood.echoes), "errors": dict(understood.errors)})


@never_cache
@require_GET
def attempt_review(request: PersonRequest, pk: int) -> HttpResponse:
    attempt = selectors.get_own_attempt(request.user, pk)
    if attempt.is_handed_in:
        return redirect("drills:attempt_result", pk)
    scenario = engine_scenario(attempt.revision)
    understood = understand(scenario, attempt.revision.units, attempt.typed)
    if understood.errors:
        return redirect("drills:attempt_answer", pk)
    return render(
        request,
        "drills/attempt_review.html",
        {
            "attempt": attempt,
            "rows": pages.review_rows(scenario, attempt, understood),
            "blanks": len(understood.blanks),
            "token": token_of(attempt),
            "title_block": pages.title_block(attempt, selectors.number_of(attempt)),
        },
    )


@never_cache
@require_POST
def attempt_hand_in(request: PersonRequest, pk: int) -> HttpResponse:
    attempt = selectors.get_own_attempt(request.user, pk)
    _must_be_its_own_form(request, pk, is_token_of(attempt, request.POST.get(TOKEN, "")))
    if attempt.is_handed_in:
        messages.info(request, "This draw was handed in already. It counts once.")
    else:
        services.hand_in(attempt=attempt, at=timezone.now())
    return redirect("drills:attempt_result", pk)


@never_cache
@require_GET
def attempt_result(request: PersonRequest, pk: int) -> HttpResponse:
    attempt = selectors.get_attempt_for(request.user, pk)
    if not attempt.is_handed_in:
        return redirect("drills:attempt_answer", pk)
    scenario = engine_scenario(attempt.revision)
    return render(
        request,
        "drills/attempt_result.html",
        {
            "attempt": attempt,
            "marked": attempt.marked,
            "summary": pages.summary(attempt.marked or {}),
            "parts_at": {slip["parts_at"] for slip in (attempt.marked or {})["slips"]},
            "is_own": attempt.person_id == request.user.pk,
            "pictures": pages.pictures(scenario, Draw.of_document(attempt.draw)),
            "title_block": pages.title_block(attempt, selectors.number_of(attempt)),
        },
    )
