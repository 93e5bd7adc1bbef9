"""Method 9: the travel of the governor valve as the difference of two measurements.

The distance from the block on the stem to the packing follower is measured with the valve held on its
seat, and again with the linkage pinned; the larger less the smaller is the travel. The sheet gives its limit.
An eighth of the valve's diameter is worked beside it: common practice, no source. A valve lifted by a
quarter of its diameter opens, round its edge, as much area as its port has (pi D L = pi D^2 / 4, derived);
by an eighth, half of it.
"""

from __future__ import annotations

from collections.abc import Sequence

from assessments.engine.arithmetic import greatest, least, nearest_whole, side, size_of, where
from assessments.engine.kinds import MM_PER_INCH, Values
from assessments.engine.method import Action, Aim, Band, Condition, Dim, Line, Method, Numbers, Reading, Slip
from assessments.engine.plausible import need_sizes
from assessments.engine.verdicts import Held, Verdict

SIXTY_FOURTH = MM_PER_INCH / 64
_COARSER = (32.0, 16.0, 8.0, 4.0, 2.0, 1.0)
_CLOSE = 1e-6  # in 64ths: far under what a rule shows, far over what floats stray


def check(readings: Numbers, dims: Numbers) -> None:
    need_sizes(dims)
    need_sizes(readings)


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """chance[0] says which of the two distances is the larger, chance[1] how long the smaller is."""
    half = side(chance[0]) * aims["travel"] / 2
    middle = (0.6 + 0.3 * chance[1]) * dims["valve"] + size_of(half)
    return {"seated": middle - half, "pinned": middle + half}


def _difference(values: Numbers) -> Values:
    return values["larger"] - values["smaller"]


def _in_64ths(values: Numbers, larger: Values, smaller: Values, wrong: Values) -> Values:
    """What comes of a wrong way with fractions (64ths); the right travel where the readings are none."""
    off = size_of(larger - values["larger"] / SIXTY_FOURTH) + size_of(smaller - values["smaller"] / SIXTY_FOURTH)
    return where(off < _CLOSE, wrong * SIXTY_FOURTH, _difference(values))


def _count(length: Values) -> Values:
    return nearest_whole(length / SIXTY_FOURTH)


def _bottom(count: Values) -> Values:
    """The denominator of so many 64ths, reduced."""
    bottom: Values = 64.0
    for coarser in _COARSER:
        bottom = where(count * coarser % 64 == 0, coarser, bottom)
    return bottom


def _bottoms_added(values: Numbers) -> Values:
    larger, smaller = _count(values["larger"]), _count(values["smaller"])
    large_bottom, small_bottom = _bottom(larger), _bottom(smaller)
    top = size_of(larger * large_bottom - smaller * small_bottom) / 64
    return _in_64ths(values, larger, smaller, 64 * top / (large_bottom + small_bottom))


def _borrow_missed(values: Numbers) -> Values:
    larger, smaller = _count(values["larger"]), _count(values["smaller"])
    inches = larger // 64 - smaller // 64
    return _in_64ths(values, larger, smaller, 64 * inches + size_of(larger % 64 - smaller % 64))


