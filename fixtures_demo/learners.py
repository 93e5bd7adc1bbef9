"""Made-up learners: they answer draws as people do, right most of the time, and with the engine's own slips.

Nothing here decides a mark: what they type goes through the same door as what anybody types.
"""

from __future__ import annotations

from random import Random

from assessments.engine.answers import ACTION, VERDICT, Question, questions
from assessments.engine.draws import Draw, truth
from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.quantities import show
from assessments.engine.scenario import Scenario
from assessments.engine.verdicts import Verdict, judge
from assessments.engine.working import reading_text, shown_step


def typed_by(scenario: Scenario, draw: Draw, system: str, *, skill: float, chance: Random) -> dict[str, str]:
    """What a learner of this skill types for a draw: field to text."""
    method = scenario.method
    asked = questions(scenario, system)
    verdicts = truth(scenario, draw)
    if draw.oddity and chance.random() < skill:
        return {VERDICT: Verdict.VOID.value, ACTION: method.actions[Verdict.VOID].name}
    readings = {
        question.name: _reading(scenario, draw, question, skill, chance) for question in asked if question.is_reading
    }
    slip = chance.choice(method.slips) if method.slips and chance.random() > skill else None
    values = method.work_one(readings, scenario.dims, instead=slip.rules if slip else {})
    finest = min(instrument.step for instrument in scenario.instruments.values())
    typed = {
        question.field: (
            reading_text(scenario, question.name, readings[question.name])
            if question.is_reading
            else show(values[question.name], question.unit, shown_step(scenario, finest))
        )
        for question in asked
    }
    if method.verdict_words:
        found = judge(values, scenario.limits, method.held)[0]
        if chance.random() > skill:
            found = chance.choice(list(method.verdict_words))
        elif not slip and readings == dict(draw.readings):
            found = verdicts[0]
        typed |= {VERDICT: found.value, ACTION: method.actions[found].name}
    return typed


def _reading(scenario: Scenario, draw: Draw, question: Question, skill: float, chance: Random) -> float:
    right = draw.readings[question.name]
    misreads = scenario.instruments[question.name].misreads
    # Many readings stand in one item: each goes wrong more seldom, so that the item as a whole shows the skill.
    each = skill ** (1 / len(draw.readings))
    if not misreads or chance.random() < each:
        return right
    wrong = chance.choice(misreads).wrong(right)
    readings = {**draw.readings, question.name: chance.choice(wrong) if wrong else right}
    try:
        scenario.method.check(readings, scenario.dims)
    except ImpossibleReadingError:  # a misreading that could not be worked is not typed
        return right
    return readings[question.name]
