"""Pages of the task list. Open to every signed-in person."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from courses.people.access import PersonRequest
from courses.tasks.drawing import draw_order
from courses.tasks.selectors import after_of, all_tasks, get_task, ranks_of


def task_list(request: PersonRequest) -> HttpResponse:
    tasks = list(all_tasks())
    by_code = {task.code: task for task in tasks}
    drawing = draw_order(after_of(tasks))
    context = {
        "ranks": ranks_of(tasks),
        "drawing": drawing,
        "boxes": [(box, by_code[box.code]) for box in drawing.boxes],
    }
    return render(request, "tasks/task_list.html", context)


def task_show(request: PersonRequest, code: str) -> HttpResponse:
    task = get_task(code)
    return render(request, "tasks/task_show.html", {"task": task})
