"""Pages of the lessons. Open to every signed-in person."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from courses.lessons.selectors import get_lesson_for, get_revision, lessons_with_progress
from courses.lessons.services import mark_read
from courses.machines.selectors import machines
from courses.people.access import PersonRequest


def lesson_list(request: PersonRequest) -> HttpResponse:
    rows = lessons_with_progress(request.user)
    context = {"tasks": rows, "without": [row.task for row in rows if not row.lessons]}
    return render(request, "lessons/lesson_list.html", context)


def lesson_show(request: PersonRequest, slug: str, number: int | None = None) -> HttpResponse:
    choice = list(machines())
    page = get_lesson_for(request.user, slug, machines=choice, chosen=request.GET.get("machine", ""), number=number)
    return render(request, "lessons/lesson_show.html", {"page": page, "machines": choice})


@require_POST
def lesson_read(request: PersonRequest, slug: str, number: int) -> HttpResponse:
    revision = get_revision(slug, number)
    mark_read(person=request.user, revision=revision, at=timezone.now())
    messages.success(request, f"Noted: you have read revision {revision.number} of “{revision.lesson.title}”.")
    return redirect("lessons:lesson_show", slug=slug)
