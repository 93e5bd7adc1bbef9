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
"""Characters kept of one field: twice the longest quantity that is read, so what is cut off was refused anyway."""


class ChangedMeanwhileError(Exception):
    """What is kept is no longer what was looked over: it was changed in another window or on another device."""


class UnreadableAnswerError(Exception):
    """Something typed cannot be read, so it cannot be handed in. `errors`: field to the sentence that refuses it."""

    def __init__(self, errors: Mapping[str, str]) -> None:
        self.errors = dict(errors)
        super().__init__(" ".join(self.errors.values()))


def open_attempt(*, person: Person, scenario: Scenario, revision: ScenarioRevision, seed: int, at: datetime) -> Attempt:
    """The person's open draw of a scenario: the one already open, or a fresh one from this seed.

    Raises an EngineError if the engine does not take the revision, or the seed holds no fair draw.
    """
    already = _open_one(person, scenario)
    if already is not None:
        return already
    fresh = draw(engine_scenario(revision), seed)
    attempt = Attempt(
        person=person, scenario=scenario, revision=revision, seed=seed, draw=fresh.document(), opened_at=at
    )
    attempt.clean_fields(exclude=["person", "scenario", "revision"])
    try:
        with transaction.atomic():
            attempt.save(force_insert=True)
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
def keep_typed(
    *, attempt: Attempt, typed: Mapping[str, str], at: datetime, was: Mapping[str, str] | None = None
) -> Attempt:
    """Keep what is typed so far. An attempt already handed in stays as it is.

    was: what the form held when it was opened. A field that still says that is left as it is kept, so that
    two devices with the same draw open do not blot out each other. Without it every field is taken.
    """
    row = _held(attempt)
    if not row.is_handed_in:
        said = _storable(typed)
        changed = said if was is None else {field: text for field, text in said.items() if text != was.get(field, "")}
        row.typed = {**row.typed, **changed}
        row.saved_at = at
        row.save(update_fields=["typed", "saved_at"])
    return row


def _held(attempt: Attempt) -> Attempt:
    """The row as it is now, with all that scoring needs, held until the transaction ends; only itself, not its scenario."""
    rows = Attempt.objects.select_for_update(of=("self",))
    return rows.select_related("revision__scenario", "revision__sheet").get(pk=attempt.pk)


def _storable(typed: Mapping[str, str]) -> dict[str, str]:
    # PostgreSQL stores no zero byte in JSON. A mark in its place is refused as the zero byte was; nothing would be read.
    return {field: text.replace("\x00", "\N{REPLACEMENT CHARACTER}")[:LONGEST_TYPED] for field, text in typed.items()}


@transaction.atomic
def hand_in(*, attempt: Attempt, at: datetime, looked_over: Mapping[str, str] | None = None) -> Attempt:
    """Score what is kept, once. Handed in again, it stays as it was: nothing is counted twice.

    looked_over: what was shown before it was handed in, if anybody looked.
    Raises ChangedMeanwhileError if something else is kept by now, UnreadableAnswerError if any of it cannot be read.
    """
    row = _held(attempt)
    if row.is_handed_in:
        return row
    if looked_over is not None and dict(looked_over) != row.typed:
        raise ChangedMeanwhileError
    scenario = engine_scenario(row.revision)
    understood = understand(scenario, row.revision.units, row.typed)
    if understood.errors:
        raise UnreadableAnswerError(understood.errors)
    key = key_to(scenario, Draw.of_document(row.draw))
    result = score(key, understood.answer)
    row.marked = document(key, result, understood.echoes, row.revision.units)
    row.is_right = result.is_right
    row.is_unsafe = result.is_unsafe
    row.points = result.points
    row.out_of = result.out_of
    row.handed_in_at = at
    row.clean_fields(exclude=["person", "scenario", "revision"])
    row.save(update_fields=["marked", "is_right", "is_unsafe", "points", "out_of", "handed_in_at"])
    return row
