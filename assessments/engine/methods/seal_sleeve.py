"""Method 7: a seal sleeve about its shaft: radial gaps at four places, axial gaps at both sides.

The diametral clearance in a plane is the sum of the two opposite gaps, whatever the sleeve's place; half their
difference is how far it stands off centre in that plane; the axial float is the sum of the gaps at both sides.
Geometry of a circle in a circle (derived); off centre as half of a difference as in US Army TM 10-3930-653-14P.
"""

from __future__ import annotations

from collections.abc import Sequence

from assessments.engine.arithmetic import side, size_of
from assessments.engine.kinds import Values
from assessments.engine.method import Action, Aim, Band, Condition, Line, Method, Numbers, Reading, Rule, Slip
from assessments.engine.plausible import need_numbers, need_sizes
from assessments.engine.verdicts import Held, Verdict

RADIAL = ("top", "bottom", "left", "right")
AXIAL = ("steam_side", "outer_side")

_CLEAR = 0.15  # of a diametral clearance: the least a gap is drawn, so that a leaf goes in
_OVAL = 0.06  # how much wider one plane may be than the other, as a part of it


def check(readings: Numbers, dims: Numbers) -> None:
    need_numbers(dims)
    need_sizes(readings)


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """Six gaps behind a diametral clearance, a sleeve off centre in its worse plane, and an axial float.

    chance: which plane is worse and which way, how far off in the other and which way, oval, and how the float is shared.
    """
    del dims
    oval = _OVAL * (chance[4] - 0.5) * aims["clearance"]
    across = (aims["clearance"] + oval, aims["clearance"] - oval)
    worse, better = side(chance[1]) * aims["off_centre"], side(chance[3]) * chance[2] * aims["off_centre"]
    is_upright = (side(chance[0]) + 1) / 2
    off = (
        is_upright * worse + (1 - is_upright) * better,
        is_upright * better + (1 - is_upright) * worse,
    )
    gaps = {}
    for (first, second), clearance, stands in zip((RADIAL[:2], RADIAL[2:]), across, off, strict=True):
        gaps[first] = clearance / 2 + _within(stands, clearance)
        gaps[second] = clearance / 2 - _within(stands, clearance)
    share = 0.25 + 0.5 * chance[5]
    return {**gaps, AXIAL[0]: share * aims["float"], AXIAL[1]: (1 - share) * aims["float"]}


def _within(stands: Values, clearance: Values) -> Values:
    """Off centre no further than leaves a gap on the narrow side."""
    most = (0.5 - _CLEAR) * clearance
    return (size_of(stands + most) - size_of(stands - most)) / 2


def _sum(one: str, other: str, part: float = 1.0) -> Rule:
    return lambda values: (values[one] + values[other]) * part


def _difference(one: str, other: str, part: float = 1.0) -> Rule:
    return lambda values: size_of(values[one] - values[other]) * part


def _alone(one: str, times: float = 1.0) -> Rule:
    return lambda values: values[one] * times


