"""What an instructor is shown before anyone meets a scenario."""

from __future__ import annotations

import numpy as np
import pytest

from assessments.engine.draws import draw, spread
from assessments.engine.methods import all_methods, find_method
from assessments.engine.scoring import Mark
from assessments.engine.verdicts import Verdict
from assessments.scenarios import previews
from assessments.scenarios.adapters import engine_scenario
from assessments.scenarios.previews import preview, preview_of, sample, verdict_lines
from tests.factories.scenarios import ScenarioRevisionFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def scenario():
    return engine_scenario(ScenarioRevisionFactory())


def test_verdicts_are_told_inside_first_and_void_last():
    found = verdict_lines(find_method("squashed_strip"))
    assert [line.words for line in found] == [
        "inside the sheet",
        "too tight",
        "too loose",
        "tapered",
        "void: the strip was disturbed",
    ]
    assert [line.is_accepting for line in found] == [True, False, False, False, False]


@pytest.mark.parametrize("method", all_methods().values(), ids=lambda method: method.name)
def test_every_method_has_an_action_for_each_of_its_verdicts(method):
    assert len(verdict_lines(method)) == len(method.verdict_words)


def test_the_shares_told_are_those_of_the_draws(scenario):
    lies = spread(scenario, 500)
    told = preview(scenario, lies, "mm")
    assert told.count == 500
    assert told.fair == previews.per_cent(lies.fair_share)
    assert [(case.words, case.asked) for case in told.cases] == [
        ("a bearing that can be closed", "44 %"),
        ("too tight all along", "22 %"),
        ("too loose all along", "22 %"),
        ("a strip that slid or turned", "11 %"),
    ]
    assert [case.as_meant for case in told.cases] == [previews.per_cent(share) for share in lies.as_meant.values()]
    assert sum(lies.verdicts.values()) == pytest.approx(1)
    assert dict(told.verdicts)["inside the sheet"] == previews.per_cent(lies.verdicts[Verdict.INSIDE])


def test_a_case_of_share_nought_is_not_told():
    revision = ScenarioRevisionFactory(shares={"good": 1.0, "tight": 0.0})
    assert [case.words for case in preview_of(revision).cases] == ["a bearing that can be closed"]


def test_held_results_come_first_with_their_limits_then_what_is_asked_besides(scenario):
    told = preview(scenario, spread(scenario, 300), "mm")
    assert [(plot.name, plot.limit_words) for plot in told.results] == [
        ("tightest", "Clearance on the diameter: 0.09 to 0.15 mm"),
        ("loosest", "Clearance on the diameter: 0.09 to 0.15 mm"),
        ("taper", "Taper along the liner: at most 0.02 mm"),
        ("c_governor", ""),
        ("c_coupling", ""),
    ]


def test_readings_are_told_within_their_instruments(scenario):
    lies = spread(scenario, 300)
    told = preview(scenario, lies, "mm").ranges
    assert [(one.reading.name, one.least, one.greatest) for one in told] == [
        (name, *lies.readings[name]) for name in ("w_governor", "w_coupling")
    ]
    assert all(one.instrument.low <= one.least <= one.greatest <= one.instrument.high for one in told)
    assert told[0].step == "0.1 mm"


def test_an_inch_scenario_is_told_in_inches(scenario):
    told = preview(scenario, spread(scenario, 200), "in")
    assert told.results[0].unit == "in"
    assert told.results[0].limit_words.endswith(" in")


def test_a_spread_is_drawn_once_for_a_revision(monkeypatch):
    revision = ScenarioRevisionFactory()
    first = preview_of(revision)
    monkeypatch.setattr(previews, "spread", lambda *_: pytest.fail("drawn again"))
    assert np.array_equal(preview_of(revision).results[0].values, first.results[0].values)


def test_only_so_many_spreads_are_kept(monkeypatch):
    monkeypatch.setattr(previews, "KEPT", 2)
    monkeypatch.setattr(previews, "_spreads", {})
    revisions = [ScenarioRevisionFactory() for _ in range(3)]
    for revision in revisions:
        preview_of(revision)
    assert list(previews._spreads) == [revision.uid for revision in revisions[1:]]


def test_the_sample_is_the_draw_of_its_seed_with_the_right_answer_marked(scenario):
    for seed in range(12):
        found = sample(scenario, seed, "mm")
        drawn = draw(scenario, seed)
        assert {one.reading.name: one.value for one in found.readings} == drawn.readings
        assert found.marked["is_right"]
        assert {part["mark"] for part in found.marked["parts"]} <= {Mark.RIGHT, Mark.NOT_COUNTED}
        assert found.oddity == drawn.oddity


def test_a_sample_of_a_single_reading_has_no_verdict():
    revision = ScenarioRevisionFactory(
        method="instrument_reading",
        dims={"low": {"value": "51", "unit": "mm"}, "high": {"value": "74", "unit": "mm"}},
        limits={},
        instruments={"reading": "outside_micrometer_metric_50"},
        shares={"anywhere": 1.0},
        asked=[],
    )
    found = sample(engine_scenario(revision), 0, "mm")
    assert found.marked["verdict_words"] == []
    assert found.readings[0].text.endswith(" mm")
