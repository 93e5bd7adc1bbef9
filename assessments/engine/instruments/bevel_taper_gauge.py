"""Bevel taper gauges: a leaf that grows evenly thicker is pushed into a gap and read where the gap's edge stands.

Drawn twice, to one scale: from above, where the lines are, with the part on the left over it; and from the side, where
the leaf fills the gap. Ranges, tapers and lines are common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from assessments.engine.drawing import WIDTH, Drawn, number, outline, path, picture, rect, text, together, uprights
from assessments.engine.instrument import Face, Instrument, Misread
from assessments.engine.kinds import MM_PER_INCH

HEIGHT = 300
EDGE = 96.0
"""Where the edge of the gap stands, from above and from the side."""
TOP, FOOT = 26.0, 138.0
"""The leaf from above."""
PART_TOP, PART_FOOT = 8.0, 156.0
BASE = 276.0
"""Seen from the side: the lower face of the gap, on which the leaf lies."""
HANDLE = 90.0
"""The leaf goes on so far after its last line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruling:
    """How a leaf is divided. Counts are in its lines.

    apart: units of drawing from line to line. numbered, medium: so many lines from one numeral, or longer line, to
    the next. end: the last line. begin: the first. taper: length along the leaf for one of thickness.
    legend: what one line is. words: the same and more, for the description.
    """

    apart: float
    taper: float
    numbered: int
    medium: int
    begin: int
    end: int
    legend: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BevelTaperGauge(Instrument):
    """One leaf. Its step is one line."""

    ruling: Ruling

    def numeral(self, line: int) -> str:
        if self.unit == "mm":
            return f"{line * self.graduation:g}"
        if self.is_in_fractions:
            return f"{line}"
        return f".{round(line * self.graduation / MM_PER_INCH * 1000):03d}"

    @property
    def is_in_fractions(self) -> bool:
        return self.unit == "in" and math.isclose(self.graduation, MM_PER_INCH / 64)

    def face(self, reading: float, *, ident: str, oddity: str = "") -> Face:
        self.must_show(reading, oddity)
        at = reading / self.graduation
        alt = (
            f"A tapered leaf, pushed from the right into a gap until it stops. From above: it has {self.ruling.words}, "
            "growing to the right; the part with the gap covers its left, and the part's right edge stands over the "
            "lines. Below, the same from the side: the leaf, thicker towards the right, fills the gap at that edge."
        )
        svg = picture(_leaf(self, at), _part(), _side(self, at), ident=ident, title=self.title, alt=alt, height=HEIGHT)
        return Face(svg=svg, alt=alt)


def _leaf(gauge: BevelTaperGauge, at: float) -> Drawn:
    """From above, from the edge of the part to where it ends or goes out of sight."""
    ruling = gauge.ruling
    end = min(WIDTH + 4.0, EDGE + (ruling.end - at) * ruling.apart + HANDLE)
    last = min(ruling.end, math.floor(at + (WIDTH - 3 - EDGE) / ruling.apart))
    marks, numerals = [], []
    for k in range(max(ruling.begin, math.ceil(at - 1e-6)), last + 1):
        x = EDGE + (k - at) * ruling.apart
        is_numbered = k % ruling.numbered == 0
        marks.append((x, TOP, 56 if is_numbered else 40 if k % ruling.medium == 0 else 26))
        words = gauge.numeral(k)
        half = 6.4 * len(words)
        if is_numbered and x < WIDTH - half:
            numerals.append(text("num taper-num", max(x, EDGE + half + 2), TOP + 74, words))
    return together(
        rect("steel", EDGE - 40, TOP, end - EDGE + 40, FOOT - TOP),
        rect("steel-lit", EDGE - 40, TOP + 3, end - EDGE + 40, 16),
        rect("steel-dim", EDGE - 40, FOOT - 12, end - EDGE + 40, 12),
        path("outline-fat", f"M{number(EDGE - 40)} {number(TOP)}H{number(end)}V{number(FOOT)}H{number(EDGE - 40)}"),
        uprights("tick taper-line", marks),
        *numerals,
        text("legend legend-mid", EDGE + 48, FOOT - 16, ruling.legend),
    )


@cache
def _part() -> Drawn:
    """The part that the gap is in, from above: its right edge is the one to be read."""
    tall = PART_FOOT - PART_TOP
    grain = "".join([f"M0 {number(PART_TOP + y)}h{number(EDGE - 5)}" for y in (18, 37, 52, 74, 95, 113, 131)])
    return together(
        rect("block-steel", -4, PART_TOP, EDGE + 4, tall),
        path("brush-strong", grain),
        rect("steel-lit", -4, PART_TOP, EDGE + 2, 6),
        path("outline-fat", f"M-4 {number(PART_TOP)}H{number(EDGE)}M-4 {number(PART_FOOT)}H{number(EDGE)}"),
        path("outline-fat part-edge", f"M{number(EDGE)} {number(PART_TOP)}V{number(PART_FOOT)}"),
    )


