"""What the engine costs, against the bare arithmetic of the same formulas. Medians of runs that take turns."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from statistics import median
from unittest.mock import patch

import numpy as np
import pint

from assessments.engine.draws import draw, draw_many
from assessments.engine.instruments import find_instrument
from assessments.engine.methods import find_method
from assessments.engine.scenario import Scenario
from assessments.engine.scoring import Answer, Mark, key_to, score
from assessments.engine.sheets import Limit
from tests.benches.figure import Figure

DRAWS = 100_000
K = 1 - math.pi / 4
STRIP = 0.6


def scenario() -> Scenario:
    """Both ends of a liner by a squashed strip, good and bad in all ways."""
    method = find_method("squashed_strip")
    strip = find_instrument("squashed_strip_metric")
    return Scenario(
        name="bench of the engine",
        method=method,
        dims={"strip": STRIP},
        limits={
            "clearance": Limit.between(0.09, 0.15, source="invented"),
            "taper": Limit.at_most(0.02, source="invented"),
        },
        instruments={reading.name: strip for reading in method.readings},
        shares={condition.name: 1.0 for condition in method.conditions},
        asked=method.asked,
    )


def taking_turns(one: Callable[[], object], other: Callable[[], object], rounds: int) -> tuple[float, float]:
    """Median seconds of CPU of each, measured in turn: what else the machine does meets both alike.

    Not of the clock: the longer of the two would be kept waiting more often.
    """
    took: tuple[list[float], list[float]] = ([], [])
    for number in range(rounds + 3):
        for call, times in zip((one, other), took, strict=True):
            began = time.process_time()
            call()
            if number >= 3:
                times.append(time.process_time() - began)
    return median(took[0]), median(took[1])


def drawing() -> Figure:
    """100,000 draws, drawn, rounded to the instrument, worked and judged: against both widths through the formula."""
    case = scenario()
    widths = [np.random.default_rng(end).uniform(1.9, 3.2, DRAWS) for end in (1, 2)]
    area = math.pi * STRIP**2 / 4

    def bare() -> None:
        for width in widths:
            (width - np.sqrt(width**2 - 4 * K * area)) / (2 * K)

    ours, theirs = taking_turns(lambda: draw_many(case, DRAWS), bare, 40)
    return Figure(
        name="engine: 100,000 draws against the bare formula",
        ratio=ours / theirs,
        limit=6,
        detail=f"{ours * 1e3:.2f} ms against {theirs * 1e3:.2f} ms",
    )


def by_hand(first: float, second: float, strip: float) -> tuple[float, ...]:
    """One working of method 1 in straight lines of plain floats."""
    area = math.pi * strip * strip / 4
    governor = (first - math.sqrt(first * first - 4 * K * area)) / (2 * K)
    coupling = (second - math.sqrt(second * second - 4 * K * area)) / (2 * K)
    mean = (governor + coupling) / 2
    taper = abs(governor - coupling)
    tightest = min(governor, coupling)
    loosest = max(governor, coupling)
    return area, governor, coupling, mean, taper, tightest, loosest


def _scored(what: str, off: float, limit: float) -> Figure:
    """An answer with every result wrong, each compared with every slip; off: by how much each reading is wrong too."""
    case = scenario()
    key = key_to(case, next(one for one in (draw(case, seed) for seed in range(99)) if not one.oddity))
    answer = Answer(
        readings={name: reading + off for name, reading in key.draw.readings.items()},
        results={name: key.values[name] * 1.7 + 0.011 for name in case.asked},
        verdict=next(verdict for verdict in case.method.verdict_words if verdict not in key.verdicts),
        action=next(iter(key.accepting)),
    )
    results = [part for part in score(key, answer).parts if part.name in case.asked]
    if any(part.mark is not Mark.WRONG or part.slips for part in results):
        raise RuntimeError("each result of this answer is to be wrong and no slip's, so that it is compared with all")
    numbers = (*key.draw.readings.values(), STRIP)

    def ours() -> None:
        for _ in range(20):
            score(key, answer)

    def theirs() -> None:
        for _ in range(200):
            by_hand(*numbers)

    with patch.object(pint.Quantity, "__new__", side_effect=RuntimeError("scoring reached pint")):
        mine, plain = taking_turns(ours, theirs, 100)
    mine, plain = mine / 20, plain / 200
    return Figure(
        name=f"engine: scoring {what}",
        ratio=mine / plain,
        limit=limit,
        detail=f"{mine * 1e6:.1f} µs against {plain * 1e6:.2f} µs of plain arithmetic, no pint inside",
    )


def scoring() -> Figure:
    """One wrong answer, with every slip compared."""
    return _scored("a wrong answer", 0.0, 40)


def scoring_misread() -> Figure:
    """The same with every reading wrong too: each slip is worked again from the learner's own readings."""
    return _scored("a wrong answer to wrong readings", 0.3, 120)


BENCHES = [drawing, scoring, scoring_misread]
