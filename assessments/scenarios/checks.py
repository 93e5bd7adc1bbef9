"""Checks at start-up: every method and instrument declares what the scenarios' pages and drills need."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.core.checks import CheckMessage, Error, register

from assessments.engine.instruments import all_instruments
from assessments.engine.method import Method
from assessments.engine.methods import all_methods
from assessments.engine.verdicts import Verdict


@register("scenarios")
def methods_are_whole(**_: Any) -> list[CheckMessage]:
    """E001 a reading that no instrument reads; E002 a verdict without words or action."""
    instruments = all_instruments().values()
    found: list[CheckMessage] = []
    for method in all_methods().values():
        found += [
            Error(
                f"{method.name}: no instrument reads {reading.name}.",
                hint=f"Add an instrument of one of the families {', '.join(reading.families)}, or name another family.",
                id="scenarios.E001",
            )
            for reading in method.readings
            if not any(reading.is_read_with(instrument) for instrument in instruments)
        ]
        found += [
            Error(
                f"{method.name} can give the verdict {verdict.value}, but has no words or no action for it.",
                hint="Give it both in verdict_words and in actions.",
                id="scenarios.E002",
            )
            for verdict in _verdicts_of(method)
            if verdict not in method.verdict_words or verdict not in method.actions
        ]
    return found


def _verdicts_of(method: Method) -> Iterator[Verdict]:
    """What a method can always give: inside if it holds anything, void if a case can be spoilt."""
    if method.held:
        yield Verdict.INSIDE
    if any(condition.oddity for condition in method.conditions):
        yield Verdict.VOID