def _side(gauge: BevelTaperGauge, at: float) -> Drawn:
    """The leaf lies on the lower part; the upper part's edge rests on it."""
    ruling = gauge.ruling
    slope = ruling.apart / ruling.taper  # one line is so much thicker than the one before

    def thick(x: float) -> float:
        return (at + (x - EDGE) / ruling.apart) * slope

    tip = max(-4.0, EDGE - (at - 0.6 * ruling.begin) * ruling.apart)
    end = min(WIDTH + 4.0, EDGE + (ruling.end - at) * ruling.apart + HANDLE)
    gap = thick(EDGE)
    upper = BASE - gap
    leaf = ((tip, BASE), (tip, BASE - thick(tip)), (end, BASE - thick(end)), (end, BASE))
    return together(
        rect("block-steel", -4, BASE, EDGE + 4, HEIGHT - BASE + 4),
        rect("block-steel", -4, 170, EDGE + 4, upper - 170),
        path("outline-fat", f"M-4 170H{number(EDGE)}V{number(upper)}H-4"),
        path("outline-fat gap-foot", f"M-4 {number(BASE)}H{number(EDGE)}V{HEIGHT + 4}"),
        outline("steel-lit", leaf),
        outline("outline taper-side", leaf),
        path("tick-fine", f"M{number(EDGE)} {number(PART_FOOT + 3)}V167"),
    )


Wrong = Callable[[float], tuple[float, ...]]


def _shifts(*by: float) -> Wrong:
    return lambda right: tuple(right + one for one in by)


def _next_numeral(step: float, numbered: int) -> Callable[[float], tuple[int, float]]:
    """(lines from the edge to the next numeral in sight, the numeral)."""

    def found(right: float) -> tuple[int, float]:
        line = round(right / step)
        following = -(-line // numbered) * numbered
        return following - line, following * step

    return found


def _misreads(step: float, ruling: Ruling) -> tuple[Misread, ...]:
    ahead = _next_numeral(step, ruling.numbered)

    def numeral_in_sight(right: float) -> tuple[float, ...]:
        lines, numeral = ahead(right)
        return (numeral,) if lines else ()

    def counted_on(right: float) -> tuple[float, ...]:
        lines, numeral = ahead(right)
        return (numeral + lines * step,) if lines else ()

    return (
        Misread(
            name="one_line_off",
            says="The line next to the one under the part's edge was read.",
            wrong=_shifts(-step, step),
        ),
        Misread(
            name="numeral_in_sight",
            says="The first numeral in sight was read. Count the lines back from it to the edge.",
            wrong=numeral_in_sight,
        ),
        Misread(
            name="counted_on",
            says=(
                "The lines between the edge and the first numeral in sight were added. The leaf grows away from the "
                "edge: they are to be taken off."
            ),
            wrong=counted_on,
        ),
        Misread(
            name="numbered_line_off",
            says="The lines were counted back from the wrong numeral.",
            wrong=_shifts(-ruling.numbered * step, ruling.numbered * step),
        ),
    )


def _of(name: str, mark: str, unit: str, step: float, ruling: Ruling) -> BevelTaperGauge:
    return BevelTaperGauge(
        name=f"bevel_taper_gauge_{name}",
        family="bevel_taper_gauge",
        title=f"Bevel taper gauge, {mark}",
        unit=unit,
        step=step,
        graduation=step,
        low=ruling.begin * step,
        high=ruling.end * step,
        ruling=ruling,
        misreads=_misreads(step, ruling),
    )


INSTRUMENTS: tuple[BevelTaperGauge, ...] = (
    _of(
        "metric",
        "0.05 mm",
        "mm",
        0.05,
        Ruling(
            apart=8.0,
            taper=12.0,
            numbered=10,
            medium=2,
            begin=10,
            end=140,
            legend="0.05 mm",
            words="a line each five hundredths of a millimetre, every second longer, every tenth longest and numbered in "
            "millimetres and halves",
        ),
    ),
    _of(
        "inch",
        ".001 in",
        "in",
        0.001 * MM_PER_INCH,
        Ruling(
            apart=8.0,
            taper=24.0,
            numbered=10,
            medium=5,
            begin=15,
            end=280,
            legend=".001 in",
            words="a line each thousandth of an inch, every fifth longer, every tenth longest and numbered",
        ),
    ),
    _of(
        "64ths",
        "1/64 in",
        "in",
        MM_PER_INCH / 64,
        Ruling(
            apart=26.0,
            taper=9.0,
            numbered=4,
            medium=2,
            begin=1,
            end=32,
            legend="1/64 in",
            words="a line each sixty-fourth of an inch, every second longer, every fourth longest and numbered in "
            "sixty-fourths",
        ),
    ),
)
