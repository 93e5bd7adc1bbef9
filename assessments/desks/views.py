"""Each person's own first page: what now."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from assessments.desks.benches import bench_of
from courses.people.access import PersonRequest


@require_GET
def bench(request: PersonRequest) -> HttpResponse:
    return render(request, "desks/bench.html", {"bench": bench_of(request.user, timezone.now())})
