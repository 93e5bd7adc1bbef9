"""The pages of people stand here alone, with the site's own refusals, whatever the rest of the site does."""

from __future__ import annotations

import types

import pytest
from django.http import HttpResponse
from django.urls import include, path

from courses.people.context import HOME, PAGE_NAMES


@pytest.fixture(autouse=True)
def _people_alone(settings):
    alone = types.ModuleType("people_alone")
    alone.urlpatterns = [path("", include("courses.people.urls"))]
    for page in PAGE_NAMES:
        if page.app != "people":
            stand_in = path("", lambda _request: HttpResponse("elsewhere"), name=page.url_name.partition(":")[2])
            alone.urlpatterns.append(
                path("" if page.url_name == HOME else f"{page.app}/", include(([stand_in], page.app)))
            )
    alone.handler404 = "courses.views.not_here"
    settings.ROOT_URLCONF = alone
    settings.STORAGES = {
        **settings.STORAGES,
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    }


@pytest.fixture
def sign_in(client):
    """Sign a person in and hand back the browser."""

    def as_person(person):
        client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
        return client

    return as_person
