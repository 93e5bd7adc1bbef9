"""What the two alignments, by rim and face and by two dials, have in common.

Seen from the machine that is moved towards the one that stays: up is plus, right is plus, and x is counted along
the shaft away from the coupling. A dial shows plus when its plunger is pressed in, and is set to zero at the top.

`around_rim` and `around_face` say what dials show on a shaft in a given place: the geometry of a circle and of a
plane, without any formula of alignment. Draws are made of them, so the working is checked by something that it is not.

Shims come from similar triangles: a shaft that is `too_high` at the coupling, and whose coupling is `too_wide` at the
top over the diameter D, is to be raised at x by ``too_wide * x / D - too_high``. That is the published
``R/2 + F x/A`` of the face-and-rim sheets, with the bracket's side and the hot target put in (McMillan, Rotating
Machinery: Practical Solutions to Unbalance and Misalignment, p. 141-142; Bloch and Geitner, Machinery Component
Maintenance and Repair, p. 193 and 203).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from assessments.engine.arithmetic import greatest, root, side, size_of, where
from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.kinds import Values
from assessments.engine.method import Action, Aim, Band, Condition, Dim, Line, Numbers, Reading, Rule, Slip
from assessments.engine.plausible import need_numbers, need_sizes
from assessments.engine.verdicts import Held, Verdict

STATIONS = ("top", "right", "bottom", "left")
"""In the order in which both shafts are turned together, seen from the machine that is moved."""
_CLOCK = {"top": 12, "right": 3, "bottom": 6, "left": 9}
_UP = {"top": 1.0, "right": 0.0, "bottom": -1.0, "left": 0.0}
_RIGHT = {"top": 0.0, "right": 1.0, "bottom": 0.0, "left": -1.0}
_LETTER = {"top": "t", "right": "r", "bottom": "b", "left": "l"}


# --- A shaft in its place, and what dials show on it -----------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Shaft:
    """Where the moving shaft's axis lies against the fixed one's, where x is 0: mm, and mm for each mm along."""

    up: Values
    right: Values
    rise: Values
    swing: Values

    def at(self, x: Values) -> tuple[Values, Values]:
        """How far up and how far right its axis lies at x (mm)."""
        return self.up + self.rise * x, self.right + self.swing * x


def around_rim(centre: tuple[Values, Values], radius: Values, sag: Values) -> dict[str, Values]:
    """What a dial shows that is swung round one axis on a rim whose centre lies up and right of that axis.

    radius: of the rim, mm. sag: what the dial would show at the bottom, zero at the top, on a true and stiff bar:
    nothing or less. By the cosine rule: distance from an axis to a circle whose centre lies aside.
    """
    up, right = centre
    reach = {}
    for station in STATIONS:
        along = up * _UP[station] + right * _RIGHT[station]
        across = up * _RIGHT[station] - right * _UP[station]
        droop = sag * (1 - _UP[station]) / 2
        reach[station] = along + root(radius * radius - across * across) + droop
    return _from_the_top(reach)


def around_face(shaft: Shaft, radius: Values, bracket: Values) -> dict[str, Values]:
    """What a dial shows on the face of a coupling, swung round at a radius (mm), pointing along the shaft.

    bracket: 1 on the fixed shaft, the dial on the moving hub's face; -1 the other way about.
    """
    shown = {}
    for station in STATIONS:
        high, aside = radius * _UP[station], radius * _RIGHT[station]
        # On the fixed shaft the dial's tip goes round in a plane square to the fixed axis; the moving face leans, and
        # lies where (x, y - up, z - right) is square to the moving axis (1, rise, swing). Near is plus.
        face_x = -shaft.rise * (high - shaft.up) - shaft.swing * (aside - shaft.right)
        # On the moving shaft the tip goes round in a plane that leans with it; the fixed face is at x = 0.
        tip_x = -shaft.rise * high - shaft.swing * aside
        shown[station] = where(bracket > 0, -face_x, -tip_x)
    return _from_the_top(shown)


def _from_the_top(shown: Mapping[str, Values]) -> dict[str, Values]:
    return {station: value - shown["top"] for station, value in shown.items()}


CHANCES = 11


def drawn_shaft(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> Shaft:
    """A shaft that is off its cold target by the aims `offset` and `opening`, in one plane by all of it."""
    too_high, too_right = _split(aims["offset"], chance[:4])
    too_wide, side_wide = _split(aims["opening"], chance[4:8])
    # A coupling that is wider at the top belongs to a shaft that falls away from it.
    return Shaft(
        up=dims["target_height"] + too_high,
        right=too_right,
        rise=-(dims["target_opening"] + too_wide) / dims["across"],
        swing=-side_wide / dims["across"],
    )


def _split(size: Values, chance: Sequence[Values]) -> tuple[Values, Values]:
    """All of a size in one plane, part of it in the other, either way."""
    part = size * chance[1]
    is_upright = chance[0] < 0.5
    return side(chance[2]) * where(is_upright, size, part), side(chance[3]) * where(is_upright, part, size)


def named_readings(
    dials: Mapping[str, Mapping[str, Values]], error: Values, chance: Sequence[Values]
) -> dict[str, Values]:
    """Both dials' readings by name, after one of them has slipped by `error` on the way round.

    It slips right after it was set, or before the last reading. Slipping half-way, it would shift bottom and left
    alike, and no sum would show it.
    """
    shift = side(chance[10]) * error
    is_first, is_early = chance[8] < 0.5, chance[9] < 0.5
    readings: dict[str, Values] = {}
    for index, (dial, shown) in enumerate(dials.items()):
        late = where(is_first, shift, 0.0) if index == 0 else where(is_first, 0.0, shift)
        early = where(is_early, late, 0.0)
        readings[f"{dial}_top"] = shown["top"]
        readings[f"{dial}_right"] = shown["right"] + early
        readings[f"{dial}_bottom"] = shown["bottom"] + early
        readings[f"{dial}_left"] = shown["left"] + late
    return readings


# --- What both methods declare ---------------------------------------------------------------------------


def dial_readings(dial: str, letter: str, label: str, where_words: str) -> tuple[Reading, ...]:
    """A dial's four readings; symbols are the letter and t, r, b or l."""
    return tuple(
        Reading(
            name=f"{dial}_{station}",
            symbol=f"{letter}{_LETTER[station]}",
            label=f"{label}, {station} ({_CLOCK[station]} o'clock)",
            where=where_words + ("; set to zero here" if station == "top" else ", both shafts turned together"),
            families=("dial_indicator",),
        )
        for station in STATIONS
    )


