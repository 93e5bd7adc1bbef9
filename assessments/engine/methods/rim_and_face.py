"""Method 12: alignment by a rim dial and a face dial on one bracket.

Offset is half of what the rim dial shows from top to bottom, corrected for the bar's sag; the face dial shows the
opening over the diameter it swings over. Signs of the offset turn with the shaft that carries the bracket:
``add R/2 + F x/A`` with the bracket on the fixed shaft, ``F x/A - R/2`` with it on the moving one (a face-and-rim
sheet; McMillan, Rotating Machinery, p. 141-142). Corrected is reading less sag, which is -2 s at the bottom and -s at
the sides (a pump handbook's chapter on alignment), so sides need no correction between them.

That the face dial is taken to have no sag of its own, and the shafts no end float as they turn, is common practice,
no source: a shaft that floats wants two face dials.
"""

from __future__ import annotations

from collections.abc import Sequence

from assessments.engine import alignment as shared
from assessments.engine.arithmetic import size_of
from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.kinds import Kind, Values
from assessments.engine.method import Dim, Line, Method, Numbers, Rule, Slip
from assessments.engine.plausible import need_numbers


def check(readings: Numbers, dims: Numbers) -> None:
    need_numbers(readings)
    shared.need_setup(dims, sags=("sag",), sizes=())
    if dims["bracket"] not in {1.0, -1.0}:
        raise ImpossibleReadingError(
            name="bracket",
            value=float(dims["bracket"]),
            reason="The bracket is on the fixed shaft, 1, or on the moving shaft, −1.",
        )


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """A shaft is put in its place, and the dials go round it."""
    shaft = shared.drawn_shaft(aims, dims, chance)
    radius, bracket = dims["across"] / 2, dims["bracket"]
    # Whoever swings on the moving shaft sees the fixed one lie the other way.
    rim = shared.around_rim((bracket * shaft.up, bracket * shaft.right), radius, dims["sag"])
    face = shared.around_face(shaft, radius, bracket)
    return shared.named_readings({"rim": rim, "face": face}, aims["sums"], chance)


def _height(part: float = 0.5, sag: float = 1.0) -> Rule:
    """part: of the rim's difference. sag: how much of it is taken off."""
    return lambda values: -values["bracket"] * (values["rim_bottom"] - values["rim_top"] - sag * values["sag"]) * part


def _aside(part: float = 0.5) -> Rule:
    return lambda values: values["bracket"] * (values["rim_right"] - values["rim_left"]) * part


def _opening(part: float = 1.0) -> Rule:
    return lambda values: (values["face_bottom"] - values["face_top"]) * part


def _side_opening(part: float = 1.0) -> Rule:
    return lambda values: (values["face_left"] - values["face_right"]) * part


def _unsigned(rule: Rule) -> Rule:
    return lambda values: rule(
        {name: size_of(value) if name.startswith(("rim_", "face_")) else value for name, value in values.items()}
    )


METHOD = Method(
    number=12,
    name="rim_and_face",
    title="Alignment by rim and face",
    purpose="How the moving machine lies against the fixed one, and what its four feet need.",
    readings=(
        *shared.dial_readings("rim", "R", "Rim dial", "dial pointing at the rim of the hub"),
        *shared.dial_readings("face", "F", "Face dial", "dial pointing along the shaft at the face of the hub"),
    ),
    dims=(
        Dim(
            name="bracket",
            symbol="b",
            label="Bracket: 1 on the fixed shaft, −1 on the moving shaft",
            kind=Kind.COUNT,
        ),
        Dim(name="sag", symbol="q", label="Bar sag: rim dial at the bottom on a stiff bar, zero at the top"),
        *shared.dims("Diameter that the face dial swings over", "Plane of the rim dial"),
    ),
    lines=(
        shared.sums_line("rim", "R", "c1", "Rim dial"),
        shared.sums_line("face", "F", "c2", "Face dial"),
        Line(
            name="height",
            symbol="H",
            label="Moving shaft higher at the coupling by",
            formula="−b × (Rb − Rt − q) / 2",
            rule=_height(),
        ),
        Line(
            name="opening",
            symbol="W",
            label="Coupling wider at the top by",
            formula="Fb − Ft",
            rule=_opening(),
        ),
        Line(
            name="aside",
            symbol="P",
            label="Moving shaft further right at the coupling by",
            formula="b × (Rr − Rl) / 2",
            rule=_aside(),
        ),
        Line(
            name="side_opening",
            symbol="V",
            label="Coupling wider at the right by",
            formula="Fl − Fr",
            rule=_side_opening(),
        ),
        *shared.FEET_LINES,
    ),
    limits=shared.LIMITS,
    held=shared.held("rim", "face"),
    aims=shared.AIMS,
    conditions=shared.CONDITIONS,
    asked=shared.ASKED,
    check=check,
    simulate=simulate,
    chances=shared.CHANCES,
    slips=(
        Slip(
            name="total_not_halved",
            says="The rim dial's difference was not halved. Once round, a rim dial shows an offset twice.",
            rules={"height": _height(part=1.0), "aside": _aside(part=1.0)},
        ),
        Slip(
            name="face_halved",
            says="The face dial's difference was halved. It is the opening over the whole diameter as it stands.",
            rules={"opening": _opening(part=0.5), "side_opening": _side_opening(part=0.5)},
        ),
        Slip(
            name="sag_other_way",
            says="The sag was taken with the wrong sign. Reading less sag is what a stiff bar would have shown.",
            rules={"height": _height(sag=-1.0)},
        ),
        Slip(
            name="sag_left_out",
            says="The bar's sag was left out: the rim dial shows it as if the shaft lay off.",
            rules={"height": _height(sag=0.0)},
        ),
        Slip(
            name="sag_of_a_side",
            says="Half of the sag was taken, which is what it comes to at the sides. At the bottom it is all of it.",
            rules={"height": _height(sag=0.5)},
        ),
        Slip(
            name="bracket_other_side",
            says=(
                "The sign is that of the bracket on the other shaft. With the bracket on the fixed shaft, a moving shaft "
                "that lies high reads minus at the bottom; with it on the moving shaft, plus."
            ),
            rules={
                "height": lambda values: -_height()(values),
                "aside": lambda values: -_aside()(values),
            },
        ),
        Slip(
            name="face_other_way",
            says="The opening has the wrong sign. Where the face dial reads plus the faces are near each other.",
            rules={
                "opening": lambda values: -_opening()(values),
                "side_opening": lambda values: -_side_opening()(values),
            },
        ),
        Slip(
            name="minus_dropped",
            says="Readings under zero were taken as if above it. A minus is the other side of zero.",
            rules={
                "height": _unsigned(_height()),
                "opening": _unsigned(_opening()),
                "aside": _unsigned(_aside()),
                "side_opening": _unsigned(_side_opening()),
            },
        ),
        *shared.SLIPS,
    ),
    verdict_words=shared.VERDICT_WORDS,
    actions=shared.ACTIONS,
    caution=shared.CAUTION,
    source=(
        "McMillan, Rotating Machinery: Practical Solutions to Unbalance and Misalignment, p. 141-142; "
        "validity of readings: Bloch and Geitner, Machinery Component Maintenance and Repair, p. 193."
    ),
)
