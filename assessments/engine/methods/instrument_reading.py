"""Method 21: one reading off the face of one instrument.

Nothing is worked out and nothing is held. What can go wrong is the reading itself, and every instrument
declares its own misreadings.
"""

from __future__ import annotations

from collections.abc import Sequence

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.kinds import Values
from assessments.engine.method import Condition, Dim, Method, Numbers, Reading
from assessments.engine.plausible import need_numbers


def check(readings: Numbers, dims: Numbers) -> None:
    need_numbers(dims)
    need_numbers(readings)
    if not dims["low"] < dims["high"]:
        raise ImpossibleReadingError(
            name="low",
            value=float(dims["low"]),
            reason="The range to draw in has to begin below its end.",
        )


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """Anywhere in the range, one place as likely as another."""
    del aims
    return {"reading": dims["low"] + (dims["high"] - dims["low"]) * chance[0]}


METHOD = Method(
    number=21,
    name="instrument_reading",
    title="Reading an instrument",
    purpose="Reading one instrument to its own step.",
    readings=(
        Reading(
            name="reading",
            symbol="R",
            label="Reading",
            where="on the bench",
            families=(
                "outside_micrometer",
                "steel_rule",
                "dial_indicator",
                "squashed_strip",
                "depth_micrometer",
                "vernier_caliper",
                "feeler_leaves",
                "bevel_taper_gauge",
                "telescoping_gauge",
            ),
        ),
    ),
    dims=(
        Dim(name="low", symbol="a", label="Least reading to draw", is_shown=False),
        Dim(name="high", symbol="b", label="Greatest reading to draw", is_shown=False),
    ),
    lines=(),
    limits={},
    held=(),
    aims=(),
    conditions=(Condition(name="anywhere", words="anywhere on the scale", bands={}),),
    asked=(),
    check=check,
    simulate=simulate,
    chances=1,
    slips=(),
    verdict_words={},
    actions={},
    caution=(
        "Wipe the instrument and check it first, at zero or on its setting standard. Never measure a part that turns, "
        "and let a hot one cool: steam parts burn."
    ),
    source="Each instrument names its own; most after US Army TM 9-243.",
)
