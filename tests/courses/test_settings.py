"""The settings that guard the site. Each is checked where it acts, not where it is written."""

from __future__ import annotations

import os
import subprocess
import sys
import types

import pytest
from django.conf import settings as site_settings
from django.http import HttpResponse
from django.test import Client
from django.urls import include, path

ROOT = site_settings.ROOT


@pytest.fixture
def _site(settings):
    alone = types.ModuleType("people_alone")
    bench = ([path("", lambda _request: HttpResponse("bench"), name="bench")], "desks")
    alone.urlpatterns = [path("", include("courses.people.urls")), path("", include(bench))]
    alone.handler404 = "courses.views.not_here"
    settings.ROOT_URLCONF = alone


def started_with(say, **environment):
    """What a fresh start of the site prints for an expression over its settings."""
    kept = {name: os.environ[name] for name in ("PATH", "HOME", "LANG") if name in os.environ}
    program = f"from courses import settings; print({say})"
    command = [sys.executable, "-c", program]
    return subprocess.run(command, cwd=ROOT, env=kept | environment, capture_output=True, text=True, check=False)


@pytest.mark.usefixtures("_site")
def test_every_page_carries_a_policy_against_foreign_and_inline_script(db):
    response = Client().get("/sign-in/")
    policy = dict(part.strip().partition(" ")[::2] for part in response["Content-Security-Policy"].split(";"))
    assert policy["default-src"] == "'none'"
    assert policy["script-src"] == policy["style-src"] == policy["form-action"] == "'self'"
    assert policy["frame-ancestors"] == "'none'"
    assert "unsafe" not in response["Content-Security-Policy"]
    assert response["X-Frame-Options"] == "DENY"
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["Referrer-Policy"] == "same-origin"


@pytest.mark.usefixtures("_site")
def test_a_page_holds_no_inline_script_or_style(db):
    page = Client().get("/sign-in/").content.decode()
    assert " style=" not in page
    assert "<style" not in page
    assert page.count("<script") == page.count("<script src=")


@pytest.mark.usefixtures("_site")
def test_cookies_are_out_of_reach_for_script(db):
    response = Client().get("/sign-in/")
    assert response.cookies["csrftoken"]["httponly"]


def test_a_production_site_does_not_start_with_a_key_of_ours():
    said = started_with("repr(settings.SECRET_KEY)", PRODUCTION="1")
    assert said.stdout.strip() == "''", said.stderr


def test_production_wins_over_debug_and_insists_on_https():
    said = started_with(
        "settings.DEBUG, settings.SECURE_SSL_REDIRECT, settings.SESSION_COOKIE_SECURE, settings.CSRF_COOKIE_SECURE",
        PRODUCTION="1",
        DEBUG="1",
        SECRET_KEY="k" * 50,
    )
    assert said.stdout.strip() == "False True True True", said.stderr


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("1", "True"),
        ("TRUE", "True"),
        (" yes ", "True"),
        ("on", "True"),
        ("0", "False"),
        ("", "False"),
        ("no", "False"),
    ],
)
def test_a_switch_in_the_environment_reads_plain_words(said, meant, tmp_path):
    answer = started_with("settings.DEBUG", DEBUG=said, DATA_DIR=str(tmp_path))
    assert answer.stdout.strip() == meant, answer.stderr


def test_hosts_may_be_parted_by_commas_or_spaces(tmp_path):
    answer = started_with(
        "settings.ALLOWED_HOSTS", ALLOWED_HOSTS="a.example, b.example c.example", DATA_DIR=str(tmp_path)
    )
    assert answer.stdout.strip() == "['a.example', 'b.example', 'c.example']", answer.stderr