def dims(across_label: str, from_label: str) -> tuple[Dim, ...]:
    """Coupling diameter, feet and cold target."""
    return (
        Dim(name="across", symbol="D", label=across_label),
        Dim(name="near_foot", symbol="x1", label=f"{from_label} to the near feet"),
        Dim(name="far_foot", symbol="x2", label=f"{from_label} to the far feet"),
        Dim(name="target_height", symbol="Ht", label="Cold target: moving shaft higher by"),
        Dim(name="target_opening", symbol="Wt", label="Cold target: coupling wider at the top by"),
    )


def need_setup(dims: Numbers, *, sags: tuple[str, ...], sizes: tuple[str, ...]) -> None:
    """Raises ImpossibleReadingError unless the dims can be: a sag is nothing or less, feet come one after the other."""
    need_numbers(dims)
    need_sizes({name: dims[name] for name in (*sizes, "across", "near_foot", "far_foot")})
    if not dims["near_foot"] < dims["far_foot"]:
        raise ImpossibleReadingError(
            name="far_foot",
            value=float(dims["far_foot"]),
            reason="The far feet lie further from the coupling than the near ones.",
        )
    for name in sags:
        if dims[name] > 0:
            raise ImpossibleReadingError(
                name=name,
                value=float(dims[name]),
                reason="Zero at the top, a bar that sags leaves the rim at the bottom: nothing, or a minus.",
            )


def sums_line(dial: str, letter: str, symbol: str, label: str) -> Line:
    """How far a dial's readings are from closing: top and bottom add up to the same as left and right."""
    return Line(
        name=f"{dial}_sums",
        symbol=symbol,
        label=f"{label}: top and bottom against left and right, apart by",
        formula=f"|{letter}t + {letter}b − {letter}r − {letter}l|",
        rule=lambda values: size_of(
            values[f"{dial}_top"] + values[f"{dial}_bottom"] - values[f"{dial}_right"] - values[f"{dial}_left"]
        ),
        least=0.0,
    )


