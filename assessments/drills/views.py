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
from assessments.drills.forms import TOKEN, AnswerForm, kept_in, token_of, typed_in
from assessments.engine.errors import EngineError
from assessments.scenarios.adapters import engine_scenario
from assessments.scenarios.selectors import current_revision, get_scenario_for
from courses.lessons.selectors import lessons_for_task
from courses.people.access import PersonRequest

refusals = logging.getLogger("refusals")

SEEDS = 2**53
A_PAGE = 25
LAST_ONES = 10
ONCE = "This draw was handed in already. It counts once."


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
    """What a scenario is about, and one's last draws of it. Sent, it draws a case, or goes on with the one open."""
    scenario = get_scenario_for(request.user, slug)
    revision = current_revision(scenario)
    shown: dict[str, object] = {"scenario": scenario, "revision": revision}
    try:
        method = engine_scenario(revision).method
        if request.method == "POST":
            if not scenario.is_open:
                raise Http404
            at, seed = timezone.now(), secrets.randbelow(SEEDS)
            attempt = services.open_attempt(person=request.user, scenario=scenario, revision=revision, seed=seed, at=at)
            return redirect("drills:attempt_answer", attempt.pk)
    except EngineError as error:
        return render(request, "drills/scenario_open.html", {**shown, "refused": str(error)})
    shown |= {
        "method": method,
        "open_attempt": selectors.open_attempt_of(request.user, scenario),
        "past": selectors.past_attempts(request.user, scenario)[:LAST_ONES],
    }
    return render(request, "drills/scenario_open.html", shown)


@never_cache
@require_http_methods(["GET", "POST"])
def attempt_answer(request: PersonRequest, pk: int) -> HttpResponse:
    """The form. Sent, it keeps what is typed and goes on to the look-over page, or says what cannot be read."""
    attempt = selectors.get_own_attempt(request.user, pk)
    scenario, units = engine_scenario(attempt.revision), attempt.revision.units
    if request.method == "POST":
        was = _its_own_page(request, pk, kept_in(attempt, request.POST.get(TOKEN, "")))
        typed = typed_in(scenario, units, request.POST)
        row = services.keep_typed(attempt=attempt, typed=typed, was=was, at=timezone.now())
        attempt.typed, attempt.handed_in_at = row.typed, row.handed_in_at
    if attempt.is_handed_in:
        if request.method == "POST":
            messages.info(request, ONCE)
        return redirect("drills:attempt_result", pk)
    form = AnswerForm(scenario, units, attempt.typed)
    if request.method == "POST" and not form.errors:
        return redirect("drills:attempt_review", pk)
    number = selectors.number_of(attempt)
    page = pages.answer_page(attempt, form, number, token_of(attempt))
    lessons = lessons_for_task(attempt.revision.scenario.task)
    return render(request, "drills/attempt_answer.html", {**page, "lessons": lessons})


@never_cache
@require_POST
def attempt_save(request: PersonRequest, pk: int) -> HttpResponse:
    """What is typed so far, kept while it is typed; answers what is kept and how each field is understood."""
    attempt = selectors.get_own_attempt(request.user, pk)
    was = _its_own_page(request, pk, kept_in(attempt, request.POST.get(TOKEN, "")))
    scenario, units = engine_scenario(attempt.revision), attempt.revision.units
    typed = typed_in(scenario, units, request.POST)
    kept = services.keep_typed(attempt=attempt, typed=typed, was=was, at=timezone.now())
    return JsonResponse(pages.kept_answer(kept, scenario, token_of(kept)))


@never_cache
@require_GET
def attempt_review(request: PersonRequest, pk: int) -> HttpResponse:
    """What was understood, before it counts."""
    attempt = selectors.get_own_attempt(request.user, pk)
    if attempt.is_handed_in:
        return redirect("drills:attempt_result", pk)
    review = pages.review_page(attempt, selectors.number_of(attempt), token_of(attempt))
    if review is None:
        return redirect("drills:attempt_answer", pk)
    return render(request, "drills/attempt_review.html", review)


@never_cache
@require_POST
def attempt_hand_in(request: PersonRequest, pk: int) -> HttpResponse:
    attempt = selectors.get_own_attempt(request.user, pk)
    looked_over = _its_own_page(request, pk, kept_in(attempt, request.POST.get(TOKEN, "")))
    if attempt.is_handed_in:
        messages.info(request, ONCE)
        return redirect("drills:attempt_result", pk)
    try:
        services.hand_in(attempt=attempt, looked_over=looked_over, at=timezone.now())
    except services.UnreadableAnswerError:
        return redirect("drills:attempt_answer", pk)
    except services.ChangedMeanwhileError:
        messages.warning(request, "Your answer was changed in another window or on another device. Look it over again.")
        return redirect("drills:attempt_review", pk)
    return redirect("drills:attempt_result", pk)


def _its_own_page(request: PersonRequest, pk: int, kept: dict[str, str] | None) -> dict[str, str]:
    """What was kept when the page that is sent was made. A changed hidden field is refused, and noted."""
    if kept is None:
        refusals.warning("%s sent a changed hidden field for attempt %s", request.user.get_username(), pk)
        raise Http404
    return kept


@never_cache
@require_GET
def attempt_result(request: PersonRequest, pk: int) -> HttpResponse:
    attempt = selectors.get_attempt_for(request.user, pk)
    if not attempt.is_handed_in:
        return redirect("drills:attempt_answer", pk)
    shown = pages.result_page(attempt, selectors.number_of(attempt), reader=request.user)
    lessons = lessons_for_task(attempt.revision.scenario.task)
    return render(request, "drills/attempt_result.html", {**shown, "lessons": lessons})
