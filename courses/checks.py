"""What must hold of the settings before the site starts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.apps import AppConfig
from django.conf import settings
from django.core.checks import CheckMessage, Error, Tags, register

E001 = "courses.E001"
E002 = "courses.E002"
E003 = "courses.E003"


@register(Tags.security)
def content_policy_is_strict(app_configs: Sequence[AppConfig] | None, **kwargs: Any) -> list[CheckMessage]:
    """courses.E001: without its setting the middleware sends no policy at all, and says nothing."""
    directives = getattr(settings, "CONTENT_SECURITY_POLICY", {}).get("DIRECTIVES", {})
    loose = {"'unsafe-inline'", "'unsafe-eval'", "*"}
    allowed = {source for sources in directives.values() for source in sources}
    if directives.get("default-src") == ["'none'"] and loose.isdisjoint(allowed):
        return []
    return [
        Error(
            "The content security policy is missing or loose.",
            hint="Set CONTENT_SECURITY_POLICY with default-src 'none', and nothing inline.",
            id=E001,
        )
    ]


@register()
def forms_fail_aloud(app_configs: Sequence[AppConfig] | None, **kwargs: Any) -> list[CheckMessage]:
    """courses.E002: a form that cannot be laid out has to fail, not to vanish from its page."""
    if getattr(settings, "CRISPY_FAIL_SILENTLY", True) is False:
        return []
    return [Error("Errors in forms would be hidden.", hint="Set CRISPY_FAIL_SILENTLY = False.", id=E002)]


@register()
def sqlite_takes_turns(app_configs: Sequence[AppConfig] | None, **kwargs: Any) -> list[CheckMessage]:
    """courses.E003: with Django's defaults more than half of concurrent writes failed as "locked" (measured)."""
    database = settings.DATABASES["default"]
    is_sqlite = database["ENGINE"] == "django.db.backends.sqlite3"
    if not is_sqlite or database.get("OPTIONS", {}).get("transaction_mode") == "IMMEDIATE":
        return []
    return [Error("Writers to SQLite would trip over each other.", hint="Use transaction_mode IMMEDIATE.", id=E003)]
