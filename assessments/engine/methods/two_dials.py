"""Method 13: alignment by two dials, each carried by one shaft and reading the rim of the other.

Dial S reads the fixed hub from a bracket on the moving shaft, dial M reads the moving hub from a bracket on the fixed
shaft; the planes they touch lie a apart, and feet are counted from the plane of S. With S and M the differences top to
bottom, ``correction = ((S + M) x/a - S)/2`` (McMillan, Rotating Machinery, equations 9.1 and 9.2; the signs for these
brackets derived); as heights, ``(yS - yA) x/a - yS`` (Bloch and Geitner, Machinery Component Maintenance and Repair,
p. 203). Here the opening over the coupling's diameter stands between, so that sheet and target read as for method 12.
"""

from __future__ import annotations

from collections.abc import Sequence

from assessments.engine import alignment as shared
from assessments.engine.arithmetic import size_of
from assessments.engine.kinds import Values
from assessments.engine.method import Dim, Line, Method, Numbers, Rule, Slip
from assessments.engine.plausible import need_numbers


def check(readings: Numbers, dims: Numbers) -> None:
    need_numbers(readings)
    shared.need_setup(dims, sags=("sag_s", "sag_m"), sizes=("spacing",))


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """A shaft is put in its place, and the dials go round it."""
    shaft = shared.drawn_shaft(aims, dims, chance)
    radius = dims["across"] / 2
    up, right = shaft.at(0.0)
    # The moving shaft swings dial S and sees the fixed hub lie the other way.
    on_fixed = shared.around_rim((-up, -right), radius, dims["sag_s"])
    on_moving = shared.around_rim(shaft.at(dims["spacing"]), radius, dims["sag_m"])
    return shared.named_readings({"s": on_fixed, "m": on_moving}, aims["sums"], chance)


def _height_s(part: float = 0.5, sag: float = 1.0) -> Rule:
    return lambda values: (values["s_bottom"] - values["s_top"] - sag * values["sag_s"]) * part


def _height_m(part: float = -0.5, sag: float = 1.0) -> Rule:
    return lambda values: (values["m_bottom"] - values["m_top"] - sag * values["sag_m"]) * part


def _aside_s(part: float = 0.5) -> Rule:
    return lambda values: (values["s_left"] - values["s_right"]) * part


def _aside_m(part: float = 0.5) -> Rule:
    return lambda values: (values["m_right"] - values["m_left"]) * part


def _opening(over: str = "across", apart: str = "spacing") -> Rule:
    return lambda values: (values["height"] - values["height_m"]) * values[over] / values[apart]


def _side_opening(over: str = "across", apart: str = "spacing") -> Rule:
    return lambda values: (values["aside"] - values["aside_m"]) * values[over] / values[apart]


def _unsigned(rule: Rule) -> Rule:
    return lambda values: rule(
        {name: size_of(value) if name.startswith(("s_", "m_")) else value for name, value in values.items()}
    )


def _heights(sag: float) -> dict[str, Rule]:
    return {"height": _height_s(sag=sag), "height_m": _height_m(sag=sag)}


