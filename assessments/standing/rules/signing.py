"""Who may sign for whom."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from assessments.standing.calendar import add_months
from assessments.standing.rules.values import Rule, Standing, State

STOPPED = frozenset({State.SUSPENDED, State.WITHDRAWN})
MOST_YEARS = 20  # no day named on a signature lies further ahead; ours, no source


def latest_last_day(on: date) -> date:
    """The last day that a signature taking effect on a day may name."""
    return add_months(on, 12 * MOST_YEARS)


def refusal_to_sign(
    rule: Rule, *, signer: int, person: int, roles: Iterable[str], own: Standing, is_named: bool
) -> str | None:
    """Why this signer may not sign for this person and task, as a sentence; None if they may.

    ``own`` is where the signer stands with the task on the day of signing; ``is_named``: named for it in writing.
    A naming stands in for holding the task, never for what was taken away: suspended, withdrawn, restricted.
    """
    if signer == person:
        return "Nobody signs for themself."
    if not set(rule.signed_by_roles) & set(roles):
        return f"{rule.task} is signed by: {', '.join(rule.signed_by_roles)}."
    if own.state in STOPPED:
        return f"You are {own.state} for {rule.task} yourself, so you cannot sign for it."
    if own.restrictions:
        return f"You hold {rule.task} under a restriction ({'; '.join(own.restrictions)}), so you cannot sign for it."
    if is_named or own.state.holds:
        return None
    return f"To sign for {rule.task} you must hold it or be named for it. You are: {own.state}."
