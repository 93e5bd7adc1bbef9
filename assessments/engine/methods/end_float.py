"""Method 14: the end float of a rotor, pushed each way under a dial, and the change of shim to bring it right.

The dial stands on the end of the shaft, along it. The rotor is pushed hard to one side, to the other, and to the
first once more: the float is the greater of the first two readings less the smaller; a first side that does not
repeat was not pushed home, or the dial slipped. Change of shim = float less the float wanted: plus is shim to add,
where shims stand behind the locating bearing and take float away. Bloch and Geitner, Practical Machinery Management
for Process Plants, vol. 4, p. 388, for small general-purpose turbines: normally 0.010 to 0.018 in, never more than
0.025 in, the locating bearing replaced there.
"""

from __future__ import annotations

from collections.abc import Sequence

from assessments.engine.arithmetic import greatest, least, side, size_of
from assessments.engine.kinds import Values
from assessments.engine.method import Action, Aim, Band, Condition, Dim, Line, Method, Numbers, Reading, Rule, Slip
from assessments.engine.plausible import need_numbers, need_sizes
from assessments.engine.verdicts import Held, Verdict


def check(readings: Numbers, dims: Numbers) -> None:
    need_sizes(dims)
    need_numbers(readings)


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """A rotor pushed there, back, and there again. chance: where the dial was set, which way is plus, how the repeat strays."""
    del dims
    towards = side(chance[1])
    # Mostly the hand passes nought between the two stops.
    governor = -towards * (0.2 + 0.6 * chance[0]) * aims["float"]
    return {
        "governor": governor,
        "coupling": governor + towards * aims["float"],
        "again": governor + side(chance[2]) * aims["repeat"],
    }


def _float(values: Numbers) -> Values:
    return greatest(values["governor"], values["coupling"]) - least(values["governor"], values["coupling"])


def _excess(part: float) -> Rule:
    return lambda values: (values["float"] - values["target"]) * part


METHOD = Method(
    number=14,
    name="end_float",
    title="Rotor end float",
    purpose="How far the rotor can move along in its locating bearing, and the shim that would set it right.",
    readings=(
        Reading(
            name="governor",
            symbol="G",
            label="Rotor pushed to the governor end",
            where="dial along the shaft on its end, rotor pushed hard to the governor end",
            families=("dial_indicator",),
        ),
        Reading(
            name="coupling",
            symbol="C",
            label="Rotor pushed to the coupling end",
            where="the same dial, rotor pushed hard to the coupling end",
            families=("dial_indicator",),
        ),
        Reading(
            name="again",
            symbol="G2",
            label="Rotor pushed to the governor end again",
            where="the same dial, rotor pushed hard to the governor end once more",
            families=("dial_indicator",),
        ),
    ),
    dims=(Dim(name="target", symbol="fw", label="Float wanted"),),
    lines=(
        Line(
            name="repeat_error",
            symbol="q",
            label="Governor end repeats within",
            formula="|G2 − G|",
            rule=lambda values: size_of(values["again"] - values["governor"]),
            least=0.0,
        ),
        Line(
            name="float",
            symbol="f",
            label="End float",
            formula="(greatest of G, C) − (least of G, C)",
            rule=_float,
        ),
        Line(
            name="shim",
            symbol="s",
            label="Change of shim, plus to add",
            formula="f − fw",
            rule=_excess(1.0),
        ),
    ),
    limits={"float": "End float", "repeat": "Repeat of the governor end"},
    held=(
        Held(result="float", limit="float"),
        Held(result="repeat_error", limit="repeat", above=Verdict.VOID),
    ),
    aims=(Aim(name="float", limit="float"), Aim(name="repeat", limit="repeat")),
    conditions=(
        Condition(name="good", words="a float that can be left", bands={}),
        Condition(name="small", words="too little float", bands={"float": Band.BELOW}),
        Condition(name="large", words="too much float", bands={"float": Band.ABOVE}),
        Condition(
            name="not_home",
            words="a rotor not pushed home, or a dial that slipped: the first end does not repeat",
            bands={"repeat": Band.ABOVE},
        ),
    ),
    asked=("float", "shim"),
    check=check,
    simulate=simulate,
    chances=3,
    slips=(
        Slip(
            name="sign_lost",
            says=(
                "A minus was lost. When the hand passes nought between the two stops, they lie on both sides of it and the float is "
                "their sizes together."
            ),
            rules={"float": lambda values: size_of(size_of(values["governor"]) - size_of(values["coupling"]))},
        ),
        Slip(
            name="one_stop_alone",
            says="One reading was taken as the float. A dial that did not stand at nought at one stop needs both.",
            rules={"float": lambda values: greatest(size_of(values["governor"]), size_of(values["coupling"]))},
        ),
        Slip(
            name="float_halved",
            says="The float was halved. The sheet gives it from stop to stop, as the dial shows it.",
            rules={"float": lambda values: _float(values) / 2},
        ),
        Slip(
            name="subtracted_backwards",
            says="The greater reading was taken from the smaller. A float is a distance, never negative.",
            rules={"float": lambda values: -_float(values)},
        ),
        Slip(
            name="shim_halved",
            says="The change of shim was halved. All of the shim's thickness goes into the float, on whichever side it stands.",
            rules={"shim": _excess(0.5)},
        ),
        Slip(
            name="shim_doubled",
            says="The change of shim was doubled. A shim of so much takes so much float away, once.",
            rules={"shim": _excess(2.0)},
        ),
        Slip(
            name="shim_the_wrong_way",
            says="The float was taken from the float wanted. Too much float is taken away by adding shim: float less float wanted.",
            rules={"shim": _excess(-1.0)},
        ),
        Slip(
            name="float_as_shim",
            says="The whole float was written as the shim. Some float has to stay: add only what is over the float wanted.",
            rules={"shim": lambda values: values["float"]},
        ),
    ),
    verdict_words={
        Verdict.INSIDE: "inside the sheet",
        Verdict.LOW: "too little float",
        Verdict.HIGH: "too much float",
        Verdict.VOID: "void: not pushed home, or a dial slipped",
    },
    actions={
        Verdict.INSIDE: Action(
            name="record",
            words="write both stops and the float on the sheet and close up",
            because="The float lies inside the sheet, and the first end repeated.",
            is_accepting=True,
        ),
        Verdict.LOW: Action(
            name="take_shim_out",
            words="do not close up; find what takes the float away, set the shims and measure again",
            because="A locating bearing without float has no room for oil and heat, and burns out.",
        ),
        Verdict.HIGH: Action(
            name="examine_bearing",
            words="do not close up; examine the locating bearing, replace it or set the shims as the sheet says, and measure again",
            because="Float that has grown is worn metal, and blades come nearer to nozzles by as much; a shim alone hides a worn bearing.",
        ),
        Verdict.VOID: Action(
            name="repeat",
            words="make the dial fast, push the rotor home each way and measure again",
            because="A rotor that stopped short of its bearing shows less float than there is, and nobody knows by how much.",
        ),
    },
    caution=(
        "Steam isolated, locked and drained as the site's procedure says. Push on a spoken word, with every hand clear, against the shaft or hub and "
        "never against blades; oil the bearing first. A float near its wear limit is for whoever answers for the machine."
    ),
    source=(
        "Bloch and Geitner, Practical Machinery Management for Process Plants, vol. 4, p. 388 (0.010 to 0.018 in, never over "
        "0.025 in); shims that take float away: common practice, no source."
    ),
)
