"""Method 4: the clearance of a sleeve bearing by lifting the shaft under a dial.

One dial stands on the shaft beside the bearing, another on its housing, both upright on one fixed base. The shaft is
lifted until its dial stops: clearance = movement of the shaft less movement of the housing. That a lift under a dial
indicator finds the clearance of a bearing: Bloch and Geitner, Practical Machinery Management for Process Plants, vol.
4, p. 279; the second dial on the housing is common practice, no source. A lift that goes on after the shaft has met
the upper half lifts the housing and bends both, and a dial that does not come back when the shaft is let down has
slipped: neither can be believed.
"""

from __future__ import annotations

from collections.abc import Sequence

from assessments.engine.arithmetic import side, size_of
from assessments.engine.kinds import Values
from assessments.engine.method import Action, Aim, Band, Condition, Line, Method, Numbers, Reading, Rule, Slip
from assessments.engine.plausible import need_numbers
from assessments.engine.verdicts import Held, Verdict

ABOVE_ZERO = 0.25
"""Part of the draws in which a dial does not pass its nought on the way up."""


def check(readings: Numbers, dims: Numbers) -> None:
    need_numbers(dims)
    need_numbers(readings)


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """Two dials under a lift. chance: where each dial was set, and which way the shaft's dial strays."""
    del dims
    shaft = aims["clearance"] + aims["housing"]
    shaft_down = 0.8 * (ABOVE_ZERO - chance[0]) * shaft
    housing_down = 0.8 * (ABOVE_ZERO - chance[1]) * aims["housing"]
    return {
        "shaft_down": shaft_down,
        "shaft_up": shaft_down + shaft,
        "shaft_back": shaft_down + side(chance[2]) * aims["return"],
        "housing_down": housing_down,
        "housing_up": housing_down + aims["housing"],
    }


def _movement(of: str) -> Rule:
    return lambda values: values[f"{of}_up"] - values[f"{of}_down"]


def _signs_lost(of: str) -> Rule:
    return lambda values: size_of(size_of(values[f"{of}_up"]) - size_of(values[f"{of}_down"]))


def _up_alone(of: str) -> Rule:
    return lambda values: values[f"{of}_up"]


