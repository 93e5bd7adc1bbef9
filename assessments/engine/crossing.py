"""The order in which the screws of a joint are tightened: crosswise, in stages, then round.

Screws are numbered round the circle from 1. What makes an order crosswise is held by what it does, not by one list:
every second screw lies opposite the one before it, and the two pairs of a group lie a quarter of a turn apart, or as
near to that as the holes allow. So any rotation or mirror of a right order is right too, and so are the published lists
for 4, 8, 12 and 16 (groups of s, s + n/2, s + n/4, s + 3n/4; the table from memory, the list of 12 on a weak page).
With an odd number nothing lies opposite: the next screw is then one of the two that come nearest to it.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from assessments.engine.errors import BadOrderError
from assessments.engine.order import Constraint, Order

FEWEST, MOST = 4, 32

STAGES = (0.3, 0.6, 1.0)
"""Parts of the full torque after all are snug: several weak pages; 20-30, 50-70 and 100 % from memory."""


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with an order, and at which place of it (from 1). says: in a sentence."""

    name: str
    place: int
    says: str


def need_screws(count: int) -> None:
    """Raises BadOrderError for a joint of fewer or more screws than there are patterns for."""
    if not FEWEST <= count <= MOST:
        raise BadOrderError(step=str(count), reason=f"There are patterns for {FEWEST} to {MOST} screws.")


def pattern(count: int) -> tuple[int, ...]:
    """One right order for so many screws. Raises BadOrderError."""
    need_screws(count)
    if count % 2:
        return tuple(place * (count // 2) % count + 1 for place in range(count))
    half, quarter = count // 2, count // 4
    starts = [one for first in _halved(quarter) for one in (first, first + quarter)]
    # Where the holes have no quarter, one pair is left over for the end.
    starts += [half - 1] * (half % 2)
    return tuple(screw + 1 for start in starts for screw in (start, start + half))


def _halved(count: int) -> list[int]:
    """0 up to count - 1, each next one in the middle of the widest gap that is left, as far as that goes."""
    order = [0]
    while len(order) < count:
        ends = sorted([*order, count])
        gap, start = max((high - low, -low) for low, high in itertools.pairwise(ends))
        order.append(-start + gap // 2)
    return order


def faults(count: int, order: Sequence[int]) -> tuple[Fault, ...]:
    """All that is wrong with an order, first things first; nothing if it is crosswise.

    Raises BadOrderError for a number of screws that no pattern is for. Anything else is a fault, not an error.
    """
    need_screws(count)
    missing = [screw for screw in range(1, count + 1) if screw not in order]
    if missing:
        return (Fault("left_out", len(order), f"Screw {missing[0]} was left out of the round."),)
    if len(order) != count:
        return (Fault("twice", count + 1, f"There are {count} screws, and {len(order)} were named."),)
    if all(_apart(count, one, other) == 1 for one, other in itertools.pairwise(order)):
        return (Fault("round", 2, "That goes round in sequence, and walks the gasket or the cover out of true."),)
    return tuple(_star_faults(count, order) if count % 2 else _pair_faults(count, order))


def _apart(count: int, one: int, other: int) -> int:
    """Spaces between two screws, the short way round."""
    ahead = (one - other) % count
    return min(ahead, count - ahead)


def _star_faults(count: int, order: Sequence[int]) -> list[Fault]:
    return [
        Fault("not_across", place, f"Screw {other} does not lie across from screw {one}.")
        for place, (one, other) in enumerate(itertools.pairwise(order), start=2)
        if _apart(count, one, other) < count // 2
    ]


def _pair_faults(count: int, order: Sequence[int]) -> list[Fault]:
    found = []
    half = count // 2
    for place in range(0, count, 2):
        one, other = order[place : place + 2]
        if _apart(count, one, other) != half:
            found.append(Fault("not_opposite", place + 2, f"Screw {other} does not lie opposite screw {one}."))
    for place in range(0, count - 2, 4):
        one, other = order[place], order[place + 2]
        # Half a turn is the same pair: a quarter is as far apart as two pairs get.
        turned = _apart(half, one, other)
        if turned < half // 2:
            found.append(
                Fault(
                    "not_quarter", place + 3, f"Screw {other} is not a quarter of a turn from screw {one}, or as near."
                )
            )
    return found


def stage_faults(stages: Sequence[float]) -> tuple[Fault, ...]:
    """What is wrong with the parts of the full torque that a joint is taken through, one pass each; nothing if right."""
    found = []
    for place, (one, other) in enumerate(itertools.pairwise(stages), start=2):
        if not other > one:
            found.append(Fault("not_rising", place, "Each stage is higher than the one before: the last is not first."))
            break
    if not stages or abs(max(stages) - 1.0) > 1e-9 or stages[-1] != max(stages):
        found.append(Fault("not_full", len(stages), "The last stage is the full torque, no less and no more."))
    if not stages or not 0 < stages[0] <= 0.35:
        found.append(
            Fault("too_much_first", 1, "The first stage is a third of the full torque at most: it only seats.")
        )
    if len(stages) < len(STAGES):
        found.append(
            Fault("too_few", len(stages), f"It takes {len(STAGES)} stages at least to pull a joint down evenly.")
        )
    return tuple(found)


SNUG_UPRIGHT = "snug the vertical joint"
NEAREST_FIRST = "tighten the horizontal joint's screws nearest the packing cases"
REST_OF_FLAT = "tighten the rest of the horizontal joint, outwards"
TIGHT_UPRIGHT = "tighten the vertical joint"

TWO_JOINTS = Order(
    steps=(SNUG_UPRIGHT, NEAREST_FIRST, REST_OF_FLAT, TIGHT_UPRIGHT),
    constraints=(
        Constraint(
            before=SNUG_UPRIGHT,
            after=NEAREST_FIRST,
            because="Snug, the vertical joint holds the halves in line while the horizontal one is pulled down.",
        ),
        Constraint(
            before=NEAREST_FIRST,
            after=REST_OF_FLAT,
            because="The joint leaks first at the packing cases: pulled down there first, it does not gape there later.",
        ),
        Constraint(
            before=REST_OF_FLAT,
            after=TIGHT_UPRIGHT,
            because="A vertical joint that is tight already keeps the halves from coming down on each other.",
        ),
    ),
)
"""The two joints of one small turbine's case (Bloch and Geitner, Practical Machinery Management, vol. 4, p. 376-377;
the reasons are common practice, no source)."""
