"""Pages that belong to no app: refusals."""

from __future__ import annotations

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


@login_not_required
def not_here(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """One and the same answer for what is missing and for what is hidden."""
    return render(request, "404.html", status=404)


@login_not_required
def form_too_old(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form whose token no longer fits: signed out in between, or sent from another page."""
    return render(request, "form_too_old.html", status=403)