_RESET = "reset"
METHOD = Method(
    number=9,
    name="valve_travel",
    title="Valve travel by difference",
    purpose="How far the governor valve can be moved off its seat by its linkage.",
    readings=(
        Reading(
            name="seated",
            symbol="S",
            label="Block to follower, valve seated",
            where="block on the valve stem to the packing follower, valve held on its seat",
            families=("steel_rule",),
        ),
        Reading(
            name="pinned",
            symbol="P",
            label="Block to follower, linkage pinned",
            where="the same two faces, linkage pinned and the governor at rest",
            families=("steel_rule",),
        ),
    ),
    dims=(Dim(name="valve", symbol="D", label="Diameter of the valve"),),
    lines=(
        Line(
            name="larger",
            symbol="xl",
            label="Larger distance",
            formula="greatest of S, P",
            rule=lambda values: greatest(values["seated"], values["pinned"]),
            is_result=False,
        ),
        Line(
            name="smaller",
            symbol="xs",
            label="Smaller distance",
            formula="least of S, P",
            rule=lambda values: least(values["seated"], values["pinned"]),
            is_result=False,
        ),
        Line(name="travel", symbol="L", label="Travel of the valve", formula="xl − xs", rule=_difference),
        Line(
            name="eighth",
            symbol="e",
            label="An eighth of the valve's diameter",
            formula="D / 8",
            rule=lambda values: values["valve"] / 8,
            least=0.0,
        ),
    ),
    limits={"travel": "Travel of the governor valve"},
    held=(Held(result="travel", limit="travel"),),
    aims=(Aim(name="travel", limit="travel"),),
    conditions=(
        Condition(name="good", words="a travel that can be locked", bands={}),
        Condition(name="short", words="too little travel", bands={"travel": Band.BELOW}),
        Condition(name="long", words="too much travel", bands={"travel": Band.ABOVE}),
    ),
    asked=("travel", "eighth"),
    check=check,
    simulate=simulate,
    chances=2,
    slips=(
        Slip(
            name="subtracted_backwards",
            says="The larger distance was taken from the smaller. A travel is the larger less the smaller, never negative.",
            rules={"travel": lambda values: values["smaller"] - values["larger"]},
        ),
        Slip(
            name="added",
            says="The two distances were added. The travel is what lies between them: subtract.",
            rules={"travel": lambda values: values["larger"] + values["smaller"]},
        ),
        Slip(
            name="one_distance",
            says="One distance was written as the travel. It takes both: valve seated, and linkage pinned.",
            rules={"travel": lambda values: values["pinned"]},
        ),
        Slip(
            name="bottoms_added",
            says=(
                "The fractions were subtracted top from top, and their bottoms added. "
                "Bring both to one bottom, 64ths, and subtract the tops only."
            ),
            rules={"travel": _bottoms_added},
        ),
        Slip(
            name="borrow_missed",
            says=(
                "The whole inches and the fractions were subtracted apart, each the smaller from the larger. "
                "Where the fraction to be taken away is the larger one, borrow an inch, 64 64ths, first."
            ),
            rules={"travel": _borrow_missed},
        ),
        Slip(
            name="quarter",
            says=(
                "That is a quarter of the diameter: the lift at which the edge opens as much as the port. "
                "The figure beside the travel is an eighth."
            ),
            rules={"eighth": lambda values: values["valve"] / 4},
        ),
        Slip(
            name="radius_for_diameter",
            says="The radius was divided by eight. The eighth is of the whole diameter.",
            rules={"eighth": lambda values: values["valve"] / 16},
        ),
    ),
    verdict_words={
        Verdict.INSIDE: "inside the sheet",
        Verdict.LOW: "too little travel",
        Verdict.HIGH: "too much travel",
    },
    actions={
        Verdict.INSIDE: Action(
            name="lock",
            words="lock the linkage and fit its cotter pins",
            because="The travel lies inside the sheet; a linkage that is not locked does not keep it.",
            is_accepting=True,
        ),
        Verdict.LOW: Action(
            name=_RESET,
            words="set the linkage again and measure both distances again",
            because="A valve that does not open far enough does not pass the steam for the load.",
        ),
        Verdict.HIGH: Action(
            name=_RESET,
            words="set the linkage again and measure both distances again",
            because="From too far open the governor may not bring the valve to its seat, and the machine can run up.",
        ),
    },
    caution=(
        "Steam isolated, locked and drained, and the trip tried, as the site's procedure says, before a hand goes to the linkage. "
        "The valve spring is under load: keep fingers out from between block and follower."
    ),
    source="Larger less smaller, against the sheet; an eighth of the diameter is common practice, no source.",
)