_GENTLE = {"housing": Band.WELL_INSIDE, "return": Band.WELL_INSIDE}
METHOD = Method(
    number=4,
    name="lift_check",
    title="Clearance by a lift check",
    purpose="The clearance of a sleeve bearing without taking its cap off.",
    readings=(
        *(
            Reading(
                name=f"{of}_{place}",
                symbol=f"{of[0].upper()}{number}",
                label=f"{of.capitalize()} dial, shaft {words}",
                where=f"{spot}, {then}",
                families=("dial_indicator",),
            )
            for of, spot in (
                ("shaft", "dial upright on top of the shaft, close beside the bearing"),
                ("housing", "dial upright on top of the bearing housing, from the same base"),
            )
            for number, place, words, then in (
                (1, "down", "down", "shaft resting on the lower half"),
                (2, "up", "lifted", "shaft lifted until its dial stops"),
            )
        ),
        Reading(
            name="shaft_back",
            symbol="S3",
            label="Shaft dial, shaft let down again",
            where="the same dial, shaft let down on the lower half again",
            families=("dial_indicator",),
        ),
    ),
    dims=(),
    lines=(
        Line(
            name="return_error",
            symbol="q",
            label="Shaft dial back, off by",
            formula="|S3 − S1|",
            rule=lambda values: size_of(values["shaft_back"] - values["shaft_down"]),
            least=0.0,
        ),
        Line(
            name="shaft",
            symbol="s",
            label="Movement of the shaft",
            formula="S2 − S1",
            rule=_movement("shaft"),
        ),
        Line(
            name="housing",
            symbol="h",
            label="Movement of the housing",
            formula="H2 − H1",
            rule=_movement("housing"),
        ),
        Line(
            name="clearance",
            symbol="c",
            label="Clearance",
            formula="s − h",
            rule=lambda values: values["shaft"] - values["housing"],
        ),
    ),
    limits={
        "clearance": "Clearance on the diameter",
        "housing": "Movement of the housing",
        "return": "Return of the shaft dial",
    },
    held=(
        Held(result="clearance", limit="clearance"),
        Held(result="housing", limit="housing", above=Verdict.VOID),
        Held(result="return_error", limit="return", above=Verdict.VOID),
    ),
    aims=(
        Aim(name="clearance", limit="clearance"),
        Aim(name="housing", limit="housing"),
        Aim(name="return", limit="return"),
    ),
    conditions=(
        Condition(name="good", words="a bearing that can stay closed", bands=_GENTLE),
        Condition(name="tight", words="too tight", bands={"clearance": Band.BELOW, **_GENTLE}),
        Condition(name="loose", words="too loose", bands={"clearance": Band.ABOVE, **_GENTLE}),
        Condition(
            name="looks_loose",
            words="inside, though the shaft's movement alone looks too much",
            bands={"clearance": Band.JUST_INSIDE_HIGH, "return": Band.WELL_INSIDE},
        ),
        Condition(name="hard_lift", words="lifted too hard: the housing came up too", bands={"housing": Band.ABOVE}),
        Condition(name="loose_dial", words="a dial that does not come back", bands={"return": Band.ABOVE}),
    ),
    asked=("shaft", "housing", "clearance"),
    check=check,
    simulate=simulate,
    chances=3,
    slips=(
        Slip(
            name="housing_ignored",
            says=(
                "The shaft's movement was written as the clearance. The housing came up with it at the end: take its "
                "movement off."
            ),
            rules={"clearance": lambda values: values["shaft"]},
        ),
        Slip(
            name="housing_added",
            says="The housing's movement was added. It came up with the shaft and is no clearance: take it off.",
            rules={"clearance": lambda values: values["shaft"] + values["housing"]},
        ),
        Slip(
            name="sign_lost",
            says=(
                "A minus was lost. When the hand passes nought on the way, the two readings lie on both sides of it and "
                "the movement is their sizes together."
            ),
            rules={"shaft": _signs_lost("shaft"), "housing": _signs_lost("housing")},
        ),
        Slip(
            name="rest_ignored",
            says=(
                "The reading with the shaft up was taken as the movement. A dial that did not stand at nought to begin with "
                "needs both readings: up less down."
            ),
            rules={"shaft": _up_alone("shaft"), "housing": _up_alone("housing")},
        ),
        Slip(
            name="subtracted_backwards",
            says="The reading lifted was taken from the reading at rest. Up less down: the shaft rises, plus.",
            rules={
                "shaft": lambda values: values["shaft_down"] - values["shaft_up"],
                "housing": lambda values: values["housing_down"] - values["housing_up"],
            },
        ),
        Slip(
            name="halved",
            says="The lift was halved. From the lower half to the upper one the shaft moves by the whole clearance.",
            rules={"clearance": lambda values: (values["shaft"] - values["housing"]) / 2},
        ),
    ),
    verdict_words={
        Verdict.INSIDE: "inside the sheet",
        Verdict.LOW: "too tight",
        Verdict.HIGH: "too loose",
        Verdict.VOID: "void: lifted too hard, or a dial slipped",
    },
    actions={
        Verdict.INSIDE: Action(
            name="record",
            words="write the clearance on the sheet and take the lifting gear off",
            because="The clearance lies inside the sheet, the housing kept still and the dial came back.",
            is_accepting=True,
        ),
        Verdict.LOW: Action(
            name="open",
            words="open the bearing and measure it with the cap off",
            because="A tight bearing runs dry and wipes; a lift cannot tell a pinched liner from dirt under it.",
        ),
        Verdict.HIGH: Action(
            name="replace",
            words="open the bearing, measure it with the cap off and replace the liner",
            because="Metal that is gone does not come back; a loose bearing lets the rotor drop and rub.",
        ),
        Verdict.VOID: Action(
            name="repeat",
            words="make both dials fast, lift again gently until the shaft dial just stops, and read again",
            because="What bends or slips is measured along with the clearance, and nobody can tell how much of it is which.",
        ),
    },
    caution=(
        "Driver isolated and locked as the site's procedure says. Lift only with gear and at a place that the site allows, a little at "
        "a time, and never with hands or feet under the shaft. Seals and blades beside the bearing have less clearance than it "
        "may have: stop at once if the lift stiffens early."
    ),
    source="Bloch and Geitner, Practical Machinery Management for Process Plants, vol. 4, p. 279; the housing dial: common practice, no source.",
)
