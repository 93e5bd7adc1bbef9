"""Method 17: a gap that is set by a screw: how far to turn it, and which way.

One turn moves a screw along by the pitch of its thread (definition of pitch), so turns = change wanted / pitch, and
flats are sixths of a turn, by the corners of its hexagon. Plus opens the gap, minus closes it; which hand that is
depends on the machine, so it is tried and looked at. Such gaps on small turbines: plunger to jackscrew of the trip
1/16 in, jam nut locked; resetting lever to cam 1/16 to 1/8 in with the valve shut: Bloch and Geitner, Practical
Machinery Management for Process Plants, vol. 4, p. 395, 399.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from assessments.engine.arithmetic import size_of, where
from assessments.engine.kinds import Kind, Values
from assessments.engine.method import Action, Aim, Band, Condition, Dim, Line, Method, Numbers, Reading, Rule, Slip
from assessments.engine.plausible import need_sizes
from assessments.engine.verdicts import Held, Verdict

TURN = 2 * math.pi
"""One turn, rad: the inner unit of angles."""


def check(readings: Numbers, dims: Numbers) -> None:
    need_sizes(dims)
    need_sizes(readings)


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """The gap as it is found."""
    del dims, chance
    return {"found": aims["gap"]}


def _turns(pitch: str) -> Rule:
    return lambda values: TURN * values["change"] / values[pitch]


def _upside_down(values: Numbers) -> Values:
    """Pitch over change; nothing where there is no change, as nobody divides by nothing."""
    change = values["change"]
    is_none = size_of(change) == 0
    return where(is_none, 0.0, TURN * values["pitch"] / where(is_none, 1.0, change))


_SET = "set"
METHOD = Method(
    number=17,
    name="screw_gap",
    title="A gap set by a screw",
    purpose="How far a screw has to be turned, and which way, to bring a gap to what the sheet wants.",
    readings=(
        Reading(
            name="found",
            symbol="G",
            label="Gap found",
            where="between the screw's end and the face it meets, play taken up",
            families=("feeler_leaves", "bevel_taper_gauge"),
        ),
    ),
    dims=(
        Dim(name="wanted", symbol="W", label="Gap wanted"),
        Dim(name="pitch", symbol="p", label="Pitch of the screw"),
        Dim(name="other_pitch", symbol="po", label="Pitch of the other series in that size"),
    ),
    lines=(
        Line(
            name="gap",
            symbol="g",
            label="Gap that is held against the sheet",
            formula="G",
            rule=lambda values: values["found"],
            least=0.0,
        ),
        Line(
            name="change",
            symbol="x",
            label="Change, plus to open",
            formula="W − G",
            rule=lambda values: values["wanted"] - values["found"],
        ),
        Line(
            name="turns",
            symbol="n",
            label="Turns of the screw, plus to open",
            formula="x / p",
            rule=_turns("pitch"),
            kind=Kind.ANGLE,
            unit="turns",
        ),
        Line(
            name="flats",
            symbol="k",
            label="The same in flats, six to a turn",
            formula="6 × n",
            rule=lambda values: values["turns"],
            kind=Kind.ANGLE,
            unit="flats",
        ),
    ),
    limits={"gap": "Gap found"},
    held=(Held(result="gap", limit="gap"),),
    aims=(Aim(name="gap", limit="gap"),),
    conditions=(
        Condition(name="good", words="a gap that can be left", bands={}),
        Condition(name="small", words="too small a gap", bands={"gap": Band.BELOW}),
        Condition(name="large", words="too large a gap", bands={"gap": Band.ABOVE}),
    ),
    asked=("change", "turns", "flats"),
    check=check,
    simulate=simulate,
    chances=0,
    slips=(
        Slip(
            name="the_wrong_way",
            says="That turns it the wrong way. Gap wanted less gap found: plus opens, minus closes.",
            rules={"change": lambda values: values["found"] - values["wanted"]},
        ),
        Slip(
            name="pitch_of_the_other_series",
            says="The pitch of the other series was used. Coarse and fine screws of one size look alike: try a thread gauge.",
            rules={"turns": _turns("other_pitch")},
        ),
        Slip(
            name="whole_gap_turned",
            says="The gap found was divided by the pitch. Turn only by the change: gap wanted less gap found.",
            rules={"turns": lambda values: TURN * values["found"] / values["pitch"]},
        ),
        Slip(
            name="wanted_gap_turned",
            says="The gap wanted was divided by the pitch. Some gap is there already: turn only by the change.",
            rules={"turns": lambda values: TURN * values["wanted"] / values["pitch"]},
        ),
        Slip(
            name="upside_down",
            says="The pitch was divided by the change. One turn is one pitch: change over pitch.",
            rules={"turns": _upside_down},
        ),
        Slip(
            name="four_flats",
            says="Four flats were counted to a turn. A hexagon has six: a flat is a sixth of a turn.",
            rules={"flats": lambda values: values["turns"] * 4 / 6},
        ),
        Slip(
            name="turns_as_flats",
            says="The number of turns was written as flats. There are six flats to a turn.",
            rules={"flats": lambda values: values["turns"] / 6},
        ),
    ),
    verdict_words={
        Verdict.INSIDE: "inside the sheet",
        Verdict.LOW: "too small",
        Verdict.HIGH: "too large",
    },
    actions={
        Verdict.INSIDE: Action(
            name="lock",
            words="leave it, see that the jam nut is tight and measure once more",
            because="The gap lies inside; a jam nut that is not tight lets it wander with the machine's shaking.",
            is_accepting=True,
        ),
        Verdict.LOW: Action(
            name="open",
            words="turn the screw so far the way that opens the gap, lock it and measure again",
            because="Too small a gap can hold a trip or a valve off its seat, or trip the machine when nothing is wrong.",
        ),
        Verdict.HIGH: Action(
            name="close",
            words="turn the screw so far the way that closes the gap, lock it and measure again",
            because="Too large a gap is travel lost: a trip may come late, or not reach at all.",
        ),
    },
    caution=(
        "Close every steam valve, lock it and open the drains before a hand goes to the trip or the governor (Bloch and Geitner, vol. 4, "
        "p. 391, 399). Their springs are under load: keep fingers out of the gap. A setting of the trip is proved by the maker's and the site's own test."
    ),
    source=(
        "Pitch is the way along in one turn (definition); gaps: Bloch and Geitner, Practical Machinery Management for Process "
        "Plants, vol. 4, p. 395, 399."
    ),
)
