"""Method 6: the gap between blades and nozzles, at four positions of the rotor.

The rotor is pushed against its locating face, the same way each time, and the gap is measured at one marked place
while the rotor is turned by quarters. The least of the four is what keeps blades off nozzles; the greatest less the
least is how far the wheel runs out sideways. The first position is measured once more at the end: if it does not
repeat, the rotor was not pushed home each time, and none of the gaps counts. A gap of about 1/16 in, and pushing the
same way each time: common practice, no source; Collins, Steam Turbines (1909), gives 0.060 to 0.080 in for one first
stage, for the scale of it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from operator import itemgetter

from assessments.engine.arithmetic import greatest, least, side, size_of, where
from assessments.engine.kinds import Values
from assessments.engine.method import Action, Aim, Band, Condition, Line, Method, Numbers, Reading, Rule, Slip
from assessments.engine.plausible import need_numbers, need_sizes
from assessments.engine.verdicts import Held, Verdict

POSITIONS = tuple(f"position_{number}" for number in range(1, 5))
BACK = "back"

_ASIDE = (
    0.3  # how far a quarter position may lie from midway between the widest and the narrowest, as a part of the spread
)


def check(readings: Numbers, dims: Numbers) -> None:
    need_numbers(dims)
    need_sizes(readings)


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """Five gaps behind the middle of the widest and the narrowest, their spread, and a rotor pushed home so well.

    chance: the widest position, how the two beside it lie, and which way the repeat strays.
    """
    del dims
    wide = chance[0] * 4 // 1
    aside = (chance[1] - 0.5) * _ASIDE
    # By quarters from the widest: half the spread over the middle, beside it, half under it, beside it.
    parts = (0.5, aside, -0.5, -aside)
    gaps = []
    for place in range(4):
        step = (place - wide) % 4
        part = where(step == 0, parts[0], where(step == 1, parts[1], where(step == 2, parts[2], parts[3])))
        gaps.append(aims["gap"] + part * aims["spread"])
    return {**dict(zip(POSITIONS, gaps, strict=True)), BACK: gaps[0] + side(chance[2]) * aims["repeat"]}


_each: Callable[[Numbers], tuple[Values, ...]] = itemgetter(*POSITIONS)


def _least(values: Numbers) -> Values:
    return least(*_each(values))


def _greatest(values: Numbers) -> Values:
    return greatest(*_each(values))


def _mean(values: Numbers) -> Values:
    first, second, third, fourth = _each(values)
    return (first + second + third + fourth) / 4


def _opposite(one: str, other: str) -> Rule:
    return lambda values: size_of(values[one] - values[other])


_EVERY = "P1, P2, P3, P4"
_SHIM = "reset_rotor"
METHOD = Method(
    number=6,
    name="blade_gap",
    title="Gap between blades and nozzles",
    purpose="Whether the wheel stands clear of its nozzles all the way round, and runs true sideways.",
    readings=(
        *(
            Reading(
                name=name,
                symbol=f"P{number}",
                label=f"Gap, rotor position {number}",
                where=(
                    "at the marked place, rotor pushed against its locating face"
                    if number == 1
                    else f"at the same place, rotor turned {number - 1}/4 of a turn and pushed the same way"
                ),
                families=("feeler_leaves", "bevel_taper_gauge"),
            )
            for number, name in enumerate(POSITIONS, start=1)
        ),
        Reading(
            name=BACK,
            symbol="P5",
            label="Gap, position 1 once more",
            where="at the same place after the whole turn, rotor pushed the same way",
            families=("feeler_leaves", "bevel_taper_gauge"),
        ),
    ),
    dims=(),
    lines=(
        Line(
            name="repeat_error",
            symbol="q",
            label="Position 1 repeats within",
            formula="|P5 − P1|",
            rule=lambda values: size_of(values[BACK] - values["position_1"]),
            least=0.0,
        ),
        Line(name="least", symbol="gmin", label="Least gap", formula=f"least of {_EVERY}", rule=_least, least=0.0),
        Line(
            name="greatest",
            symbol="gmax",
            label="Greatest gap",
            formula=f"greatest of {_EVERY}",
            rule=_greatest,
            least=0.0,
        ),
        Line(
            name="spread",
            symbol="s",
            label="Spread round the turn",
            formula="gmax − gmin",
            rule=lambda values: values["greatest"] - values["least"],
        ),
    ),
    limits={
        "gap": "Gap between blades and nozzles",
        "spread": "Spread round the turn",
        "repeat": "Repeat of position 1",
    },
    held=(
        Held(result="least", limit="gap"),
        Held(result="greatest", limit="gap"),
        Held(result="spread", limit="spread", above=Verdict.FORM),
        Held(result="repeat_error", limit="repeat", above=Verdict.VOID),
    ),
    aims=(
        Aim(name="gap", limit="gap"),
        Aim(name="spread", limit="spread"),
        Aim(name="repeat", limit="repeat"),
    ),
    conditions=(
        Condition(
            name="good",
            words="a wheel that stands clear and runs true",
            bands={"gap": Band.WELL_INSIDE, "repeat": Band.WELL_INSIDE},
        ),
        Condition(name="close", words="too close all the way round", bands={"gap": Band.BELOW}),
        Condition(name="wide", words="too wide all the way round", bands={"gap": Band.ABOVE}),
        Condition(
            name="close_place",
            words="too close at one position though the mean is inside",
            bands={"gap": Band.JUST_INSIDE_LOW, "spread": Band.JUST_INSIDE_HIGH, "repeat": Band.WELL_INSIDE},
        ),
        Condition(
            name="runs_out",
            words="clear in size, but running out sideways",
            bands={"gap": Band.WELL_INSIDE, "spread": Band.ABOVE, "repeat": Band.WELL_INSIDE},
        ),
        Condition(
            name="not_pushed",
            words="a rotor not pushed home each time: position 1 does not repeat",
            bands={"repeat": Band.ABOVE},
        ),
    ),
    asked=("least", "spread", "repeat_error"),
    check=check,
    simulate=simulate,
    chances=3,
    slips=(
        Slip(
            name="mean_taken",
            says="The mean was taken. Blades touch at the least gap, not at the mean: hold the least against the sheet.",
            rules={"least": _mean, "greatest": _mean, "spread": lambda values: _greatest(values) - _least(values)},
        ),
        Slip(
            name="first_position_alone",
            says="The first position alone was taken. A wheel may run out: the least of all four positions counts.",
            rules={"least": lambda values: values["position_1"]},
        ),
        Slip(
            name="greatest_for_least",
            says="The greatest gap was taken for the least. What must not touch is held at its narrowest place.",
            rules={"least": _greatest, "greatest": _least, "spread": lambda values: _greatest(values) - _least(values)},
        ),
        Slip(
            name="one_pair_of_opposites",
            says="Only positions 1 and 3 were compared. The spread is the greatest less the least of all four.",
            rules={"spread": _opposite("position_1", "position_3")},
        ),
        Slip(
            name="other_pair_of_opposites",
            says="Only positions 2 and 4 were compared. The spread is the greatest less the least of all four.",
            rules={"spread": _opposite("position_2", "position_4")},
        ),
        Slip(
            name="spread_halved",
            says="The spread was halved. The sheet holds it as it is measured: the greatest less the least.",
            rules={"spread": lambda values: (values["greatest"] - values["least"]) / 2},
        ),
        Slip(
            name="repeat_mixed_in",
            says="The repeat was counted as a fifth position. It only tests whether the rotor was pushed home each time.",
            rules={
                "least": lambda values: least(*_each(values), values[BACK]),
                "greatest": lambda values: greatest(*_each(values), values[BACK]),
            },
        ),
    ),
    verdict_words={
        Verdict.INSIDE: "inside the sheet",
        Verdict.LOW: "too close",
        Verdict.HIGH: "too wide",
        Verdict.FORM: "runs out sideways",
        Verdict.VOID: "void: the rotor was not pushed the same way",
    },
    actions={
        Verdict.INSIDE: Action(
            name="record",
            words="write all gaps on the sheet, with which way the rotor was pushed, and go on",
            because="The least and the greatest gap lie inside, the wheel runs true, and the first position repeated.",
            is_accepting=True,
        ),
        Verdict.LOW: Action(
            name=_SHIM,
            words="do not close up; check the locating bearing and set the rotor's place again",
            because="Blades that touch nozzles at running heat and thrust are torn off.",
        ),
        Verdict.HIGH: Action(
            name=_SHIM,
            words="do not close up; check the locating bearing and set the rotor's place again",
            because="A wide gap on one side is a narrow one on the other, and steam blows past the blades.",
        ),
        Verdict.FORM: Action(
            name="find_cause",
            words="stop, measure the wheel's side with a dial and ask",
            because="A wheel that runs out sideways is loose, cocked or bent; moving the rotor along does not mend it.",
        ),
        Verdict.VOID: Action(
            name="repeat",
            words="push the rotor home the same way each time and measure all positions again",
            because="The rotor's end float is as large as what is looked for: where it lay is measured instead of the wheel.",
        ),
    },
    caution=(
        "Steam isolated, locked and drained, and the rotor unable to roll by itself, as the site's procedure says. Blade edges cut. Turn "
        "and push only when every hand is out, on a spoken word; never pry on blades or shrouds."
    ),
    source="Pushed the same way, least gap counts, about 1/16 in: common practice, no source; Collins, Steam Turbines (1909), for scale.",
)