def _dim(name: str) -> Rule:
    return lambda values: values[name]


NEAR_FOOT, FAR_FOOT, ACROSS = _dim("near_foot"), _dim("far_foot"), _dim("across")


def at_feet(
    *,
    near: Rule = NEAR_FOOT,
    far: Rule = FAR_FOOT,
    across: Rule = ACROSS,
    angle: float = 1.0,
) -> dict[str, Rule]:
    """The rules of what is done at the feet, by line; a slip puts another distance in, or leaves out the angle."""

    def to_target(opening: str, offset: str, foot: Rule) -> Rule:
        return lambda values: angle * values[opening] * foot(values) / across(values) - values[offset]

    return {
        "shim_near": to_target("too_wide", "too_high", near),
        "shim_far": to_target("too_wide", "too_high", far),
        "move_near": to_target("side_opening", "aside", near),
        "move_far": to_target("side_opening", "aside", far),
    }


def _mirrored(kind: str) -> dict[str, Rule]:
    def minus(rule: Rule) -> Rule:
        return lambda values: -rule(values)

    return {name: minus(rule) for name, rule in FEET.items() if name.startswith(kind)}


def _far_only(rules: Mapping[str, Rule]) -> dict[str, Rule]:
    return {name: rule for name, rule in rules.items() if name.endswith("far")}


FEET: Mapping[str, Rule] = at_feet()

FEET_LINES: tuple[Line, ...] = (
    Line(
        name="too_high",
        symbol="E",
        label="Too high at the coupling by",
        formula="H − Ht",
        rule=lambda values: values["height"] - values["target_height"],
        is_result=False,
    ),
    Line(
        name="too_wide",
        symbol="G",
        label="Too wide at the top of the coupling by",
        formula="W − Wt",
        rule=lambda values: values["opening"] - values["target_opening"],
        is_result=False,
    ),
    Line(
        name="shim_near",
        symbol="Sn",
        label="Shims under both near feet (minus: take out)",
        formula="G × x1 / D − E",
        rule=FEET["shim_near"],
    ),
    Line(
        name="shim_far",
        symbol="Sf",
        label="Shims under both far feet (minus: take out)",
        formula="G × x2 / D − E",
        rule=FEET["shim_far"],
    ),
    Line(
        name="move_near",
        symbol="Mn",
        label="Move of the near feet to the right (minus: left)",
        formula="V × x1 / D − P",
        rule=FEET["move_near"],
    ),
    Line(
        name="move_far",
        symbol="Mf",
        label="Move of the far feet to the right (minus: left)",
        formula="V × x2 / D − P",
        rule=FEET["move_far"],
    ),
    Line(
        name="off_by",
        symbol="u",
        label="Off the target by, the worse plane",
        formula="greatest of |E|, |P|",
        rule=lambda values: greatest(size_of(values["too_high"]), size_of(values["aside"])),
        least=0.0,
    ),
    Line(
        name="open_by",
        symbol="v",
        label="Open against the target by, the worse plane",
        formula="greatest of |G|, |V|",
        rule=lambda values: greatest(size_of(values["too_wide"]), size_of(values["side_opening"])),
        least=0.0,
    ),
)

LIMITS: Mapping[str, str] = {
    "offset": "Offset at the coupling, off the target",
    "opening": "Opening over the coupling's diameter, off the target",
    "sums": "Top and bottom against left and right",
}


def held(first: str, second: str) -> tuple[Held, ...]:
    return (
        Held(result="off_by", limit="offset"),
        Held(result="open_by", limit="opening", above=Verdict.FORM),
        Held(result=f"{first}_sums", limit="sums", above=Verdict.VOID),
        Held(result=f"{second}_sums", limit="sums", above=Verdict.VOID),
    )


AIMS = (
    Aim(name="offset", limit="offset"),
    Aim(name="opening", limit="opening"),
    Aim(name="sums", limit="sums"),
)


