"""Lengths of time in words."""

from __future__ import annotations

import datetime as dt

from django import template

register = template.Library()


@register.filter
def in_minutes(wait: dt.timedelta) -> str:
    """The wait in whole minutes, rounded up: "1 minute", "10 minutes"."""
    minutes = max(1, -(-int(wait.total_seconds()) // 60))
    return "1 minute" if minutes == 1 else f"{minutes} minutes"
