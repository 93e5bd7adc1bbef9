"""Method 11: run-out of a hub or shaft from a dial read at eight stations round one turn.

Total run-out is the greatest reading less the least, and half of it is how far a round part is off
centre: US Army TM 10-3930-653-14P (a bend is half the reading). Sheets hold the total. Station 1 is read once more
at the end: a dial that does not come back has moved, and the whole turn does not count (makers' alignment
instructions, weak pages).

On a round part that is only off centre, opposite stations add up to the same. Where their sums are far
apart there is a burr, a dent or a flat, and half the total is no offset (derived).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from operator import itemgetter

from assessments.engine.arithmetic import cosine, greatest, least, place_of, side, size_of, where
from assessments.engine.kinds import Kind, Values
from assessments.engine.method import Action, Aim, Band, Condition, Line, Method, Numbers, Reading, Slip
from assessments.engine.plausible import need_numbers
from assessments.engine.verdicts import Held, Verdict

STATIONS = tuple(f"station_{number}" for number in range(1, 9))
BACK = "back"

BUMPS = 0.2
"""Part of the draws in which a single high spot makes the run-out, not the part's being off centre."""

_ROUND_PART = 0.2  # of the total, how much such a part runs out besides its bump
_ASIDE = 0.4 * math.pi / 4  # the high spot lies at most a fifth of the way to the next station


def check(readings: Numbers, dims: Numbers) -> None:
    need_numbers(dims)
    need_numbers(readings)


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """A dial set to zero at station 1, run round a part that runs out by a total, and not quite back to zero.

    chance: the high station, how far the high spot lies beside it, the shape, and which way the dial strays.
    """
    del dims
    total = aims["run_out"]
    high = chance[0] * 8 // 1
    aside = (chance[1] - 0.5) * _ASIDE
    waved = where(chance[2] < BUMPS, _ROUND_PART, 1.0) * total
    heights = [
        where(high == place, total, waved * (1 + cosine(math.pi / 4 * (place - high) - aside) / cosine(aside)) / 2)
        for place in range(8)
    ]
    readings = {name: height - heights[0] for name, height in zip(STATIONS, heights, strict=True)}
    readings[BACK] = side(chance[3]) * aims["return"]
    return readings


_each: Callable[[Numbers], tuple[Values, ...]] = itemgetter(*STATIONS)


def _highest(values: Numbers) -> Values:
    return greatest(*_each(values))


def _lowest(values: Numbers) -> Values:
    return least(*_each(values))


def _sizes(values: Numbers) -> tuple[Values, ...]:
    return tuple(size_of(value) for value in _each(values))


def _lowest_not_negative(values: Numbers) -> Values:
    highest = _highest(values)
    return least(*(where(value < 0, highest, value) for value in _each(values)))


def _uneven(values: Numbers) -> Values:
    each = _each(values)
    sums = [each[place] + each[place + 4] for place in range(4)]
    return greatest(*sums) - least(*sums)


_SUMS = "R1 + R5, R2 + R6, R3 + R7, R4 + R8"
_EVERY = "R1, R2, R3, R4, R5, R6, R7, R8"

