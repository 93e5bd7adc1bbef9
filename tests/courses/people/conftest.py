"""The pages of people stand here alone, with the site's own refusals, whatever the rest of the site does."""

from __future__ import annotations

import types

import pytest
from django.http import HttpResponse
from django.urls import include, path


@pytest.fixture(autouse=True)
def _people_alone(settings):
    alone = types.ModuleType("people_alone")
    bench = ([path("", lambda _request: HttpResponse("bench"), name="bench")], "desks")
    alone.urlpatterns = [path("", include("courses.people.urls")), path("", include(bench))]
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
