"""How far a result may stray when every reading may stray by its tolerance, and what verdicts that allows.

The readings are moved to the corners of the box that their tolerances span. A result that rises or
falls steadily with each reading, or is the greatest of such (as a total run-out or a taper is), is
greatest at a corner; GUM speaks of the same box as rectangular limits (JCGM 100:2008, 4.3.7).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache

import numpy as np

from assessments.engine.kinds import Array, Values
from assessments.engine.method import Numbers
from assessments.engine.scenario import Carry, Scenario


@cache
def _signs(count: int) -> Array:
    """Shape (count, 1 + 2**count): the middle of the box first, then each of its corners."""
    corners = (np.arange(2**count)[None, :] >> np.arange(count)[:, None] & 1) * 2.0 - 1.0
    signs = np.concatenate([np.zeros((count, 1)), corners], axis=1)
    signs.setflags(write=False)
    return signs


def box(scenario: Scenario, readings: Mapping[str, float]) -> dict[str, Array]:
    """The readings as they are, then at every corner of their tolerances: arrays of 1 + 2**n."""
    signs = _signs(len(readings))
    return {
        name: readings[name] + row * scenario.reading_tolerance(name) for name, row in zip(readings, signs, strict=True)
    }


def tolerances(scenario: Scenario, readings: Mapping[str, float]) -> dict[str, float]:
    """For each result asked, how far from the right number still follows from readings within tolerance."""
    if scenario.carry is Carry.WORST_CASE:
        values = scenario.method.work(box(scenario, readings), scenario.dims)
        return {name: _farthest(np.asarray(values[name])) for name in scenario.asked}
    return _root_sum_square(scenario, readings)


def _farthest(around: Array) -> float:
    # A result of dimensions alone is one number: no reading moves it.
    return float(np.max(np.abs(around - around[0]))) if around.ndim else 0.0


def _root_sum_square(scenario: Scenario, readings: Mapping[str, float]) -> dict[str, float]:
    method, dims = scenario.method, scenario.dims
    middle = method.work_one(readings, dims)
    squares = dict.fromkeys(scenario.asked, 0.0)
    for name, reading in readings.items():
        tolerance = scenario.reading_tolerance(name)
        up = method.work_one({**readings, name: reading + tolerance}, dims)
        down = method.work_one({**readings, name: reading - tolerance}, dims)
        for result in scenario.asked:
            squares[result] += max(abs(up[result] - middle[result]), abs(down[result] - middle[result])) ** 2
    return {name: math.sqrt(square) for name, square in squares.items()}


def half_step_corners(scenario: Scenario, readings: Numbers) -> tuple[dict[str, Values], int]:
    """Many sets of readings at once, each with the corners half a step away.

    readings: arrays of n draws. Returns arrays of shape (m, n), flattened, row 0 as read, and m.
    """
    signs = _signs(len(readings))
    moved = {
        name: (np.asarray(readings[name])[None, :] + row[:, None] * (scenario.instruments[name].step / 2)).ravel()
        for name, row in zip(readings, signs, strict=True)
    }
    return moved, signs.shape[1]
