"""Method 3: the clearance of a heavy bearing from lead wire crushed in the crown and in the joint.

Soft wire is laid across the journal near both ends of the liner, and on the joint faces on both sides of each end.
The cap is pulled down as for running, taken off, and what is left of each wire is measured. The joint wires keep the
cap up by their own thickness, so at each end: clearance = crown wire less the mean of its two joint wires (a
lead-wire case read on a weak page, so a plausibility only; the geometry is derived).

A cap pulled down unevenly leaves joint wires of uneven thickness, and a wire that was hardly thicker than the gap is
hardly crushed; neither says anything about the clearance. How uneven and how little is for the sheet or the site to
say.
"""

from __future__ import annotations

from collections.abc import Sequence

from assessments.engine.arithmetic import greatest, least, side, size_of
from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.kinds import Values
from assessments.engine.method import Action, Aim, Band, Condition, Dim, Line, Method, Numbers, Reading, Rule, Slip
from assessments.engine.plausible import need_sizes
from assessments.engine.verdicts import Held, Verdict

JOINTS = ("joint_governor_left", "joint_governor_right", "joint_coupling_left", "joint_coupling_right")
WIRES = ("crown_governor", "crown_coupling", *JOINTS)

THINNEST = 0.1
"""The thinnest a wire is drawn, as a part of what it was: the cap does not go down on the bare joint."""


def check(readings: Numbers, dims: Numbers) -> None:
    need_sizes(dims)
    need_sizes(readings)
    for name, value in readings.items():
        if not value <= dims["wire"]:
            raise ImpossibleReadingError(
                name=name,
                value=float(value),
                reason="A crushed wire cannot be thicker than it was when round: measure it again.",
            )


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """Six wires behind a mean clearance, a taper, a cap that sits so far out of level and a wire crushed so much.

    chance: which end is tight, how the cap leans (between the two sides and between the two ends), and which way.
    """
    half = side(chance[0]) * aims["taper"] / 2
    clearances = (aims["clearance"] + half, aims["clearance"] - half)
    across = side(chance[2]) * chance[1] * aims["joint"] / 2
    along = side(chance[3]) * (1 - chance[1]) * aims["joint"] / 2
    highest = greatest(clearances[0] + along, clearances[1] - along, aims["joint"] / 2)
    joint = greatest(dims["wire"] - aims["squash"] - highest, THINNEST * dims["wire"] + aims["joint"] / 2)
    heights = (
        clearances[0] + joint + along,
        clearances[1] + joint - along,
        joint + along + across,
        joint + along - across,
        joint - along + across,
        joint - along - across,
    )
    # A wire thinner than the place is not crushed at all: it stays round. And none is pressed to nothing.
    thinnest = THINNEST * dims["wire"]
    return {name: least(greatest(height, thinnest), dims["wire"]) for name, height in zip(WIRES, heights, strict=True)}


def _mean_of(*names: str) -> Rule:
    return lambda values: sum((values[name] for name in names[1:]), values[names[0]]) / len(names)


def _crown_less(crown: str, *joints: str, part: float = 1.0) -> Rule:
    mean = _mean_of(*joints)
    return lambda values: (values[crown] - mean(values)) * part


def _crown_and(crown: str, joint: str) -> Rule:
    return lambda values: values[crown] + values[joint]


def _crown(crown: str) -> Rule:
    return lambda values: values[crown]


def _ends(values: Numbers) -> tuple[Values, Values]:
    return values["c_governor"], values["c_coupling"]


def _mean(values: Numbers) -> Values:
    return (values["c_governor"] + values["c_coupling"]) / 2


def _unevenness(values: Numbers) -> Values:
    joints = [values[name] for name in JOINTS]
    return greatest(*joints) - least(*joints)


