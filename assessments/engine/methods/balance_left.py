"""Method 20: the unbalance that is left in a rotor, against what its balance grade or the 4 W/N rule permits.

A grade G (mm/s) permits ``U = 30/pi G m/n`` for the whole rotor: 9549.3 G m/n in g mm with kg and rpm (a balancing
manual; ISO 21940-11 by title). The purchasers' rule is 4 W/N ounce inches in each plane, W the weight on that journal
in pounds; an ounce inch for each pound is 1/16 in, so 4 W/N is the weight shifted by (1/4 in)/n, 6.35 mm/n (derived,
exact). Both are shared out over the two planes as the weight is over the two journals.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from assessments.engine.arithmetic import greatest, where
from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.kinds import MM_PER_INCH, Kind, Values
from assessments.engine.method import Action, Aim, Band, Condition, Dim, Line, Method, Numbers, Reading, Rule, Slip
from assessments.engine.plausible import need_numbers, need_sizes
from assessments.engine.verdicts import Held, Verdict

GRADE, FOUR_W = 1.0, 2.0
QUARTER_INCH = MM_PER_INCH / 4
GRAMS = 1000.0
OUNCE_INCH = 453.59237 / 16 * MM_PER_INCH
"""g mm: the avoirdupois ounce, exact."""
_NOTHING = 1e-9  # no division by a share that somebody has as nothing


def check(readings: Numbers, dims: Numbers) -> None:
    need_sizes(dims)
    need_numbers(readings)
    if dims["rule"] not in {GRADE, FOUR_W}:
        raise ImpossibleReadingError(
            name="rule", value=float(dims["rule"]), reason="The rule is the balance grade, 1, or 4 W/N, 2."
        )
    for name, value in readings.items():
        if value < 0:
            raise ImpossibleReadingError(
                name=name, value=float(value), reason="An amount of unbalance is nothing or more: its angle says where."
            )


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """What is left in each plane, as a part of what that plane may have."""
    del chance
    total = _permitted({**dims})
    return {
        "left_1": aims["part_1"] * total * _share_1(dims),
        "left_2": aims["part_2"] * total * (1 - _share_1(dims)),
    }


def _by_grade(values: Numbers) -> Values:
    return 30 / math.pi * values["grade"] * values["mass"] / values["speed"] * GRAMS


def _by_four_w(values: Numbers) -> Values:
    return QUARTER_INCH * values["mass"] / values["speed"] * GRAMS


def _permitted(values: Numbers) -> Values:
    return where(values["rule"] == GRADE, _by_grade(values), _by_four_w(values))


def _times(part: float) -> Rule:
    return lambda values: _permitted(values) * part


def _share_1(values: Numbers) -> Values:
    """The journal nearer to the mass centre carries more: each carries by the other's distance."""
    return values["reach_2"] / (values["reach_1"] + values["reach_2"])


def _first(values: Numbers) -> Values:
    return values["total"] * _share_1(values)


def _second(values: Numbers) -> Values:
    return values["total"] * (1 - _share_1(values))


def _used(left: str, permitted: str) -> Rule:
    return lambda values: values[left] / greatest(values[permitted], _NOTHING)


def _reading(number: int) -> Reading:
    return Reading(
        name=f"left_{number}",
        symbol=f"R{number}",
        label=f"Unbalance left in plane {number}",
        where=f"balancer's sheet, last run, plane at journal {number}",
        families=("written_note",),
        kind=Kind.UNBALANCE,
    )


def _plane(number: int, formula: str, rule: Rule) -> tuple[Line, Line]:
    return (
        Line(
            name=f"permitted_{number}",
            symbol=f"U{number}",
            label=f"Permitted in plane {number}",
            formula=formula,
            rule=rule,
            kind=Kind.UNBALANCE,
            least=0.0,
        ),
        Line(
            name=f"used_{number}",
            symbol=f"p{number}",
            label=f"Part of it that is left, plane {number}",
            formula=f"R{number} / U{number} × 100 %",
            rule=_used(f"left_{number}", f"permitted_{number}"),
            kind=Kind.RATIO,
            least=0.0,
            unit="%",
        ),
    )


