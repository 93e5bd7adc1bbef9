"""Drawings in templates: the only file of the site that marks text as safe.

What it marks is SVG that the engine has drawn: `engine.drawing` escapes everything that is put into an element.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import template
from django.utils.safestring import SafeString, mark_safe  # noqa: TID251 - the one place, see above

from assessments.engine import plots
from assessments.engine.instruments import find_instrument
from assessments.engine.kinds import Array
from assessments.engine.sheets import Limit

register = template.Library()


@register.simple_tag
def face(instrument_name: str, reading: float, ident: str, oddity: str = "") -> SafeString:
    """The face of an instrument at a reading (inner unit). ident: unique on the page, begins with a letter."""
    drawn = find_instrument(instrument_name).face(float(reading), ident=ident, oddity=oddity)
    return mark_safe(drawn.svg)


@register.simple_tag
def limit_bar(held: Mapping[str, Any], ident: str) -> SafeString:
    """A result on its limits. held: one of `engine.marked.document(...)["held"]`."""
    drawn = plots.limit_bar(
        label=held["label"],
        value=held["value"],
        low=held["low"],
        high=held["high"],
        allowed=held["allowed"],
        value_text=held["value_text"],
        low_text=held["low_text"],
        high_text=held["high_text"],
        ident=ident,
    )
    return mark_safe(drawn.svg)


@register.simple_tag
def spread_plot(
    values: Array, limit: Limit | None, label: str, unit: str, step: float | None, ident: str
) -> SafeString:
    """How a result lies over many draws, about its limit. Inner units, lettered in `unit`."""
    return mark_safe(plots.spread_plot(values, limit, label=label, unit=unit, step=step, ident=ident).svg)


@register.simple_tag
def range_bar(label: str, low: float, high: float, least: float, greatest: float, unit: str, ident: str) -> SafeString:
    """What is drawn of a reading within what its instrument reads. Inner units, lettered in `unit`."""
    drawn = plots.range_bar(label=label, low=low, high=high, least=least, greatest=greatest, unit=unit, ident=ident)
    return mark_safe(drawn.svg)