_RENEW = "renew"
METHOD = Method(
    number=7,
    name="seal_sleeve",
    title="Seal sleeve, radial and axial",
    purpose="Whether a seal sleeve stands clear of its shaft, on its centre, and can float.",
    readings=(
        *(
            Reading(
                name=name,
                symbol=symbol,
                label=f"Radial gap, {name}",
                where=f"between shaft and sleeve at the {name}, shaft in its bearings",
                families=("feeler_leaves", "bevel_taper_gauge"),
            )
            for name, symbol in zip(RADIAL, ("gt", "gb", "gl", "gr"), strict=True)
        ),
        *(
            Reading(
                name=name,
                symbol=symbol,
                label=f"Axial gap, {name.replace('_', ' ')}",
                where=f"between sleeve and casing groove, {name.replace('_', ' ')}",
                families=("feeler_leaves", "bevel_taper_gauge"),
            )
            for name, symbol in zip(AXIAL, ("x1", "x2"), strict=True)
        ),
    ),
    dims=(),
    lines=(
        Line(
            name="upright",
            symbol="cv",
            label="Diametral clearance, upright",
            formula="gt + gb",
            rule=_sum("top", "bottom"),
            least=0.0,
        ),
        Line(
            name="level",
            symbol="ch",
            label="Diametral clearance, level",
            formula="gl + gr",
            rule=_sum("left", "right"),
            least=0.0,
        ),
        Line(
            name="off_upright",
            symbol="ev",
            label="Off centre, upright",
            formula="|gt − gb| / 2",
            rule=_difference("top", "bottom", 0.5),
            least=0.0,
        ),
        Line(
            name="off_level",
            symbol="eh",
            label="Off centre, level",
            formula="|gl − gr| / 2",
            rule=_difference("left", "right", 0.5),
            least=0.0,
        ),
        Line(
            name="float",
            symbol="xf",
            label="Axial float",
            formula="x1 + x2",
            rule=_sum(*AXIAL),
            least=0.0,
        ),
    ),
    limits={"clearance": "Diametral clearance", "off_centre": "Off centre", "float": "Axial float"},
    held=(
        Held(result="upright", limit="clearance"),
        Held(result="level", limit="clearance"),
        Held(result="off_upright", limit="off_centre", above=Verdict.FORM),
        Held(result="off_level", limit="off_centre", above=Verdict.FORM),
        Held(result="float", limit="float"),
    ),
    aims=(
        Aim(name="clearance", limit="clearance"),
        Aim(name="off_centre", limit="off_centre"),
        Aim(name="float", limit="float"),
    ),
    conditions=(
        Condition(name="good", words="a sleeve that can stay", bands={}),
        Condition(name="tight", words="too tight on the shaft", bands={"clearance": Band.BELOW}),
        Condition(name="worn", words="worn too wide", bands={"clearance": Band.ABOVE}),
        Condition(name="off", words="wide enough, but off centre", bands={"off_centre": Band.ABOVE}),
        Condition(name="bound", words="right about the shaft, but bound sideways", bands={"float": Band.BELOW}),
        Condition(name="slack", words="right about the shaft, but slack in its groove", bands={"float": Band.ABOVE}),
    ),
    asked=("upright", "level", "off_upright", "off_level", "float"),
    check=check,
    simulate=simulate,
    chances=6,
    slips=(
        Slip(
            name="one_gap_as_diametral",
            says="One radial gap was taken as the diametral clearance. It takes both: the two opposite gaps together.",
            rules={"upright": _alone("top"), "level": _alone("left")},
        ),
        Slip(
            name="other_gap_as_diametral",
            says="One radial gap was taken as the diametral clearance. It takes both: the two opposite gaps together.",
            rules={"upright": _alone("bottom"), "level": _alone("right")},
        ),
        Slip(
            name="one_gap_doubled",
            says="One gap was doubled. That is right only for a sleeve on its centre: add the two opposite gaps.",
            rules={"upright": _alone("top", 2.0), "level": _alone("left", 2.0)},
        ),
        Slip(
            name="gaps_averaged",
            says="The opposite gaps were averaged. Their mean is the radial clearance; on the diametral one it is their sum.",
            rules={"upright": _sum("top", "bottom", 0.5), "level": _sum("left", "right", 0.5)},
        ),
        Slip(
            name="not_halved",
            says="The difference was not halved. A sleeve moved aside takes from one gap what it gives to the other: halve it.",
            rules={"off_upright": _difference("top", "bottom"), "off_level": _difference("left", "right")},
        ),
        Slip(
            name="planes_exchanged",
            says="The planes were exchanged: top goes with bottom, left with right.",
            rules={
                "upright": _sum("left", "right"),
                "level": _sum("top", "bottom"),
                "off_upright": _difference("left", "right", 0.5),
                "off_level": _difference("top", "bottom", 0.5),
            },
        ),
        Slip(
            name="neighbours_paired",
            says="Neighbouring gaps were paired. Opposite ones belong together: top with bottom, left with right.",
            rules={
                "upright": _sum("top", "left"),
                "level": _sum("bottom", "right"),
                "off_upright": _difference("top", "left", 0.5),
                "off_level": _difference("bottom", "right", 0.5),
            },
        ),
        Slip(
            name="one_side_as_float",
            says="One axial gap was taken as the float. The sleeve can go both ways: add the gaps at both sides.",
            rules={"float": _alone(AXIAL[0])},
        ),
        Slip(
            name="sides_subtracted",
            says="The axial gaps were subtracted. Their difference is where the sleeve lies; the float is their sum.",
            rules={"float": _difference(*AXIAL)},
        ),
    ),
    verdict_words={
        Verdict.INSIDE: "inside the sheet",
        Verdict.LOW: "too tight",
        Verdict.HIGH: "too wide",
        Verdict.FORM: "off centre",
    },
    actions={
        Verdict.INSIDE: Action(
            name="close",
            words="write all six gaps on the sheet and close up",
            because="Both diametral clearances and the float lie inside, and the sleeve stands on its centre.",
            is_accepting=True,
        ),
        Verdict.LOW: Action(
            name="clean_and_refit",
            words="take the sleeve out, look for dirt, burrs and the wrong part, refit it and measure again",
            because="A tight sleeve rubs, heats the shaft on one side and bends it; a bound one cannot follow the shaft.",
        ),
        Verdict.HIGH: Action(
            name=_RENEW,
            words="replace the sleeve and measure again",
            because="Steam blows through a wide seal and along the shaft into the bearing oil.",
        ),
        Verdict.FORM: Action(
            name="centre",
            words="find why it stands off centre, centre it and measure again",
            because="A sleeve off centre rubs on its narrow side although the two gaps together are right.",
        ),
    },
    caution=(
        "Machine isolated, locked and cold before a hand goes into the gland, as the site's procedure says. Seal edges cut. Old packing "
        "and lagging about a gland may hold asbestos: leave it alone until it is known not to."
    ),
    source="Geometry, derived; off centre is half a difference: US Army TM 10-3930-653-14P.",
)