METHOD = Method(
    number=11,
    name="run_out",
    title="Run-out by dial",
    purpose="Whether a coupling hub or a shaft runs true.",
    readings=(
        *(
            Reading(
                name=name,
                symbol=f"R{number}",
                label=f"Station {number}",
                where="dial set to zero here" if number == 1 else f"{number - 1}/8 of a turn on from station 1",
                families=("dial_indicator",),
            )
            for number, name in enumerate(STATIONS, start=1)
        ),
        Reading(
            name=BACK,
            symbol="R9",
            label="Back at station 1",
            where="after the whole turn, at station 1 again",
            families=("dial_indicator",),
        ),
    ),
    dims=(),
    lines=(
        Line(
            name="return_error",
            symbol="q",
            label="Back at station 1, off by",
            formula="|R9 − R1|",
            rule=lambda values: size_of(values[BACK] - values["station_1"]),
        ),
        Line(
            name="highest",
            symbol="Rmax",
            label="Greatest reading",
            formula=f"greatest of {_EVERY}",
            rule=_highest,
            is_result=False,
        ),
        Line(
            name="lowest",
            symbol="Rmin",
            label="Least reading",
            formula=f"least of {_EVERY}",
            rule=_lowest,
            is_result=False,
        ),
        Line(
            name="total",
            symbol="T",
            label="Total run-out",
            formula="Rmax − Rmin",
            rule=lambda values: values["highest"] - values["lowest"],
        ),
        Line(
            name="off_centre",
            symbol="e",
            label="Off centre, if the part is round",
            formula="T / 2",
            rule=lambda values: values["total"] / 2,
        ),
        Line(
            name="high_spot",
            symbol="n",
            label="Station of the high spot",
            formula="station that reads Rmax",
            rule=lambda values: place_of(_highest(values), *_each(values)),
            kind=Kind.COUNT,
        ),
        Line(
            name="uneven",
            symbol="u",
            label="Spread of the sums of opposite stations",
            formula=f"(greatest of {_SUMS}) − (least of {_SUMS})",
            rule=_uneven,
        ),
    ),
    limits={"run_out": "Total run-out", "return": "Return to station 1"},
    held=(
        Held(result="total", limit="run_out"),
        Held(result="return_error", limit="return", above=Verdict.VOID),
    ),
    aims=(Aim(name="run_out", limit="run_out"), Aim(name="return", limit="return")),
    conditions=(
        Condition(name="good", words="runs true", bands={}),
        Condition(name="out", words="runs out", bands={"run_out": Band.ABOVE}),
        Condition(name="loose_dial", words="a dial that does not come back", bands={"return": Band.ABOVE}),
    ),
    asked=("total", "off_centre"),
    check=check,
    simulate=simulate,
    chances=4,
    slips=(
        Slip(
            name="negatives_dropped",
            says="The readings under zero were left out. The total runs from the lowest reading to the highest, through zero.",
            rules={"lowest": _lowest_not_negative},
        ),
        Slip(
            name="sign_lost",
            says="Readings under zero were taken as if above it. A minus is the other side of zero: the distance goes through zero.",
            rules={
                "highest": lambda values: greatest(*_sizes(values)),
                "lowest": lambda values: least(*_sizes(values)),
            },
        ),
        Slip(
            name="largest_alone",
            says="The largest reading alone was taken as the total. The total is the greatest less the least.",
            rules={"total": lambda values: greatest(*_sizes(values))},
        ),
        Slip(
            name="total_halved",
            says="The total was halved. The sheet holds the total, as the dial shows it; half of it is how far off centre.",
            rules={"total": lambda values: (values["highest"] - values["lowest"]) / 2},
        ),
        Slip(
            name="not_halved",
            says="The total was written as off centre. Once round, the dial shows an offset twice: halve it.",
            rules={"off_centre": lambda values: values["total"]},
        ),
        Slip(
            name="low_spot",
            says="That is the low spot. The high spot is the station with the greatest reading, minus counting as less.",
            rules={"high_spot": lambda values: place_of(_lowest(values), *_each(values))},
        ),
    ),
    verdict_words={
        Verdict.INSIDE: "runs true",
        Verdict.HIGH: "runs out",
        Verdict.VOID: "void: the dial did not come back",
    },
    actions={
        Verdict.INSIDE: Action(
            name="record",
            words="write the readings on the sheet and go on",
            because="The total lies inside the sheet, and the dial came back to where it began.",
            is_accepting=True,
        ),
        Verdict.HIGH: Action(
            name="find_cause",
            words="go no further; clean it, look for a burr and find why it runs out",
            because=(
                "Dirt under a hub, a burr and a bent shaft look alike on the dial; "
                "aligning or balancing a part that runs out hides it and it shakes the machine."
            ),
        ),
        Verdict.VOID: Action(
            name="repeat",
            words="make the dial and its stand fast, set to zero and go round again",
            because="A dial that moved on the way round says nothing about the part, whatever it shows.",
        ),
    },
    caution=(
        "Driver isolated and locked as the site's procedure says. Turn by hand or strap, one turn the same way, and "
        "keep sleeves and fingers clear of whatever turns with it."
    ),
    source="US Army TM 10-3930-653-14P (off centre is half the reading); limits on the total as sheets give them.",
)
