"""Issuing scenarios. A scenario that cannot be fair is refused before anyone meets it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import Max

from assessments.engine.draws import Spread, remedy, spread
from assessments.engine.errors import BadScenarioError, OutOfRangeError, UnfairScenarioError
from assessments.scenarios.adapters import engine_scenario
from assessments.scenarios.models import Scenario, ScenarioRevision
from courses.machines.models import SheetRevision
from courses.people.models import Person
from courses.tasks.models import Task


class RevisionMovedOnError(Exception):
    """Somebody issued a revision meanwhile. `latest` is that revision."""

    def __init__(self, latest: ScenarioRevision) -> None:
        self.latest = latest
        super().__init__(f"Revision {latest.number} was issued meanwhile by {latest.issued_by}.")


PREVIEW = 2000
"""How many draws an instructor's preview, and the check at issuing, look at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RevisionDraft:
    """A revision before it is issued; the fields are those of ScenarioRevision."""

    title: str
    situation: str
    method: str
    sheet: SheetRevision
    instruments: dict[str, str]
    shares: dict[str, float]
    dims: dict[str, Any] = field(default_factory=dict)
    limits: dict[str, str] = field(default_factory=dict)
    asked: list[str] = field(default_factory=list)
    reach: float = 0.6
    reading_steps: float = 0.5
    carrying: str = "worst case"
    units: str = "mm"


def try_out(*, scenario: Scenario, draft: RevisionDraft) -> tuple[ScenarioRevision, Spread]:
    """The next revision as it would be, unsaved, and how its draws lie.

    Raises an EngineError whose sentence says what would do: UnfairScenarioError for a scenario that is not fair.
    """
    latest = scenario.revisions.aggregate(latest=Max("number"))["latest"] if scenario.pk else None
    revision = ScenarioRevision(scenario=scenario, number=(latest or 0) + 1, **_fields(draft))
    built = engine_scenario(revision)
    try:
        lies = spread(built, PREVIEW)
    except OutOfRangeError as error:
        raise BadScenarioError(scenario=revision.stream, reason=f"{error} {remedy(built)}") from error
    if lies.astray:
        words = " and ".join(f"“{built.method.condition(name).words}”" for name in lies.astray)
        reason = f"Cases of {words} come out with another verdict than they are drawn for. {remedy(built)}"
        raise BadScenarioError(scenario=revision.stream, reason=reason)
    if built.method.verdict_words and lies.is_given_away:
        words = built.method.verdict_words[lies.commonest]
        reason = (
            f"In {lies.verdicts[lies.commonest]:.0%} of the draws “{words}” is right: whoever always says so passes "
            "without looking. Give the other cases a larger share."
        )
        raise BadScenarioError(scenario=revision.stream, reason=reason)
    if not lies.is_fair:
        raise UnfairScenarioError(
            scenario=revision.stream, tried=lies.count, remedy=remedy(built), fair_share=lies.fair_share
        )
    return revision, lies


def draft_of(revision: ScenarioRevision) -> RevisionDraft:
    """An issued revision as a draft, to make the next one from."""
    return RevisionDraft(**{name: getattr(revision, name) for name in RevisionDraft.__dataclass_fields__})


def _fields(draft: RevisionDraft) -> dict[str, Any]:
    return {name: getattr(draft, name) for name in draft.__dataclass_fields__}


@transaction.atomic
def add_scenario(*, slug: str, task: Task, draft: RevisionDraft, by: Person, reason: str, at: datetime) -> Scenario:
    """A new scenario with its first revision, open for drills. Raises an EngineError or ValidationError."""
    scenario = Scenario(slug=slug, task=task)
    scenario.full_clean()
    scenario.save()
    scenario.current = issue_revision(scenario=scenario, draft=draft, by=by, reason=reason, at=at)
    scenario.is_open = True
    scenario.full_clean()
    scenario.save()
    return scenario


@transaction.atomic
def issue_revision(
    *, scenario: Scenario, draft: RevisionDraft, by: Person, reason: str, at: datetime, after: int | None = None
) -> ScenarioRevision:
    """Issue the next revision and make it the current one. Raises UnfairScenarioError and other EngineErrors.

    after: the number of the revision it was made from. If another has been issued since,
    RevisionMovedOnError is raised, unless it is this very one sent twice.
    """
    scenario = Scenario.objects.select_for_update().get(pk=scenario.pk)
    last = scenario.revisions.select_related("issued_by", "sheet").order_by("-number").first()
    if last is not None and after is not None and after != last.number:
        is_sent_twice = last.issued_by_id == by.pk and last.reason == reason and draft_of(last) == draft
        if is_sent_twice:
            return last
        raise RevisionMovedOnError(last)
    revision, lies = try_out(scenario=scenario, draft=draft)
    revision.fair_share = lies.fair_share
    revision.reason = reason
    revision.issued_at = at
    revision.issued_by = by
    revision.full_clean()
    revision.save()
    scenario.current = revision
    scenario.full_clean()
    scenario.save()
    return revision


@transaction.atomic
def close_scenario(*, scenario: Scenario) -> None:
    """Take a scenario out of drills; what was worked stays."""
    Scenario.objects.filter(pk=scenario.pk).update(is_open=False)


@transaction.atomic
def reopen_scenario(*, scenario: Scenario) -> None:
    """Put a scenario back into drills."""
    Scenario.objects.filter(pk=scenario.pk, current__isnull=False).update(is_open=True)
