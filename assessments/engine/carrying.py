"""How far a result may stray when every reading may stray by its tolerance, and what verdicts that allows.

The readings are moved to the corners of the box that their tolerances span; GUM speaks of the same box as
rectangular limits (JCGM 100:2008, 4.3.7). That the corners are enough holds for every kind of result there is here:

- One that rises, or falls, with each reading by itself, whatever the others are (a clearance by a strip, the
  tighter of two, a least bore less a greatest journal): going along one reading after the other, both its
  extremes are found at corners.
- One that is convex (the greatest of several that are straight in the readings, less the least of them: a total
  run-out, an out-of-round, a difference without its sign) is greatest at a corner. It may be least inside the
  box, but there it lies no further under the middle than the corner on the other side lies over it. So tolerances
  are right, and so is a verdict that hangs on an upper bound. A scenario refuses lower bounds on results of
  shape; the travel of a valve, which has one, is least inside only where it is itself less than a line of the rule.
- The size of a difference of two falling curves (taper by a strip) is the greater of two that rise or fall with
  each reading: it is greatest at a corner, and it has an upper bound alone. That it is nowhere further under the
  middle than the corners reach is no theorem; the tests look for such a place and find none.
- A size known only to lie between two (a gap by feelers) is under a bound, over one or inside by its two ends, each of
  which rises with one reading; if all corners leave it undecided, so does every place between them.
- A product (a size times a temperature difference) is straight in each reading while the others stay: its extremes are
  found at corners too.
- A count (the station of the high spot) is no length and has no tolerance: see `counts`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache

import numpy as np

from assessments.engine.kinds import Array, Kind, Values
from assessments.engine.method import Line, Numbers
from assessments.engine.scenario import Carry, Scenario

_THREE_FIGURES = 200


@cache
def _corners(count: int) -> Array:
    """Shape (count, 1 + 2**count): the middle of the box first, then each of its corners."""
    bits = np.arange(2**count)[None, :] >> np.arange(count)[:, None] & 1
    at: Array = bits.astype(np.float64) * 2 - 1
    return _middle_first(at)


@cache
def _one_by_one(count: int) -> Array:
    """Shape (count, 1 + 2 * count): the middle, then each reading up alone, then each down alone."""
    alone: Array = np.concatenate([np.eye(count), -np.eye(count)], axis=1)
    return _middle_first(alone)


def _middle_first(signs: Array) -> Array:
    all_signs: Array = np.concatenate([np.zeros((len(signs), 1)), signs], axis=1)
    all_signs.setflags(write=False)
    return all_signs


def _moved(scenario: Scenario, readings: Numbers, signs: Array) -> dict[str, Values]:
    """Each reading moved by its tolerance as each column of signs says: all readings of the first column, then of the next.

    readings: floats, or arrays of one length.
    """
    return {
        name: (np.atleast_1d(readings[name])[None, :] + row[:, None] * scenario.reading_tolerance(name)).ravel()
        for name, row in zip(readings, signs, strict=True)
    }


def corners(scenario: Scenario, readings: Numbers) -> tuple[dict[str, Values], int]:
    """Sets of readings (arrays of n) as they are, then at every corner of their tolerances.

    Returns arrays of shape (m, n), flattened, the readings as they are first, and m.
    """
    signs = _corners(len(readings))
    return _moved(scenario, readings, signs), signs.shape[1]


def tolerances(scenario: Scenario, readings: Mapping[str, float]) -> dict[str, float]:
    """For each result asked, how far from the right number still follows from readings within tolerance.

    Worst case: the farthest it gets anywhere in the box. Root sum square: of how far each reading takes it alone,
    but no farther than the worst case, which it would pass where several readings share in one greatest or least.
    Places where the working cannot be done (a strip narrower than it was round) do not count.
    A result that no reading moves is right within half the finest step: nobody can use it finer. Nor has any result
    but a length to be finer than that, or, where nothing here reads its kind (an angle, a part, the stress area of a
    screw), than three figures: rounded to them in any unit it is off by one part in two hundred at most. A count is
    right or not.
    """
    around = _worked(scenario, readings, _corners(len(readings)))
    alone = _worked(scenario, readings, _one_by_one(len(readings))) if scenario.carry is Carry.ROOT_SUM_SQUARE else None
    found = {}
    for line in _asked(scenario):
        if line.kind is Kind.COUNT:
            found[line.name] = 0.0
        elif np.ndim(around[line.name]) == 0:
            found[line.name] = _fine_enough(scenario, line.kind, float(around[line.name]))
        else:
            worst = float(np.fmax.reduce(_strays(around[line.name])))  # fmax passes over what is no number
            found[line.name] = worst if alone is None else min(worst, _together(_strays(alone[line.name])))
            if line.kind is not Kind.LENGTH:
                enough = _fine_enough(scenario, line.kind, float(np.asarray(around[line.name])[0]))
                found[line.name] = max(found[line.name], enough)
    return found


def _worked(scenario: Scenario, readings: Mapping[str, float], signs: Array) -> dict[str, Values]:
    with np.errstate(invalid="ignore"):
        return scenario.method.work(_moved(scenario, readings, signs), scenario.dims)


def _strays(values: Values) -> Array:
    """How far each place is from the middle, which is the first."""
    places = np.asarray(values)
    strays: Array = np.abs(places[1:] - places[0])
    return strays


def _together(strays: Array) -> float:
    """The sum of JCGM 100:2008, 5.1.2, of tolerances instead of standard uncertainties.

    Each part by differences, as in 5.1.3, note 2, but the larger of up and down instead of their mean.
    """
    up, down = strays.reshape(2, -1)
    return math.sqrt(float(np.nansum(np.fmax(up, down) ** 2)))


def _half_the_finest_step(scenario: Scenario, kind: Kind) -> float:
    return min((one.step for one in scenario.instruments.values() if one.kind is kind), default=0.0) / 2


def _fine_enough(scenario: Scenario, kind: Kind, value: float) -> float:
    return _half_the_finest_step(scenario, kind) or abs(value) / _THREE_FIGURES


def _asked(scenario: Scenario) -> list[Line]:
    return [line for line in scenario.method.lines if line.name in scenario.asked]


def counts(scenario: Scenario, readings: Mapping[str, float]) -> dict[str, tuple[float, ...]]:
    """For each count that is asked, all that it can be with readings within tolerance, the right one first.

    A station next to the high spot in height can be taken for it; one next to it in number cannot.
    """
    lines = [line for line in _asked(scenario) if line.kind is Kind.COUNT]
    if not lines:
        return {}
    values = _worked(scenario, readings, _corners(len(readings)))
    return {line.name: tuple(dict.fromkeys(np.ravel(values[line.name]).tolist())) for line in lines}
