"""Method 1: the clearance of a sleeve bearing from a squashed plastic strip.

The area of the strip's cross-section is kept while it is pressed from a circle of diameter d to a
flat print of width w with half-round edges (a stadium) of height c, the clearance:
``pi d^2/4 = (w - c) c + pi c^2/4``. The smaller root of that is `clearance`.
Derived from conserved area; procedure after US Army TM 5-2420-222-34 p. 1-16, TM 5-3895-383-24
p. 8-59 and TM 9-2815-202-34 p. 4-157: the widest point of the print is the tightest place.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from assessments.engine.arithmetic import greatest, least, root, side, size_of
from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.kinds import MM_PER_INCH, Kind, Values
from assessments.engine.method import (
    Action,
    Aim,
    Band,
    Condition,
    Dim,
    Line,
    Method,
    Numbers,
    Reading,
    Rule,
    Slip,
)
from assessments.engine.plausible import need_numbers, need_sizes
from assessments.engine.verdicts import Held, Verdict

K = 1 - math.pi / 4

WIDEST = 5.4
"""The widest print drawn (mm): the scale printed beside a strip goes no further. A strip squashed wider was too thick for the place."""


def clearance(width: Values, strip: Values) -> Values:
    """Clearance (mm) that presses a round strip of diameter `strip` (mm) to a print `width` (mm)."""
    return (width - root(width * width - (math.pi * K) * (strip * strip))) * (0.5 / K)


def width(gap: Values, strip: Values) -> Values:
    """Width (mm) of the print that a clearance `gap` (mm) makes of a strip: the inverse of `clearance`."""
    return (math.pi / 4) * (strip * strip) / gap + K * gap


def check(readings: Numbers, dims: Numbers) -> None:
    need_sizes(dims)
    need_numbers(readings)
    for name, value in readings.items():
        if not value >= dims["strip"]:
            raise ImpossibleReadingError(
                name=name,
                value=float(value),
                reason="A squashed strip cannot be narrower than it was when round: look again where it is widest.",
            )


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """Widths behind a mean clearance and a taper; chance[0] says which end is the tight one."""
    half = side(chance[0]) * 0.5 * aims["taper"]
    d = dims["strip"]
    # Between a fifteenth of the strip and the round strip itself: beyond it there is no print to read.
    governor = least(greatest(aims["clearance"] + half, d / 15), d)
    coupling = least(greatest(aims["clearance"] - half, d / 15), d)
    return {"w_governor": least(width(governor, d), WIDEST), "w_coupling": least(width(coupling, d), WIDEST)}


def _governor(values: Numbers) -> Values:
    return clearance(values["w_governor"], values["strip"])


def _coupling(values: Numbers) -> Values:
    return clearance(values["w_coupling"], values["strip"])


def _mean(values: Numbers) -> Values:
    return (values["c_governor"] + values["c_coupling"]) / 2


def _tightest(values: Numbers) -> Values:
    return least(values["c_governor"], values["c_coupling"])


def _loosest(values: Numbers) -> Values:
    return greatest(values["c_governor"], values["c_coupling"])


def _both_ends(values: Numbers) -> Values:
    return (_governor(values) + _coupling(values)) / 2


def _flat(width_name: str) -> Rule:
    return lambda values: values["area"] / values[width_name]


_REFIT = "refit"
METHOD = Method(
    number=1,
    name="squashed_strip",
    title="Clearance by a squashed strip",
    purpose="The running clearance of a sleeve bearing, at both ends of its liner.",
    readings=(
        Reading(
            name="w_governor",
            symbol="w1",
            label="Width of the print, governor end",
            where="on the journal under the crown of the upper liner, governor end",
            families=("squashed_strip",),
        ),
        Reading(
            name="w_coupling",
            symbol="w2",
            label="Width of the print, coupling end",
            where="on the journal under the crown of the upper liner, coupling end",
            families=("squashed_strip",),
        ),
    ),
    dims=(Dim(name="strip", symbol="d", label="Diameter of the round strip"),),
    lines=(
        Line(
            name="area",
            symbol="A",
            label="Section of the strip",
            formula="π × d² / 4",
            rule=lambda values: math.pi * values["strip"] * values["strip"] / 4,
            kind=Kind.AREA,
            is_result=False,
        ),
        Line(
            name="c_governor",
            symbol="c1",
            label="Clearance, governor end",
            formula="[w1 − √(w1² − 4 × k × A)] / (2 × k), k = 1 − π/4 = 0.2146",
            rule=_governor,
            least=0.0,
        ),
        Line(
            name="c_coupling",
            symbol="c2",
            label="Clearance, coupling end",
            formula="[w2 − √(w2² − 4 × k × A)] / (2 × k), k = 1 − π/4 = 0.2146",
            rule=_coupling,
            least=0.0,
        ),
        Line(name="mean", symbol="cm", label="Mean clearance", formula="(c1 + c2) / 2", rule=_mean, least=0.0),
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
            rule=_tightest,
            least=0.0,
        ),
        Line(
            name="loosest",
            symbol="cmax",
            label="Loosest end",
            formula="greatest of c1, c2",
            rule=_loosest,
            least=0.0,
        ),
    ),
    limits={"clearance": "Clearance on the diameter", "taper": "Taper along the liner"},
    held=(
        Held(result="tightest", limit="clearance", below=Verdict.LOW, above=Verdict.HIGH),
        Held(result="loosest", limit="clearance", below=Verdict.LOW, above=Verdict.HIGH),
        Held(result="taper", limit="taper", above=Verdict.FORM),
    ),
    aims=(Aim(name="clearance", limit="clearance"), Aim(name="taper", limit="taper")),
    conditions=(
        Condition(name="good", words="a bearing that can be closed", bands={}),
        Condition(name="tight", words="too tight all along", bands={"clearance": Band.BELOW}),
        Condition(name="loose", words="too loose all along", bands={"clearance": Band.ABOVE}),
        Condition(
            name="tapered",
            words="right in size, but tapered",
            bands={"clearance": Band.WELL_INSIDE, "taper": Band.ABOVE},
        ),
        Condition(
            name="tight_end",
            words="one end too tight though the mean is inside",
            bands={"clearance": Band.JUST_INSIDE_LOW, "taper": Band.ABOVE},
        ),
        Condition(
            name="loose_end",
            words="one end too loose though the mean is inside",
            bands={"clearance": Band.JUST_INSIDE_HIGH, "taper": Band.ABOVE},
        ),
        Condition(name="disturbed", words="a strip that slid or turned", bands={}, oddity="disturbed"),
    ),
    asked=("c_governor", "c_coupling", "taper"),
    check=check,
    simulate=simulate,
    chances=1,
    slips=(
        Slip(
            name="ends_swapped",
            says=(
                "The wide end was taken as the loose end. A strip squashed wider was squashed thinner, "
                "so the wide end is the tight one."
            ),
            rules={"c_governor": _coupling, "c_coupling": _governor, "tightest": _loosest, "loosest": _tightest},
        ),
        Slip(
            name="width_as_clearance",
            says="The width of the print was written down as the clearance. The width has to be worked into a clearance.",
            rules={
                "c_governor": lambda values: values["w_governor"],
                "c_coupling": lambda values: values["w_coupling"],
            },
        ),
        Slip(
            name="inches_as_millimetres",
            says="The number is right for inches and was written as millimetres: the other unit's scale.",
            rules={
                "c_governor": lambda values: _governor(values) / MM_PER_INCH,
                "c_coupling": lambda values: _coupling(values) / MM_PER_INCH,
            },
        ),
        Slip(
            name="millimetres_as_inches",
            says="The number is right for millimetres and was written as inches: the other unit's scale.",
            rules={
                "c_governor": lambda values: _governor(values) * MM_PER_INCH,
                "c_coupling": lambda values: _coupling(values) * MM_PER_INCH,
            },
        ),
        Slip(
            name="ends_averaged",
            says="The ends were averaged. Each end has to lie inside by itself: the shaft runs on the tight one.",
            rules={"tightest": _mean, "loosest": _mean},
        ),
        Slip(
            name="one_number_for_both",
            says="One mean was written for both ends. Work each end from its own print: the difference is the taper.",
            rules={"c_governor": _both_ends, "c_coupling": _both_ends},
        ),
        Slip(
            name="edges_forgotten",
            says="The print was taken as a plain rectangle, area over width. Its edges bulge, so it is a little thicker.",
            rules={"c_governor": _flat("w_governor"), "c_coupling": _flat("w_coupling")},
        ),
    ),
    verdict_words={
        Verdict.INSIDE: "inside the sheet",
        Verdict.LOW: "too tight",
        Verdict.HIGH: "too loose",
        Verdict.FORM: "tapered",
        Verdict.VOID: "void: the strip was disturbed",
    },
    actions={
        Verdict.INSIDE: Action(
            name="close",
            words="remove the strip, oil the journal and close the cap",
            because="Every part of the bearing lies inside the sheet.",
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
            words="lay a new strip and measure again",
            because="A strip that slid or turned was sheared; its width says nothing about the clearance.",
        ),
    },
    caution=(
        "Hold the rotor's weight as the site's lifting procedure says, and keep fingers out from under the cap. "
        "Do not turn the shaft while the strip is in."
    ),
    source="Conserved area of the section; US Army TM 5-2420-222-34 p. 1-16, TM 5-3895-383-24 p. 8-59.",
)
