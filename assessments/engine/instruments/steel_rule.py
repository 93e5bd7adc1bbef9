"""A steel rule held against a block, seen close: sixty-fourths of an inch, or half millimetres.

The block stands against the rule's end, out of sight to the left where the size is large; its other edge is read.
Divisions of a rule into halves, quarters and on to 1/64 in: US Army TM 9-243.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from assessments.engine.drawing import WIDTH, Drawn, number, path, picture, rect, text, together, uprights
from assessments.engine.instrument import Face, Instrument, Misread
from assessments.engine.kinds import MM_PER_INCH

HEIGHT = 262
EDGE = 184.0
"""Where the edge of the block stands: the rule goes by under it."""
LIP = 112.0
"""The graduated edge of the rule."""
FOOT = 252.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruling:
    """How a rule is divided. Counts are in its finest lines.

    per_line: units of drawing from line to line. lengths: (every so many lines, this long), coarsest first.
    whole: lines from one large numeral to the next, each worth `worth`. small: from one small numeral to the next.
    count: all lines. legend: what one line is.
    """

    per_line: float
    lengths: tuple[tuple[int, float], ...]
    whole: int
    worth: int
    small: int
    count: int
    legend: str


INCH = Ruling(
    per_line=5.0,
    lengths=((64, 66.0), (32, 59.0), (16, 51.0), (8, 43.0), (4, 33.0), (2, 24.0), (1, 16.0)),
    whole=64,
    worth=1,
    small=8,
    count=6 * 64,
    legend="1/64 in",
)
METRIC = Ruling(
    per_line=7.5,
    lengths=((20, 66.0), (10, 52.0), (2, 38.0), (1, 22.0)),
    whole=20,
    worth=10,
    small=0,
    count=300,
    legend="1/2 mm",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SteelRule(Instrument):
    """One rule, numbered from its end."""

    ruling: Ruling

    def face(self, reading: float, *, ident: str, oddity: str = "") -> Face:
        self.must_show(reading, oddity)
        at = reading / self.graduation
        ruling = self.ruling
        left = EDGE - at * ruling.per_line
        alt = _alt(is_metric=self.unit == "mm")
        svg = picture(
            _rule(ruling, left), _lines(ruling, at), _block(left), ident=ident, title=self.title, alt=alt, height=HEIGHT
        )
        return Face(svg=svg, alt=alt)


@cache
def _alt(*, is_metric: bool) -> str:
    if is_metric:
        lines = (
            "a line each half millimetre, longer ones each millimetre and each fifth, the longest each tenth and "
            "numbered in millimetres"
        )
    else:
        lines = (
            "a line each sixty-fourth of an inch; thirty-seconds, sixteenths, eighths, quarters and halves each longer "
            "than the last, whole inches longest with a large number, and a small number at every eighth that counts "
            "the sixty-fourths"
        )
    return (
        f"Part of a steel rule, seen close. It counts from left to right: {lines}. A block lies on the rule from the "
        "rule's own end, on the left, and its right edge stands over the lines."
    )


def _rule(ruling: Ruling, left: float) -> Drawn:
    """The bar of steel: its end on the left where that is in sight, and on the right a little after the last line."""
    begin = max(-4.0, left)
    end = min(WIDTH + 4.0, left + (ruling.count + 20) * ruling.per_line)
    along = end - begin
    return together(
        rect("steel", begin, LIP, along, FOOT - LIP),
        rect("steel-lit", begin, LIP + 4, along, 22),
        rect("steel-dim", begin, FOOT - 12, along, 12),
        path("brush", "".join([f"M{number(begin)} {y}h{number(along)}" for y in (141, 152, 166, 181, 195, 211, 226)])),
        path("outline-fat", f"M{number(begin)} {number(LIP)}h{number(along)}V{number(FOOT)}h{number(-along)}Z"),
        text("legend legend-mid", EDGE + 40, FOOT - 17, ruling.legend),
    )


def _lines(ruling: Ruling, at: float) -> Drawn:
    first = max(0, math.ceil(at - (EDGE + 1) / ruling.per_line))
    last = min(ruling.count, math.floor(at + (WIDTH + 1 - EDGE) / ruling.per_line))
    marks, numerals = [], []
    for k in range(first, last + 1):
        x = EDGE + (k - at) * ruling.per_line
        length = next(long for every, long in ruling.lengths if k % every == 0)
        marks.append((x, LIP, length))
        if not 9 < x < WIDTH - 9:
            continue
        if k % ruling.whole == 0:
            numerals.append(_numeral(x, k // ruling.whole * ruling.worth))
        elif ruling.small and k % ruling.small == 0:
            numerals.append(text("num-small small-num", x, LIP + 75, str(k % ruling.whole)))
    return together(uprights("tick rule-line", marks), *numerals)


def _numeral(x: float, whole: int) -> Drawn:
    """Beside its line where it would not fit under it: never cut off."""
    words = str(whole)
    if whole == 0:
        x += 13
    half = 10.0 * len(words)
    return text("num-big whole-num", min(max(x, half + 2), WIDTH - half - 2), LIP + 93, words)


def _block(left: float) -> Drawn:
    """Ground steel; its right edge is the one to be read."""
    return _long_block() if left < -4 else _block_from(left)


@cache
def _long_block() -> Drawn:
    """Nothing but its right end is in sight."""
    return _block_from(-4.0)


def _block_from(begin: float) -> Drawn:
    across = EDGE - begin
    chamfer = min(9.0, across / 2)
    grain = (
        "".join([f"M{number(begin)} {y}h{number(across - 5)}" for y in (34, 47, 58, 72, 83, 95)]) if across > 12 else ""
    )
    body = (
        f"M{number(EDGE)} {number(LIP - 1)}V{number(18 + chamfer)}l{number(-chamfer)} {number(-chamfer)}"
        f"H{number(begin)}V{number(LIP - 1)}Z"
    )
    return together(
        path("block-steel", body),
        path("brush-strong", grain),
        path(
            "steel-lit",
            f"M{number(begin)} 18h{number(across - chamfer)}l{number(min(5.0, chamfer))} 6H{number(begin)}Z",
        ),
        path("outline-fat block-edge", body),
    )


def _shifts(*by: float) -> Callable[[float], tuple[float, ...]]:
    return lambda right: tuple(right + one for one in by)


LINE_64 = MM_PER_INCH / 64


def _counted_in_32nds(right: float) -> tuple[float, ...]:
    """The sixty-fourths beyond the whole inch taken for thirty-seconds."""
    count = round(right / LINE_64) % 64
    return (right + count * LINE_64,) if count else ()


def _halves_as_wholes(right: float) -> tuple[float, ...]:
    """The half millimetres beyond the numbered line counted as whole ones."""
    count = round(right / 0.5) % 20
    return (right + count * 0.5,) if count else ()


INSTRUMENTS: tuple[SteelRule, ...] = (
    SteelRule(
        name="steel_rule_64ths",
        family="steel_rule",
        title="Steel rule, sixty-fourths of an inch",
        unit="in",
        step=LINE_64,
        graduation=LINE_64,
        low=0.0,
        high=6 * MM_PER_INCH,
        ruling=INCH,
        misreads=(
            Misread(
                name="one_line_off",
                says="The line next to the one under the edge was read.",
                wrong=_shifts(-LINE_64, LINE_64),
            ),
            Misread(
                name="whole_off",
                says="The wrong whole inch was counted from.",
                wrong=_shifts(-MM_PER_INCH, MM_PER_INCH),
            ),
            Misread(
                name="counted_in_32nds",
                says="The lines were counted as thirty-seconds. On this edge each is a sixty-fourth.",
                wrong=_counted_in_32nds,
            ),
        ),
    ),
    SteelRule(
        name="steel_rule_half_millimetres",
        family="steel_rule",
        title="Steel rule, half millimetres",
        unit="mm",
        step=0.5,
        graduation=0.5,
        low=0.0,
        high=150.0,
        ruling=METRIC,
        misreads=(
            Misread(
                name="one_line_off",
                says="The line next to the one under the edge was read.",
                wrong=_shifts(-0.5, 0.5),
            ),
            Misread(
                name="whole_off",
                says="The wrong numbered line was counted from: ten millimetres.",
                wrong=_shifts(-10.0, 10.0),
            ),
            Misread(
                name="halves_as_wholes",
                says="The lines were counted as whole millimetres. On this edge each is half a one.",
                wrong=_halves_as_wholes,
            ),
        ),
    ),
)
