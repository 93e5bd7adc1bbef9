"""Addresses of what is measured, proved and recorded."""

from django.urls import include, path

urlpatterns = [
    path("", include("assessments.desks.urls")),
    path("scenarios/", include("assessments.scenarios.urls")),
    path("drills/", include("assessments.drills.urls")),
    path("records/", include("assessments.ledger.urls")),
    path("board/", include("assessments.standing.urls")),
]
