"""Made-up learners: they answer draws as people do, right most of the time, and with the engine's own slips.

Nothing here decides a mark: what they type goes through the same door as what anybody types.
"""

from __future__ import annotations

from collections.abc import Mapping
from random import Random

from assessments.engine.answers import ACTION, VERDICT, questions
from assessments.engine.draws import Draw, truth
from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.method import NOTHING, Method
from assessments.engine.quantities import show
from assessments.engine.scenario import Scenario
from assessments.engine.verdicts import Verdict, judge
from assessments.engine.working import reading_text, shown_step


def typed_by(scenario: Scenario, draw: Draw, system: str, *, skill: float, chance: Random) -> dict[str, str]:
    """What a learner of this skill types for a draw: field to text."""
    method = scenario.method
    if draw.oddity and chance.random() < skill:
        return _judged(method, Verdict.VOID)
    readings = {reading.name: _reading(scenario, draw, reading.name, skill, chance) for reading in method.readings}
    slip = chance.choice(method.slips) if method.slips and chance.random() > skill else None
    values = method.work_one(readings, scenario.dims, instead=slip.rules if slip else NOTHING)
    typed = _numbers(scenario, system, readings, values)
    if method.verdict_words:
        found = judge(values, scenario.limits, method.held)[0]
        if chance.random() > skill:
            found = chance.choice(list(method.verdict_words))
        elif not slip and readings == dict(draw.readings):
            found = truth(scenario, draw)[0]
        typed |= _judged(method, found)
    return typed


def typed_rightly(scenario: Scenario, draw: Draw, system: str) -> dict[str, str]:
    """The right answer."""
    found = truth(scenario, draw)[0]
    if found is Verdict.VOID:
        return _judged(scenario.method, found)
    values = scenario.method.work_one(draw.readings, scenario.dims)
    return _numbers(scenario, system, draw.readings, values) | _judged(scenario.method, found)


def typed_with_slip(scenario: Scenario, draw: Draw, system: str, slip_name: str) -> dict[str, str]:
    """Rightly read, then worked with one of the method's slips, and judged by what came out."""
    method = scenario.method
    slip = next(slip for slip in method.slips if slip.name == slip_name)
    values = method.work_one(draw.readings, scenario.dims, instead=slip.rules)
    found = judge(values, scenario.limits, method.held)[0]
    return _numbers(scenario, system, draw.readings, values) | _judged(method, found)


def typed_accepting(scenario: Scenario, draw: Draw, system: str) -> dict[str, str]:
    """Rightly read and worked, and then accepted, whatever it is."""
    return typed_rightly(scenario, draw, system) | _judged(scenario.method, Verdict.INSIDE)


def typed_so_far(scenario: Scenario, draw: Draw, system: str) -> dict[str, str]:
    """The readings alone: somebody was called away."""
    right = typed_rightly(scenario, draw, system)
    return {field: text for field, text in right.items() if field.startswith("reading-")}


def _numbers(
    scenario: Scenario, system: str, readings: Mapping[str, float], values: Mapping[str, float]
) -> dict[str, str]:
    # Worked out two figures further than it was read, so that rounding alone makes nobody wrong.
    worked_to = shown_step(scenario, min(instrument.step for instrument in scenario.instruments.values()) / 100)
    return {
        question.field: (
            reading_text(scenario, question.name, readings[question.name])
            if question.is_reading
            else show(values[question.name], question.unit, worked_to)
        )
        for question in questions(scenario, system)
    }


def _judged(method: Method, verdict: Verdict) -> dict[str, str]:
    return {VERDICT: verdict.value, ACTION: method.actions[verdict].name}


def _reading(scenario: Scenario, draw: Draw, name: str, skill: float, chance: Random) -> float:
    right = draw.readings[name]
    misreads = scenario.instruments[name].misreads
    # Many readings stand in one item: each goes wrong more seldom, so that the item as a whole shows the skill.
    each = skill ** (1 / len(draw.readings))
    if not misreads or chance.random() < each:
        return right
    wrong = chance.choice(misreads).wrong(right)
    readings = {**draw.readings, name: chance.choice(wrong) if wrong else right}
    try:
        scenario.method.check(readings, scenario.dims)
    except ImpossibleReadingError:  # a misreading that could not be worked is not typed
        return right
    return readings[name]
