"""Method 18: the load in each leg of a sling, from its angle to the horizontal.

``T = W / (n sin a)``, a counted from the horizontal, as 29 CFR 1910.184(b) defines it. On a rigid load only two legs
are counted unless the site says otherwise: the other legs of a stiff load hang slack as soon as one is a little longer.
Loads are masses, as lifting plans and sling tags have them, so that no force of gravity comes in.

A leg flatter than 30 degrees is not used. That is a verdict here and not a refusal to read: whoever practises has to
see it and say so. No scenario can set the angle lower; see `Held.floor`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from assessments.engine.arithmetic import arc_cosine, cosine, greatest, least, sine
from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.kinds import Kind, Values
from assessments.engine.method import Action, Aim, Band, Condition, Dim, Line, Method, Numbers, Reading, Slip
from assessments.engine.plausible import need_sizes
from assessments.engine.verdicts import Held, Verdict

FLATTEST = math.radians(30)
_STEEPEST = math.radians(85)
_LIGHTEST = 20.0  # kg a leg: less needs no lifting plan
_FLAT = 1e-6  # a leg that lies flat carries without bound; no division by nothing


def check(readings: Numbers, dims: Numbers) -> None:
    need_sizes(dims)
    need_sizes(readings)
    for name in ("legs", "counted"):
        if dims[name] not in {2.0, 4.0}:
            raise ImpossibleReadingError(
                name=name,
                value=float(dims[name]),
                reason="This method is for slings of two legs or four; of four, two are counted, or four if the site says so.",
            )
    if readings and not readings["spread"] < 2 * readings["leg"]:
        raise ImpossibleReadingError(
            name="spread",
            value=float(readings["spread"]),
            reason="Two legs of that length do not reach so far apart: measure legs and hook points again.",
        )


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """A load that hangs at an angle and pulls each counted leg by so much; chance[0] says how long the legs are."""
    angle = least(aims["angle"], _STEEPEST)
    leg = 1000.0 + 1500.0 * chance[0]
    return {
        "load": greatest(aims["tension"], _LIGHTEST) * _counted(dims) * sine(angle),
        "leg": leg,
        "spread": 2 * leg * cosine(angle),
    }


def _counted(values: Numbers) -> Values:
    return least(values["legs"], values["counted"])


def _angle(values: Numbers) -> Values:
    return arc_cosine(values["spread"] / 2 / values["leg"])


def _shared(values: Numbers, part: Values) -> Values:
    return values["load"] / greatest(part, _FLAT)


def _note(name: str, symbol: str, label: str, words: str, kind: Kind) -> Reading:
    return Reading(name=name, symbol=symbol, label=label, where=words, families=("written_note",), kind=kind)


METHOD = Method(
    number=18,
    name="sling_legs",
    title="Load in the legs of a sling",
    purpose="Whether each leg may carry what it is going to, at the angle it hangs at.",
    readings=(
        _note("load", "W", "Load to be lifted", "lifting plan, hook block and tackle included", Kind.MASS),
        _note("leg", "l", "Length of a leg", "from the ring to the load's hook, under tension", Kind.LENGTH),
        _note("spread", "d", "Spread", "between two hook points that lie opposite each other", Kind.LENGTH),
    ),
    dims=(
        Dim(name="legs", symbol="N", label="Legs of the sling", kind=Kind.COUNT),
        Dim(
            name="counted",
            symbol="C",
            label="Legs that may be counted (2 unless the site says otherwise)",
            kind=Kind.COUNT,
        ),
    ),
    lines=(
        Line(
            name="angle",
            symbol="α",
            label="Angle of a leg to the horizontal",
            formula="arccos (d / 2 / l)",
            rule=_angle,
            kind=Kind.ANGLE,
            least=0.0,
            unit="°",
        ),
        Line(
            name="carrying",
            symbol="n",
            label="Legs counted",
            formula="least of N, C",
            rule=_counted,
            kind=Kind.COUNT,
            least=1.0,
        ),
        Line(
            name="tension",
            symbol="T",
            label="Load in each leg",
            formula="W / (n × sin α)",
            rule=lambda values: _shared(values, values["carrying"] * sine(values["angle"])),
            kind=Kind.MASS,
            least=0.0,
        ),
    ),
    limits={"angle": "Angle of a leg to the horizontal", "tension": "Rated load of one leg, straight"},
    held=(
        Held(result="angle", limit="angle", floor=FLATTEST),
        Held(result="tension", limit="tension"),
    ),
    aims=(Aim(name="angle", limit="angle"), Aim(name="tension", limit="tension")),
    conditions=(
        Condition(name="good", words="a lift that can be made", bands={}),
        Condition(name="heavy", words="the legs are overloaded", bands={"tension": Band.ABOVE}),
        Condition(name="flat", words="the legs hang too flat, though they would carry it", bands={"angle": Band.BELOW}),
        Condition(
            name="just_flat",
            words="the legs hang only just steep enough, and are overloaded by it",
            bands={"angle": Band.JUST_INSIDE_LOW, "tension": Band.ABOVE},
        ),
    ),
    asked=("angle", "carrying", "tension"),
    check=check,
    simulate=simulate,
    chances=1,
    slips=(
        Slip(
            name="angle_from_vertical",
            says="That is the angle from the vertical. Here angles are counted from the horizontal: flat is small.",
            rules={"angle": lambda values: math.pi / 2 - _angle(values)},
        ),
        Slip(
            name="spread_not_halved",
            says="The whole spread was taken. A leg, half of the spread and the height make the triangle.",
            rules={"angle": lambda values: arc_cosine(values["spread"] / values["leg"])},
        ),
        Slip(
            name="all_legs",
            says=(
                "All legs were counted. On a rigid load two carry it and the others hang slack, unless the site's rule "
                "says otherwise."
            ),
            rules={"carrying": lambda values: values["legs"]},
        ),
        Slip(
            name="angle_forgotten",
            says="The load was divided by the legs alone. A leg that slants pulls more than its share: divide by the sine.",
            rules={"tension": lambda values: _shared(values, values["carrying"])},
        ),
        Slip(
            name="cosine_for_sine",
            says="The cosine was taken, which belongs to an angle from the vertical. From the horizontal it is the sine.",
            rules={"tension": lambda values: _shared(values, values["carrying"] * cosine(values["angle"]))},
        ),
        Slip(
            name="sine_multiplied",
            says="The share was multiplied by the sine. It is divided by it: a slanting leg pulls more, not less.",
            rules={
                "tension": lambda values: _shared(values, values["carrying"]) * sine(values["angle"]),
            },
        ),
        Slip(
            name="one_leg",
            says="The load was not shared out: it was put on one leg.",
            rules={"tension": lambda values: _shared(values, sine(values["angle"]))},
        ),
    ),
    verdict_words={
        Verdict.INSIDE: "may be lifted",
        Verdict.LOW: "too flat",
        Verdict.HIGH: "leg overloaded",
    },
    actions={
        Verdict.INSIDE: Action(
            name="lift",
            words="look the sling over, lift a hand's breadth, look again, and go on by the lifting plan",
            because="Each counted leg carries no more than its tag says, at an angle that is steep enough.",
            is_accepting=True,
        ),
        Verdict.LOW: Action(
            name="longer",
            words="do not lift: take longer legs or a spreader beam, and work it out again",
            because="Under 30 degrees a leg pulls more than twice its share, and a small error more makes it far worse.",
        ),
        Verdict.HIGH: Action(
            name="stronger",
            words="do not lift: take legs of a higher rating, or longer ones, and work it out again",
            because="A leg over its rating has used up what is kept back for wear, jerks and a load that is not where it was thought.",
        ),
    },
    caution=(
        "Lifting is for people the site has named for it, by its lifting plan. Nobody under the load, hands off the legs "
        "as they tighten, no sling without a tag. Chokers, hitches and sharp edges take off more than this reckons."
    ),
    source="29 CFR 1910.184(b) for the angle; statics for the leg's load; two legs counted is common practice, no source.",
)
