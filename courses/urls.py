"""Addresses of the site. `assessments` is named by a string: courses never imports it."""

from django.urls import include, path

urlpatterns = [
    path("", include("courses.people.urls")),
    path("tasks/", include("courses.tasks.urls")),
    path("machines/", include("courses.machines.urls")),
    path("lessons/", include("courses.lessons.urls")),
    path("", include("assessments.urls")),
]

handler403 = "courses.views.not_here"
handler404 = "courses.views.not_here"