METHOD = Method(
    number=13,
    name="two_dials",
    title="Alignment by two dials",
    purpose="How the moving machine lies against the fixed one, and what its four feet need, from two rims.",
    readings=(
        *shared.dial_readings(
            "s", "S", "Dial S", "bracket on the moving shaft, dial pointing at the rim of the fixed hub"
        ),
        *shared.dial_readings(
            "m", "M", "Dial M", "bracket on the fixed shaft, dial pointing at the rim of the moving hub"
        ),
    ),
    dims=(
        Dim(name="spacing", symbol="a", label="Plane of dial S to plane of dial M"),
        Dim(name="sag_s", symbol="qs", label="Bar sag of dial S at the bottom on a stiff bar, zero at the top"),
        Dim(name="sag_m", symbol="qm", label="Bar sag of dial M at the bottom on a stiff bar, zero at the top"),
        *shared.dims("Diameter of the coupling", "Plane of dial S"),
    ),
    lines=(
        shared.sums_line("s", "S", "c1", "Dial S"),
        shared.sums_line("m", "M", "c2", "Dial M"),
        Line(
            name="height",
            symbol="H",
            label="Moving shaft higher in the plane of dial S by",
            formula="(Sb − St − qs) / 2",
            rule=_height_s(),
        ),
        Line(
            name="height_m",
            symbol="Hm",
            label="Moving shaft higher in the plane of dial M by",
            formula="−(Mb − Mt − qm) / 2",
            rule=_height_m(),
        ),
        Line(
            name="opening",
            symbol="W",
            label="Coupling wider at the top by",
            formula="(H − Hm) × D / a",
            rule=_opening(),
        ),
        Line(
            name="aside",
            symbol="P",
            label="Moving shaft further right in the plane of dial S by",
            formula="(Sl − Sr) / 2",
            rule=_aside_s(),
        ),
        Line(
            name="aside_m",
            symbol="Pm",
            label="Moving shaft further right in the plane of dial M by",
            formula="(Mr − Ml) / 2",
            rule=_aside_m(),
        ),
        Line(
            name="side_opening",
            symbol="V",
            label="Coupling wider at the right by",
            formula="(P − Pm) × D / a",
            rule=_side_opening(),
        ),
        *shared.FEET_LINES,
    ),
    limits=shared.LIMITS,
    held=shared.held("s", "m"),
    aims=shared.AIMS,
    conditions=shared.CONDITIONS,
    asked=shared.ASKED,
    check=check,
    simulate=simulate,
    chances=shared.CHANCES,
    slips=(
        Slip(
            name="total_not_halved",
            says="The dials' differences were not halved. Once round, a rim dial shows an offset twice.",
            rules={
                "height": _height_s(part=1.0),
                "height_m": _height_m(part=-1.0),
                "aside": _aside_s(part=1.0),
                "aside_m": _aside_m(part=1.0),
            },
        ),
        Slip(
            name="sag_other_way",
            says="The sag was taken with the wrong sign. Reading less sag is what a stiff bar would have shown.",
            rules=_heights(sag=-1.0),
        ),
        Slip(
            name="sag_left_out",
            says="The bars' sag was left out: the dials show it as if the shaft lay off.",
            rules=_heights(sag=0.0),
        ),
        Slip(
            name="sag_of_a_side",
            says="Half of the sag was taken, which is what it comes to at the sides. At the bottom it is all of it.",
            rules=_heights(sag=0.5),
        ),
        Slip(
            name="one_sign_for_both",
            says=(
                "Both dials were given the same sign. They look at each other: what one shaft sees high, "
                "the other sees low."
            ),
            rules={"height_m": _height_m(part=0.5), "aside_m": _aside_m(part=-0.5)},
        ),
        Slip(
            name="dials_exchanged",
            says="The planes were exchanged: dial S gives the fixed hub's plane, dial M the moving hub's.",
            rules={"height": _height_m(), "height_m": _height_s(), "aside": _aside_m(), "aside_m": _aside_s()},
        ),
        Slip(
            name="spacing_turned_over",
            says="Diameter and spacing were exchanged. The slope is over the spacing, the opening over the diameter.",
            rules={"opening": _opening("spacing", "across"), "side_opening": _side_opening("spacing", "across")},
        ),
        Slip(
            name="from_dial_m",
            says="The feet were counted from the plane of dial M, but the offset is that in the plane of dial S.",
            rules=shared.at_feet(
                near=lambda values: values["near_foot"] - values["spacing"],
                far=lambda values: values["far_foot"] - values["spacing"],
            ),
        ),
        Slip(
            name="minus_dropped",
            says="Readings under zero were taken as if above it. A minus is the other side of zero.",
            rules={
                "height": _unsigned(_height_s()),
                "height_m": _unsigned(_height_m()),
                "aside": _unsigned(_aside_s()),
                "aside_m": _unsigned(_aside_m()),
            },
        ),
        *shared.SLIPS,
    ),
    verdict_words=shared.VERDICT_WORDS,
    actions=shared.ACTIONS,
    caution=shared.CAUTION,
    source=(
        "Bloch and Geitner, Machinery Component Maintenance and Repair, p. 203; McMillan, Rotating Machinery: "
        "Practical Solutions to Unbalance and Misalignment, equations 9.1 and 9.2."
    ),
)
