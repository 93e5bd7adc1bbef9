"""Opening a draw, keeping what is typed, handing it in exactly once."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from django.db import IntegrityError, transaction

from assessments.drills.models import Attempt
from assessments.engine.answers import understand
from assessments.engine.draws import Draw, draw
from assessments.engine.marked import document
from assessments.engine.scoring import key_to, score
from assessments.scenarios.adapters import engine_scenario
from assessments.scenarios.models import Scenario, ScenarioRevision
from courses.people.models import Person

LONGEST_TYPED = 80
"""Characters kept of one field: longer than any quantity that is read, short enough to store thoughtlessly."""


def open_attempt(*, person: Person, scenario: Scenario, revision: ScenarioRevision, seed: int, at: datetime) -> Attempt:
    """The person's open draw of a scenario: the one already open, or a fresh one from this seed.

    Raises UnfairScenarioError if the seed holds no fair draw.
    """
    already = _open_one(person, scenario)
    if already is not None:
        return already
    fresh = draw(engine_scenario(revision), seed)
    attempt = Attempt(
        person=person, scenario=scenario, revision=revision, seed=seed, draw=fresh.document(), opened_at=at
    )
    attempt.clean_fields()
    try:
        with transaction.atomic():
            attempt.save()
    except IntegrityError:
        # The button was pressed twice, or on two devices: both get the one that came first.
        already = _open_one(person, scenario)
        if already is None:
            raise
        return already
    return attempt


def _open_one(person: Person, scenario: Scenario) -> Attempt | None:
    return Attempt.objects.filter(person=person, scenario=scenario, handed_in_at=None).first()


@transaction.atomic
def keep_typed(*, attempt: Attempt, typed: Mapping[str, str], at: datetime) -> Attempt:
    """Keep what is typed so far. An attempt already handed in stays as it is."""
    row = Attempt.objects.select_for_update().get(pk=attempt.pk)
    if not row.is_handed_in:
        row.typed = _kept(typed)
        row.saved_at = at
        row.save(update_fields=["typed", "saved_at"])
    return row


def _kept(typed: Mapping[str, str]) -> dict[str, str]:
    # PostgreSQL stores no zero byte in JSON; nobody types one.
    return {field: text.replace("\x00", "")[:LONGEST_TYPED] for field, text in typed.items()}


@transaction.atomic
def hand_in(*, attempt: Attempt, at: datetime) -> Attempt:
    """Score what was kept, once. Handed in again, it stays as it was: nothing is counted twice."""
    row = Attempt.objects.select_for_update().select_related("revision__scenario", "revision__sheet").get(pk=attempt.pk)
    if row.is_handed_in:
        return row
    scenario = engine_scenario(row.revision)
    understood = understand(scenario, row.revision.units, row.typed)
    key = key_to(scenario, Draw.of_document(row.draw))
    result = score(key, understood.answer)
    row.marked = document(key, result, understood.echoes, row.revision.units)
    row.is_right = result.is_right
    row.is_unsafe = result.is_unsafe
    row.points = result.points
    row.out_of = result.out_of
    row.handed_in_at = at
    row.full_clean(exclude=["person", "scenario", "revision"])
    row.save()
    return row
