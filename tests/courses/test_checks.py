from __future__ import annotations

import pytest
from django.core.checks.registry import registry

from courses import checks

ALL = [checks.content_policy_is_strict, checks.forms_fail_aloud, checks.sqlite_takes_turns]


def _ids(check):
    return [message.id for message in check(None)]


@pytest.mark.parametrize("check", ALL)
def test_a_check_is_registered_and_the_settings_as_they_are_pass_it(check):
    assert check in registry.registered_checks
    assert _ids(check) == []


@pytest.mark.parametrize(
    "policy",
    [
        {},
        {"DIRECTIVES": {"script-src": ["'self'"]}},
        {"DIRECTIVES": {"default-src": ["'none'"], "script-src": ["'self'", "'unsafe-inline'"]}},
    ],
)
def test_a_missing_or_loose_content_policy_is_told(settings, policy):
    settings.CONTENT_SECURITY_POLICY = policy

    assert _ids(checks.content_policy_is_strict) == [checks.E001]


def test_forms_that_fail_silently_are_told(settings):
    settings.CRISPY_FAIL_SILENTLY = True

    assert _ids(checks.forms_fail_aloud) == [checks.E002]


@pytest.mark.parametrize(
    ("engine", "options", "told"),
    [
        ("sqlite3", {}, [checks.E003]),
        ("sqlite3", {"transaction_mode": "DEFERRED"}, [checks.E003]),
        ("sqlite3", {"transaction_mode": "IMMEDIATE"}, []),
        ("postgresql", {}, []),
    ],
)
def test_sqlite_with_the_defaults_is_told(settings, monkeypatch, engine, options, told):
    monkeypatch.setitem(settings.DATABASES["default"], "ENGINE", f"django.db.backends.{engine}")
    monkeypatch.setitem(settings.DATABASES["default"], "OPTIONS", options)

    assert _ids(checks.sqlite_takes_turns) == told


def test_what_is_told_comes_with_a_hint(settings):
    settings.CONTENT_SECURITY_POLICY = {}

    assert checks.content_policy_is_strict(None)[0].hint
