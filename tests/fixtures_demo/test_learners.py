"""Made-up learners answer as people do; the marks are the engine's."""

from __future__ import annotations

from random import Random

import pytest

from assessments.engine.answers import understand
from assessments.engine.draws import draw
from assessments.engine.scoring import Mark, key_to, score
from assessments.scenarios.adapters import engine_scenario
from fixtures_demo.learners import typed_accepting, typed_by, typed_rightly, typed_so_far, typed_with_slip
from tests.factories.scenarios import ScenarioRevisionFactory

pytestmark = pytest.mark.django_db
DRAWS = 60


def chance(seed):
    return Random(seed)  # noqa: S311  (the same people each time, not a secret)


@pytest.fixture
def scenario():
    return engine_scenario(ScenarioRevisionFactory(shares={"good": 2, "tight": 1, "tapered": 1, "disturbed": 1}))


def scored(scenario, drawn, typed):
    understood = understand(scenario, "mm", typed)
    assert not understood.errors
    return score(key_to(scenario, drawn), understood.answer)


def drawn_as(scenario, case):
    return next(one for one in (draw(scenario, seed) for seed in range(200)) if one.condition == case)


def share_right(scenario, skill):
    results = []
    for seed in range(DRAWS):
        one = draw(scenario, seed)
        results.append(scored(scenario, one, typed_by(scenario, one, "mm", skill=skill, chance=chance(seed))).is_right)
    return sum(results) / DRAWS


@pytest.mark.parametrize("seed", range(12))
def test_the_right_answer_is_right_in_every_part(scenario, seed):
    one = draw(scenario, seed)

    assert scored(scenario, one, typed_rightly(scenario, one, "mm")).is_right


def test_a_person_of_full_skill_makes_no_slip(scenario):
    assert share_right(scenario, 1.0) == 1


def test_less_skill_gives_fewer_right_answers(scenario):
    assert 0 < share_right(scenario, 0.6) < share_right(scenario, 0.9) < 1


def test_the_same_chance_types_the_same(scenario):
    one = draw(scenario, 3)

    first, second = (typed_by(scenario, one, "mm", skill=0.5, chance=chance(5)) for _ in range(2))

    assert first == second


def test_a_slip_typed_is_the_slip_named(scenario):
    one = drawn_as(scenario, "tapered")

    result = scored(scenario, one, typed_with_slip(scenario, one, "mm", "ends_swapped"))

    assert {slip.name for part in result.parts for slip in part.slips} == {"ends_swapped"}


@pytest.mark.parametrize("case", ["tight", "tapered", "disturbed"])
def test_accepting_a_bad_fit_is_unsafe(scenario, case):
    one = drawn_as(scenario, case)

    assert scored(scenario, one, typed_accepting(scenario, one, "mm")).is_unsafe


def test_somebody_called_away_has_typed_the_readings_alone(scenario):
    one = drawn_as(scenario, "good")

    result = scored(scenario, one, typed_so_far(scenario, one, "mm"))

    assert [part.mark for part in result.parts] == [Mark.RIGHT] * 2 + [Mark.BLANK] * 5
