"""Attempts at drills, drawn by the engine; and what a person would type for them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import factory
from factory.django import DjangoModelFactory

from assessments.drills.models import Attempt
from assessments.drills.services import hand_in, keep_typed
from assessments.engine.draws import Draw, draw
from assessments.scenarios.adapters import engine_scenario
from fixtures_demo.learners import typed_rightly
from tests.factories.people import PersonFactory
from tests.factories.scenarios import ScenarioFactory

AT = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


class AttemptFactory(DjangoModelFactory):
    """An open draw of a strip. ``case="tight"`` takes the first seed that draws such a case."""

    class Meta:
        model = Attempt

    class Params:
        case = "good"

    person = factory.SubFactory(PersonFactory)
    scenario = factory.SubFactory(ScenarioFactory)
    revision = factory.LazyAttribute(lambda row: row.scenario.current)
    seed = factory.LazyAttribute(lambda row: seed_of(row.revision, row.case))
    draw = factory.LazyAttribute(lambda row: draw(engine_scenario(row.revision), row.seed).document())
    opened_at = AT


def seed_of(revision, case):
    """The first seed that draws a case of that kind."""
    engine = engine_scenario(revision)
    return next(seed for seed in range(1000) if draw(engine, seed).condition == case)


def right_text(attempt):
    """The right answer as it is typed."""
    engine = engine_scenario(attempt.revision)
    return typed_rightly(engine, Draw.of_document(attempt.draw), attempt.revision.units)


def handed_in(attempt=None, *, typed=None, at=AT, **more):
    """An attempt handed in: rightly, unless something else was typed. `typed` can be a function of scenario, draw, units."""
    attempt = attempt or AttemptFactory(**more)
    if typed is None:
        typed = right_text(attempt)
    elif callable(typed):
        typed = typed(engine_scenario(attempt.revision), Draw.of_document(attempt.draw), attempt.revision.units)
    keep_typed(attempt=attempt, typed=typed, at=at)
    return hand_in(attempt=attempt, at=at)


def many_like(attempt, count):
    """So many more rows like one that is handed in, a minute apart, without being worked."""
    names = [field.attname for field in Attempt._meta.concrete_fields if not field.primary_key]
    said = {name: getattr(attempt, name) for name in names}
    Attempt.objects.bulk_create(
        Attempt(**{**said, "handed_in_at": attempt.handed_in_at - timedelta(minutes=number + 1)})
        for number in range(count)
    )