def _case(name: str, words: str, **bands: Band) -> Condition:
    return Condition(name=name, words=words, bands={"sums": Band.WELL_INSIDE, **bands})


CONDITIONS = (
    _case("good", "in line, cold, as the sheet wants it", offset=Band.INSIDE, opening=Band.INSIDE),
    _case("offset", "offset, the angle right", offset=Band.ABOVE, opening=Band.WELL_INSIDE),
    _case("angle", "at an angle, the offset right", offset=Band.WELL_INSIDE, opening=Band.ABOVE),
    _case("both", "offset and at an angle", offset=Band.ABOVE, opening=Band.ABOVE),
    _case("slipped", "a dial that slipped on the way round", sums=Band.ABOVE),
)

ASKED = ("height", "opening", "shim_near", "shim_far", "move_near", "move_far")

SLIPS: tuple[Slip, ...] = (
    Slip(
        name="target_left_out",
        says="The cold target was left out. Hot, both machines grow: cold, the shaft has to lie where the sheet puts it.",
        rules={"too_high": lambda values: values["height"], "too_wide": lambda values: values["opening"]},
    ),
    Slip(
        name="target_other_way",
        says="The cold target was added. What is still to be done is what was measured less what is wanted.",
        rules={
            "too_high": lambda values: values["height"] + values["target_height"],
            "too_wide": lambda values: values["opening"] + values["target_opening"],
        },
    ),
    Slip(
        name="radius_for_diameter",
        says="The radius was taken for the diameter. Top and bottom readings lie a whole diameter apart.",
        rules=at_feet(across=lambda values: values["across"] / 2),
    ),
    Slip(
        name="feet_exchanged",
        says="The distances of the near and the far feet were exchanged.",
        rules=at_feet(near=FAR_FOOT, far=NEAR_FOOT),
    ),
    Slip(
        name="far_from_near",
        says="The far feet were counted from the near feet. Both distances begin at the coupling.",
        rules=_far_only(at_feet(far=lambda values: values["far_foot"] - values["near_foot"])),
    ),
    Slip(
        name="shims_mirrored",
        says="The shims have the wrong sign: that takes out where it should put in. A shaft that lies low is raised.",
        rules=_mirrored("shim"),
    ),
    Slip(
        name="moves_mirrored",
        says="The moves go the wrong way, left for right: mind which end you stand at.",
        rules=_mirrored("move"),
    ),
    Slip(
        name="angle_forgotten",
        says="Only the offset was taken out. The angle moves the feet too, the far ones most.",
        rules=at_feet(angle=0.0),
    ),
)

VERDICT_WORDS: Mapping[Verdict, str] = {
    Verdict.INSIDE: "in line",
    Verdict.HIGH: "out of line: offset",
    Verdict.FORM: "out of line: angle",
    Verdict.VOID: "void: the readings do not close",
}

ACTIONS: Mapping[Verdict, Action] = {
    Verdict.INSIDE: Action(
        name="record",
        words="leave the feet as they are, go round once more with them bolted down, and record it",
        because="Offset and angle lie inside the sheet in both planes, and both dials close.",
        is_accepting=True,
    ),
    Verdict.HIGH: Action(
        name="move",
        words="shim and move the feet as worked, bolt down and go round again",
        because="An offset bends shaft and coupling once each turn; feet that were moved say nothing until measured again.",
    ),
    Verdict.FORM: Action(
        name="move",
        words="shim and move the feet as worked, bolt down and go round again",
        because="An angle works the coupling to and fro each turn; feet that were moved say nothing until measured again.",
    ),
    Verdict.VOID: Action(
        name="repeat",
        words="make bracket and dials fast, set to zero and go round again; move no foot yet",
        because=(
            "Top and bottom add up to left and right wherever the shaft lies. If they do not, a dial slipped or a hub was "
            "turned alone, and shims worked from it are a guess."
        ),
    ),
}

CAUTION = (
    "Both machines isolated and locked as the site's procedure says. Turn both shafts together by hand or strap, one way, "
    "sleeves and fingers clear. Lift a foot with jack or screw only as far as the shim needs, and keep fingers out from "
    "under it. Look for a soft foot first, and put the coupling guard back last."
)
