"""What every method's test does with draws of its own."""

from __future__ import annotations

import numpy as np
import pytest

from assessments.engine.draws import spread
from assessments.engine.instrument import Instrument
from assessments.engine.kinds import Kind
from assessments.engine.method import NOTHING
from assessments.engine.scenario import Scenario


def _drawn(method, *, aims, dims, count=300, seed=1):
    chance = np.random.default_rng(seed)
    drawn_aims = {name: chance.uniform(low, high, count) for name, (low, high) in aims.items()}
    return drawn_aims, method.simulate(drawn_aims, dims, [chance.random(count) for _ in range(method.chances)])


def _one(readings, index):
    return {
        name: float(np.broadcast_to(value, (index + 1,) if np.ndim(value) == 0 else np.shape(value))[index])
        for name, value in readings.items()
    }


@pytest.fixture
def drawn():
    """Aims and readings as arrays: drawn(method, aims={name: (low, high)}, dims={...})."""
    return _drawn


@pytest.fixture
def assert_floats_and_arrays_agree():
    """Every line, and every line as each slip has it, comes out of one draw as it does out of many."""

    def agree(method, readings, dims):
        for rules in (NOTHING, *(slip.rules for slip in method.slips)):
            together = method.work(readings, dims, instead=rules)
            for index in range(0, len(next(iter(readings.values()))), 7):
                alone = method.work_one(_one(readings, index), dims, instead=rules)
                for name, value in alone.items():
                    assert isinstance(value, float), name
                    assert value == pytest.approx(
                        float(np.ravel(together[name])[index if np.ndim(together[name]) else 0]), rel=1e-12, abs=1e-12
                    )

    return agree


@pytest.fixture
def assert_every_slip_shows():
    """Each slip gives another number than the right one in most draws, in a result a learner can be asked for."""

    def shows(method, readings, dims, least_share=0.3):
        right = method.work(readings, dims)
        for slip in method.slips:
            wrong = method.work(readings, dims, instead=slip.rules)
            shares = [np.mean(np.abs(wrong[line.name] - right[line.name]) > 1e-6) for line in method.results]
            assert max(shares) >= least_share, slip.name

    return shows


@pytest.fixture
def assert_lengths_scale():
    """Lengths in, lengths out: 25.4 times the machine gives 25.4 times every length."""

    def scale(method, readings, dims):
        small = method.work(readings, dims)
        large = method.work(
            {name: value * 25.4 for name, value in readings.items()},
            {name: value * 25.4 for name, value in dims.items()},
        )
        powers = {"length": 1, "area": 2, "count": 0}
        for line in method.lines:
            expected = small[line.name] * 25.4 ** powers[line.kind.value]
            assert large[line.name] == pytest.approx(expected, rel=1e-9, abs=1e-9), line.name

    return scale


class Faceless(Instrument):
    """Reads to its step, whatever it is given, and is never looked at."""

    def face(self, reading, *, ident, oddity=""):
        raise AssertionError


def _faceless(reading, *, step):
    return Faceless(
        name="faceless",
        family=reading.families[0],
        title="Faceless",
        unit="mm",
        step=step,
        graduation=step,
        low=-1000.0,
        high=1000.0,
        kind=reading.kind,
    )


@pytest.fixture
def faceless():
    """An instrument for a reading, of its first family: faceless(reading, step=0.01)."""
    return _faceless


@pytest.fixture
def assert_cases_have_the_verdict_they_are_named_for():
    """Nearly every fair draw of each kind of case comes out as `verdicts` has it, and most of them are fair.

    Lengths are read to `step`, everything else to whole units.
    """

    def named_for(method, verdicts, *, dims, limits, step, reach=0.6):
        instruments = {
            reading.name: _faceless(reading, step=step if reading.kind is Kind.LENGTH else 1.0)
            for reading in method.readings
        }
        assert {condition.name for condition in method.conditions if not condition.oddity} == set(verdicts)
        for condition, verdict in verdicts.items():
            scenario = Scenario(
                name=condition,
                method=method,
                dims=dims,
                limits=limits,
                instruments=instruments,
                shares={condition: 1.0},
                asked=method.asked,
                reach=reach,
            )
            seen = spread(scenario, 300)
            assert seen.verdicts[verdict] > 0.9, condition
            assert seen.fair_share > 0.5, condition

    return named_for
