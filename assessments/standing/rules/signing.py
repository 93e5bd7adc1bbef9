"""Who may sign for whom."""

from __future__ import annotations

from collections.abc import Iterable

from assessments.standing.rules.values import Rule, Standing


def refusal_to_sign(
    rule: Rule, *, signer: int, person: int, roles: Iterable[str], own: Standing, is_named: bool
) -> str | None:
    """Why this signer may not sign for this person and task, as a sentence; None if they may.

    ``own`` is where the signer stands with the task on the day of signing; ``is_named``: named for it in writing.
    """
    if signer == person:
        return "Nobody signs for themself."
    if not set(rule.signed_by_roles) & set(roles):
        return f"{rule.task} is signed by: {', '.join(rule.signed_by_roles)}."
    if is_named:
        return None
    if not own.state.holds:
        return f"To sign for {rule.task} you must hold it or be named for it. You are: {own.state}."
    if own.restrictions:
        return f"You hold {rule.task} under a restriction ({'; '.join(own.restrictions)}), so you cannot sign for it."
    return None
