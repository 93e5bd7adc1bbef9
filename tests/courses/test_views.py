from __future__ import annotations

import types

import pytest
from django.contrib.auth.models import AnonymousUser
from django.http import HttpResponse
from django.template.loader import render_to_string
from django.test import Client
from django.urls import include, path

from courses.views import form_too_old, not_here


@pytest.fixture(autouse=True)
def _site(settings):
    alone = types.ModuleType("people_alone")
    bench = ([path("", lambda _request: HttpResponse("bench"), name="bench")], "desks")
    alone.urlpatterns = [path("", include("courses.people.urls")), path("", include(bench))]
    alone.handler404 = "courses.views.not_here"
    settings.ROOT_URLCONF = alone


def visitor(rf, address="/nowhere/"):
    request = rf.get(address)
    request.user = AnonymousUser()
    return request


@pytest.mark.parametrize(("view", "status"), [(not_here, 404), (form_too_old, 403)])
def test_a_refusal_is_a_page_of_the_site_with_its_status(rf, view, status):
    response = view(visitor(rf))
    page = response.content.decode()
    assert response.status_code == status
    assert page.count("<h1") == 1
    assert '<html lang="en-GB">' in page


def test_a_form_without_its_token_is_answered_in_plain_words():
    response = Client(enforce_csrf_checks=True).post("/sign-in/", {"username": "a", "password": "b"})
    assert response.status_code == 403
    assert "Nothing was saved." in response.content.decode()


def test_the_page_for_a_breakdown_needs_neither_database_nor_context():
    page = render_to_string("500.html")
    assert page.count("<h1") == 1
    assert "may not have been saved" in page