_INSIDE = {"part_1": Band.INSIDE, "part_2": Band.INSIDE}
METHOD = Method(
    number=20,
    name="balance_left",
    title="Balance left over",
    purpose="Whether the unbalance left in each plane of a rotor is what its grade, or the sheet's rule, permits.",
    readings=(_reading(1), _reading(2)),
    dims=(
        Dim(name="mass", symbol="m", label="Mass of the rotor", kind=Kind.MASS),
        Dim(name="speed", symbol="n", label="Highest speed in service", kind=Kind.SPEED),
        Dim(name="rule", symbol="r", label="Rule: 1 for the balance grade, 2 for 4 W/N", kind=Kind.COUNT),
        Dim(name="grade", symbol="G", label="Balance grade, mm/s", kind=Kind.RATIO),
        Dim(name="reach_1", symbol="x1", label="Mass centre to journal 1"),
        Dim(name="reach_2", symbol="x2", label="Mass centre to journal 2"),
    ),
    lines=(
        Line(
            name="total",
            symbol="U",
            label="Permitted in the whole rotor",
            formula="30 / π × G × m / n by grade (G in mm/s), or 6.35 mm × m / n by 4 W/N",
            rule=_permitted,
            kind=Kind.UNBALANCE,
            least=0.0,
        ),
        *_plane(1, "U × x2 / (x1 + x2)", _first),
        *_plane(2, "U × x1 / (x1 + x2)", _second),
        Line(
            name="worst",
            symbol="pw",
            label="Part of what is permitted, the worse plane",
            formula="greatest of p1, p2",
            rule=lambda values: greatest(values["used_1"], values["used_2"]),
            kind=Kind.RATIO,
            least=0.0,
            unit="%",
        ),
    ),
    limits={"part": "Part of what is permitted in a plane"},
    held=(Held(result="worst", limit="part"),),
    aims=(Aim(name="part_1", limit="part"), Aim(name="part_2", limit="part")),
    conditions=(
        Condition(name="good", words="both planes as they should be", bands=_INSIDE),
        Condition(
            name="plane_1",
            words="too much left in plane 1 alone",
            bands={"part_1": Band.ABOVE, "part_2": Band.WELL_INSIDE},
        ),
        Condition(
            name="plane_2",
            words="too much left in plane 2 alone",
            bands={"part_1": Band.WELL_INSIDE, "part_2": Band.ABOVE},
        ),
        Condition(
            name="both", words="too much left in both planes", bands={"part_1": Band.ABOVE, "part_2": Band.ABOVE}
        ),
    ),
    asked=("total", "permitted_1", "permitted_2", "worst"),
    check=check,
    simulate=simulate,
    chances=0,
    slips=(
        Slip(
            name="not_shared_out",
            says="The whole rotor's figure was used for each plane. It is shared out over the two.",
            rules={
                "permitted_1": lambda values: values["total"],
                "permitted_2": lambda values: values["total"],
            },
        ),
        Slip(
            name="halved",
            says="Each plane was given half. The journal nearer to the mass centre carries more and may have more.",
            rules={
                "permitted_1": lambda values: values["total"] / 2,
                "permitted_2": lambda values: values["total"] / 2,
            },
        ),
        Slip(
            name="planes_exchanged",
            says="The shares were exchanged. The plane nearer to the mass centre has the larger share.",
            rules={"permitted_1": _second, "permitted_2": _first},
        ),
        Slip(
            name="other_rule",
            says="That follows from the other rule: grade and 4 W/N are not the same. The sheet says which holds.",
            rules={
                "total": lambda values: where(values["rule"] == GRADE, _by_four_w(values), _by_grade(values)),
            },
        ),
        Slip(
            name="turns_as_radians",
            says="The speed was not turned into radians a second: 30/π, or 9549 with kilograms and gram millimetres.",
            rules={
                "total": lambda values: where(values["rule"] == GRADE, math.pi / 30, 30 / math.pi) * _permitted(values)
            },
        ),
        Slip(
            name="ounce_inches_as_gram_millimetres",
            says="The number is right in ounce inches and was written as gram millimetres.",
            rules={"total": _times(1 / OUNCE_INCH)},
        ),
        Slip(
            name="gram_millimetres_as_ounce_inches",
            says="The number is right in gram millimetres and was written as ounce inches.",
            rules={"total": _times(OUNCE_INCH)},
        ),
        Slip(
            name="pounds_as_kilograms",
            says="The mass was put in in pounds where kilograms were wanted.",
            rules={"total": _times(1000 / 453.59237)},
        ),
        Slip(
            name="better_plane",
            says="The better plane was held against the sheet. Each has to be inside by itself.",
            rules={
                "worst": lambda values: (
                    values["used_1"] + values["used_2"] - greatest(values["used_1"], values["used_2"])
                )
            },
        ),
        Slip(
            name="planes_averaged",
            says="Both planes were averaged. Each has to be inside by itself: it shakes its own bearing.",
            rules={"worst": lambda values: (values["used_1"] + values["used_2"]) / 2},
        ),
    ),
    verdict_words={Verdict.INSIDE: "balanced as the sheet wants it", Verdict.HIGH: "too much unbalance left"},
    actions={
        Verdict.INSIDE: Action(
            name="accept",
            words="keep the balancer's sheet with the machine's papers and build the rotor in",
            because="What is left in each plane lies inside what that plane may have.",
            is_accepting=True,
        ),
        Verdict.HIGH: Action(
            name="send_back",
            words="do not build it in: send the rotor back to be balanced, with the figure for each plane",
            because="One plane over its share shakes its own bearing, however good the other is.",
        ),
    },
    caution=(
        "Balancing is for people and a machine made for it: guards shut, weights fixed by the maker's way, nobody beside "
        "the rotor as it runs up. Lift and block the rotor as the site's lifting procedure says."
    ),
    source=(
        "A balancing manual's 9549 G m/n (ISO 21940-11 by title); 4 W/N ounce inches a plane, the purchasers' rule; a "
        "worked example of a balancing article, 1000 lb at 15000 rpm."
    ),
)