# A bad fit is met with a cap that was pulled down evenly: else nobody could tell.
_EVEN = {"joint": Band.WELL_INSIDE}
_EVERY_JOINT = "J1, J2, J3, J4"
_REFIT = "refit"
METHOD = Method(
    number=3,
    name="lead_wire",
    title="Clearance by crushed lead wire",
    purpose="The running clearance of a heavy sleeve bearing, at both ends of its liner.",
    readings=(
        *(
            Reading(
                name=f"crown_{end}",
                symbol=symbol,
                label=f"Crown wire, {end} end",
                where=f"thickness of the wire from across the top of the journal, {end} end",
                families=("outside_micrometer",),
            )
            for end, symbol in (("governor", "T1"), ("coupling", "T2"))
        ),
        *(
            Reading(
                name=name,
                symbol=f"J{number}",
                label=f"Joint wire, {name.split('_')[1]} end, {name.split('_')[2]}",
                where=f"thickness of the wire from the joint face, {name.split('_')[1]} end, {name.split('_')[2]} side",
                families=("outside_micrometer",),
            )
            for number, name in enumerate(JOINTS, start=1)
        ),
    ),
    dims=(Dim(name="wire", symbol="d", label="Diameter of the round wire"),),
    lines=(
        Line(
            name="j_governor",
            symbol="j1",
            label="Mean joint wire, governor end",
            formula="(J1 + J2) / 2",
            rule=_mean_of(*JOINTS[:2]),
            is_result=False,
        ),
        Line(
            name="j_coupling",
            symbol="j2",
            label="Mean joint wire, coupling end",
            formula="(J3 + J4) / 2",
            rule=_mean_of(*JOINTS[2:]),
            is_result=False,
        ),
        Line(
            name="c_governor",
            symbol="c1",
            label="Clearance, governor end",
            formula="T1 − j1",
            rule=lambda values: values["crown_governor"] - values["j_governor"],
        ),
        Line(
            name="c_coupling",
            symbol="c2",
            label="Clearance, coupling end",
            formula="T2 − j2",
            rule=lambda values: values["crown_coupling"] - values["j_coupling"],
        ),
        Line(name="mean", symbol="cm", label="Mean clearance", formula="(c1 + c2) / 2", rule=_mean),
        Line(
            name="taper",
            symbol="t",
            label="Taper along the liner",
            formula="|c1 − c2|",
            rule=lambda values: size_of(values["c_governor"] - values["c_coupling"]),
            least=0.0,
        ),
        Line(
            name="tightest",
            symbol="cmin",
            label="Tightest end",
            formula="least of c1, c2",
            rule=lambda values: least(*_ends(values)),
        ),
        Line(
            name="loosest",
            symbol="cmax",
            label="Loosest end",
            formula="greatest of c1, c2",
            rule=lambda values: greatest(*_ends(values)),
        ),
        Line(
            name="uneven",
            symbol="u",
            label="Joint wires, thickest less thinnest",
            formula=f"(greatest of {_EVERY_JOINT}) − (least of {_EVERY_JOINT})",
            rule=_unevenness,
            least=0.0,
        ),
        Line(
            name="crushed",
            symbol="s",
            label="The thickest wire is crushed by",
            formula=f"d − (greatest of T1, T2, {_EVERY_JOINT})",
            rule=lambda values: values["wire"] - greatest(*(values[name] for name in WIRES)),
        ),
    ),
    limits={
        "clearance": "Clearance on the diameter",
        "taper": "Taper along the liner",
        "joint": "Difference between joint wires",
        "squash": "Crushing of the thickest wire",
    },
    held=(
        Held(result="tightest", limit="clearance"),
        Held(result="loosest", limit="clearance"),
        Held(result="taper", limit="taper", above=Verdict.FORM),
        Held(result="uneven", limit="joint", above=Verdict.VOID),
        Held(result="crushed", limit="squash", below=Verdict.VOID),
    ),
    aims=(
        Aim(name="clearance", limit="clearance"),
        Aim(name="taper", limit="taper"),
        Aim(name="joint", limit="joint"),
        Aim(name="squash", limit="squash"),
    ),
    conditions=(
        Condition(name="good", words="a bearing that can be closed", bands={"taper": Band.WELL_INSIDE, **_EVEN}),
        Condition(name="tight", words="too tight all along", bands={"clearance": Band.BELOW, **_EVEN}),
        Condition(name="loose", words="too loose all along", bands={"clearance": Band.ABOVE, **_EVEN}),
        Condition(
            name="tapered",
            words="right in size, but tapered",
            bands={"clearance": Band.WELL_INSIDE, "taper": Band.ABOVE, **_EVEN},
        ),
        Condition(
            name="tight_end",
            words="one end too tight though the mean is inside",
            bands={"clearance": Band.JUST_INSIDE_LOW, "taper": Band.JUST_INSIDE_HIGH, **_EVEN},
        ),
        Condition(
            name="uneven_cap",
            words="a cap pulled down unevenly: the joint wires differ",
            bands={"joint": Band.ABOVE},
        ),
        Condition(
            name="thin_wire",
            words="a wire too thin for the place, hardly crushed",
            bands={"squash": Band.BELOW},
        ),
    ),
    asked=("c_governor", "c_coupling", "taper", "uneven"),
    check=check,
    simulate=simulate,
    chances=4,
    slips=(
        Slip(
            name="joints_ignored",
            says=(
                "The crown wire alone was taken as the clearance. The joint wires held the cap up by their own "
                "thickness: take it off."
            ),
            rules={"c_governor": _crown("crown_governor"), "c_coupling": _crown("crown_coupling")},
        ),
        Slip(
            name="joints_added",
            says="The joint wires were added to the crown wire. They held the cap up: they come off.",
            rules={
                "c_governor": _crown_and("crown_governor", "j_governor"),
                "c_coupling": _crown_and("crown_coupling", "j_coupling"),
            },
        ),
        Slip(
            name="joints_summed",
            says="Both joint wires of an end were taken off. They stand side by side: take off their mean, not their sum.",
            rules={
                "c_governor": lambda values: values["crown_governor"] - 2 * values["j_governor"],
                "c_coupling": lambda values: values["crown_coupling"] - 2 * values["j_coupling"],
            },
        ),
        *(
            Slip(
                name=f"{hand}_joint_only",
                says=f"Only the {hand} joint wire was taken off. A cap may lean: take off the mean of both sides.",
                rules={"j_governor": _crown(JOINTS[place]), "j_coupling": _crown(JOINTS[place + 2])},
            )
            for place, hand in enumerate(("left", "right"))
        ),
        Slip(
            name="other_end_s_joints",
            says="The joint wires of the other end were taken off. Each end has its own: a cap may sit lower at one end.",
            rules={
                "c_governor": _crown_less("crown_governor", *JOINTS[2:]),
                "c_coupling": _crown_less("crown_coupling", *JOINTS[:2]),
            },
        ),
        Slip(
            name="halved",
            says="The difference was halved, as if for the radius. A wire across the crown shows the whole clearance.",
            rules={
                "c_governor": _crown_less("crown_governor", *JOINTS[:2], part=0.5),
                "c_coupling": _crown_less("crown_coupling", *JOINTS[2:], part=0.5),
            },
        ),
        Slip(
            name="ends_averaged",
            says="The ends were averaged. Each end has to lie inside by itself: the shaft runs on the tight one.",
            rules={"tightest": _mean, "loosest": _mean},
        ),
    ),
    verdict_words={
        Verdict.INSIDE: "inside the sheet",
        Verdict.LOW: "too tight",
        Verdict.HIGH: "too loose",
        Verdict.FORM: "tapered",
        Verdict.VOID: "void: cap uneven, or wire not crushed",
    },
    actions={
        Verdict.INSIDE: Action(
            name="close",
            words="pick out every piece of wire, oil the journal and close the cap",
            because="Both ends lie inside the sheet, and the wires were crushed evenly: they can be believed.",
            is_accepting=True,
        ),
        Verdict.LOW: Action(
            name=_REFIT,
            words="take the liner out and refit it",
            because="A tight end runs dry and wipes; a shim or a scraper is not to be guessed at.",
        ),
        Verdict.HIGH: Action(
            name="replace",
            words="replace the liner",
            because="Metal that is gone does not come back; a loose bearing lets the rotor drop and rub.",
        ),
        Verdict.FORM: Action(
            name=_REFIT,
            words="take the liner out and refit it",
            because="A tapered bearing carries on one edge: look for dirt under the liner and for a bent seat first.",
        ),
        Verdict.VOID: Action(
            name="repeat",
            words="clean off, lay new wire of the right size, pull the cap down evenly and measure again",
            because=(
                "A leaning cap does not stand over the journal as it will run, and a wire that is hardly crushed "
                "may never have been held at both sides."
            ),
        ),
    },
    caution=(
        "Hold the cap and the rotor as the site's lifting procedure says, and keep fingers out from under the cap. Wash "
        "your hands after handling lead. Wire is usual in heavy white-metal bearings; it marks soft metal, and one navy manual "
        "(NAVEDTRA 14076 p. 3-21) forbids lead and shim stock in thin precision shells: do as the maker says. "
        "Wipe the oil off first: a film of oil falsifies the wires. Do not turn the shaft while the wire is in."
    ),
    source=(
        "A lead-wire case read on a weak page (plausibility only); geometry derived. Against it in thin shells: "
        "NAVEDTRA 14076 p. 3-21."
    ),
)
