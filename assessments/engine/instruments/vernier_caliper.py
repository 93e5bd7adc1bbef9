"""Vernier calipers: millimetres with a vernier of 0.02 or 0.05 mm, inches with one of 0.001 in.

The vernier's divisions take up one division of the beam less than there are of them: 50 over 49 mm, 20 over 19 mm,
25 over 24 of 0.025 in (US Army TM 9-243; OD 1642 reads 1.000 + .400 + 3 x .025 + .011 = 1.486 in). Subject of
ISO 13385-1. Lines a few hundredths of a millimetre apart are seen with a glass: below the caliper the vernier is drawn
again, large, in pieces, and on one of its lines alone beam and vernier go on straight (at a whole division of the
beam on the first and on the last).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from assessments.engine.drawing import WIDTH, Drawn, number, path, picture, rect, text, together, uprights
from assessments.engine.instrument import Face, Instrument, Misread
from assessments.engine.kinds import MM_PER_INCH

TOP, MEET, FOOT = 16.0, 66.0, 104.0
"""The beam's upper edge, where beam and slider meet, and the slider's lower edge."""
JAW = 18.0
"""How far left of its nought line each jaw's measuring face lies."""
JAW_FOOT = 138.0
PIECES = 172.0
"""Where the first of the pieces begins."""
PIECE = 76.0
"""From one piece to the next."""
ALONG = 40.0
"""Where the edge between beam and vernier lies in a piece."""
LEFT = 24.0
"""Where the first line of a piece stands."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Vernier:
    """How beam and vernier are divided. Lengths in the unit of the face.

    division: of the beam. lines: divisions of the vernier, taking up one less of the beam. numbered, medium: so many
    divisions of the beam from one numeral, or longer line, to the next. every, worth: so many lines of the vernier
    from one numeral to the next, and how much the numeral grows. coarse: the same count in the small drawing.
    scale: units of drawing for one division of the beam in the small drawing; nought: where the vernier's nought is.
    breaks: the first line of each piece, and one past the last.
    """

    division: float
    lines: int
    numbered: int
    medium: int
    every: int
    worth: int
    coarse: int
    scale: float
    nought: float
    breaks: tuple[int, ...]

    @property
    def step(self) -> float:
        return self.division / self.lines

    @property
    def large(self) -> float:
        """Units of drawing for one division of the vernier in the pieces."""
        longest = max(after - first for first, after in pairwise(self.breaks)) - 1
        return (WIDTH - 2 * LEFT) / longest

    @property
    def height(self) -> float:
        return PIECES + PIECE * (len(self.breaks) - 1) + 8


FIFTY = Vernier(
    division=1.0,
    lines=50,
    numbered=10,
    medium=5,
    every=5,
    worth=1,
    coarse=5,
    scale=5.6,
    nought=74.0,
    breaks=(0, 10, 20, 30, 40, 51),
)
TWENTY = Vernier(
    division=1.0,
    lines=20,
    numbered=10,
    medium=5,
    every=2,
    worth=1,
    coarse=4,
    scale=9.6,
    nought=150.0,
    breaks=(0, 10, 21),
)
INCH = Vernier(
    division=0.025,
    lines=25,
    numbered=4,
    medium=2,
    every=5,
    worth=5,
    coarse=5,
    scale=6.0,
    nought=200.0,
    breaks=(0, 9, 17, 26),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class VernierCaliper(Instrument):
    """One caliper, open by the reading."""

    vernier: Vernier

    def face(self, reading: float, *, ident: str, oddity: str = "") -> Face:
        self.must_show(reading, oddity)
        vernier = self.vernier
        divisions = self.in_unit(reading) / vernier.division
        last = round(self.in_unit(self.high) / vernier.division) + vernier.lines
        is_metric = self.unit == "mm"
        alt = _alt(is_metric=is_metric, lines=vernier.lines)
        svg = picture(
            _beam(vernier, divisions, last, is_metric=is_metric),
            _slider(vernier),
            *[_piece(vernier, divisions, k, is_metric=is_metric) for k in range(len(vernier.breaks) - 1)],
            ident=ident,
            title=self.title,
            alt=alt,
            height=vernier.height,
        )
        return Face(svg=svg, alt=alt)


@cache
def _alt(*, is_metric: bool, lines: int) -> str:
    divisions = {50: "fifty", 20: "twenty", 25: "twenty-five"}[lines]
    part = {50: "two hundredths of a millimetre", 20: "five hundredths of a millimetre", 25: "a thousandth of an inch"}
    beam = (
        "a line each millimetre, every fifth longer, every tenth longest and numbered in millimetres"
        if is_metric
        else "a line each twenty-five thousandths of an inch, every second longer, every fourth longest and numbered "
        "with its tenths, and whole inches numbered large"
    )
    numerals = (
        "numbered in tenths of a millimetre"
        if is_metric
        else "every fifth longer and numbered in thousandths of an inch"
    )
    return (
        f"A vernier caliper, the fixed jaw on the left. Its beam counts from left to right: {beam}. Below its edge lies "
        f"the vernier of the sliding jaw, of {divisions} divisions, each worth {part[lines]}, {numerals}. "
        "Below, the vernier is drawn again, large, in pieces one under the other: the beam's lines come down to the "
        "edge from above, the vernier's lines from below, and on one line they go on straight."
    )


def _beam(vernier: Vernier, divisions: float, last: int, *, is_metric: bool) -> Drawn:
    """The beam with its fixed jaw, as far as they are in sight."""
    scale = vernier.scale
    start = vernier.nought - divisions * scale
    face = start - JAW
    first = max(0, math.ceil((4 - start) / scale))
    final = min(last, math.floor((WIDTH - 4 - start) / scale))
    marks, numerals = [], []
    for k in range(first, final + 1):
        x = start + k * scale
        is_inch = not is_metric and k % 40 == 0
        is_numbered = k % vernier.numbered == 0
        marks.append((x, MEET, -(26 if is_inch else 22 if is_numbered else 16 if k % vernier.medium == 0 else 11)))
        if is_numbered:
            words = str(k) if is_metric else str(k // 40 if is_inch else k // 4 % 10)
            half = 6.5 * len(words) + (3 if is_inch else 0)
            if half < x < WIDTH - half:
                size = "num-beam whole-beam-num" if is_inch else "num-mid beam-num"
                numerals.append(text(size, x, MEET - (29 if is_inch else 27), words))
    begin = max(-4.0, face - 40)
    end = min(WIDTH + 4.0, start + (last + 4) * scale)
    drawn = [
        rect("steel", begin, TOP, end - begin, MEET - TOP + 12),
        rect("steel-lit", begin, TOP + 3, end - begin, 8),
        path("outline-fat", f"M{number(begin)} {number(TOP)}H{number(end)}V{number(MEET + 12)}H{number(begin)}"),
    ]
    if face > -20:
        jaw = (
            f"M{number(face)} {number(MEET + 12)}V{number(JAW_FOOT)}h-7L{number(face - 30)} {number(MEET + 30)}"
            f"V{number(TOP)}"
        )
        drawn += [path("block-steel", f"{jaw}H{number(face)}Z"), path("outline-fat", jaw)]
        drawn.append(path("outline-fat fixed-jaw", f"M{number(face)} {number(TOP)}V{number(JAW_FOOT)}"))
    return together(*drawn, uprights("tick beam-line", marks), *numerals)


@cache
def _slider(vernier: Vernier) -> Drawn:
    """It stands still in the picture: the beam goes by behind it."""
    face = vernier.nought - JAW
    apart = vernier.scale * (vernier.lines - 1) / vernier.lines
    marks, numerals = [], []
    for k in range(vernier.lines + 1):
        x = vernier.nought + k * apart
        marks.append((x, MEET, 15 if k % vernier.every == 0 else 9))
        if k % vernier.coarse == 0:
            numerals.append(text("num-small slider-num", x, MEET + 29, str(k // vernier.every * vernier.worth)))
    right = vernier.nought + vernier.lines * apart + 14
    plate = f"M{number(face)} {number(MEET)}H{number(right)}V{number(FOOT)}H{number(face + 24)}"
    jaw = f"L{number(face + 7)} {number(JAW_FOOT)}H{number(face)}Z"
    return together(
        path("steel-lit", plate + jaw),
        path("outline-fat", plate + jaw),
        path("outline-fat sliding-jaw", f"M{number(face)} {number(MEET)}V{number(JAW_FOOT)}"),
        uprights("tick slider-line", marks),
        *numerals,
        text("legend", 8, PIECES - 10, "the vernier, seen large, in pieces"),
    )


def _piece(vernier: Vernier, divisions: float, row: int, *, is_metric: bool) -> Drawn:
    first, after = vernier.breaks[row], vernier.breaks[row + 1]
    edge = PIECES + PIECE * row + ALONG
    apart = vernier.large * vernier.lines / (vernier.lines - 1)  # of the beam's lines
    origin = LEFT - first * vernier.large - divisions * apart  # where the beam's nought would be
    marks, numerals = [], []
    low = max(0, math.ceil((5 - origin) / apart))
    for k in range(low, math.floor((WIDTH - 5 - origin) / apart) + 1):
        x = origin + k * apart
        is_numbered = k % vernier.numbered == 0
        marks.append((x, edge, -(22 if is_numbered else 18 if k % vernier.medium == 0 else 14)))
        words = str(k) if is_metric else _inches(k)
        half = 5.3 * len(words)
        if is_numbered and half < x < WIDTH - half:
            numerals.append(text("num-small piece-num", x, edge - 25, words))
    return together(_piece_ground(vernier, row, first, after), uprights("tick piece-beam-line", marks), *numerals)


def _inches(k: int) -> str:
    """A numbered line of the beam: whole inches by themselves, tenths with their point."""
    return str(k // 40) if k % 40 == 0 else f".{k // 4 % 10}"


@cache
def _piece_ground(vernier: Vernier, row: int, first: int, after: int) -> Drawn:
    """What is the same at every reading: both grounds, and the vernier's own lines."""
    top = PIECES + PIECE * row
    edge = top + ALONG
    marks, numerals = [], []
    for k in range(first, after):
        x = LEFT + (k - first) * vernier.large
        marks.append((x, edge, 19 if k % vernier.every == 0 else 13))
        if k % vernier.every == 0:
            numerals.append(text("num-small vernier-num", x, edge + 32, str(k // vernier.every * vernier.worth)))
    return together(
        rect("steel", 2, top, WIDTH - 4, ALONG),
        rect("steel-lit", 2, edge, WIDTH - 4, 34),
        path("tick-fine", f"M2 {number(edge)}H{WIDTH - 2}"),
        uprights("tick vernier-line", marks),
        *numerals,
    )


Wrong = Callable[[float], tuple[float, ...]]


def _shifts(*by: float) -> Wrong:
    return lambda right: tuple(right + one for one in by)


def _at_coincidence(vernier: Vernier, size: float) -> Wrong:
    """The beam's line that goes on straight taken for the one before the vernier's nought."""

    def wrong(right: float) -> tuple[float, ...]:
        line = round(right / size / vernier.step) % vernier.lines
        return (right + line * vernier.division * size,) if line else ()

    return wrong


def _lines_as_hundredths(vernier: Vernier) -> Wrong:
    """The vernier's lines counted, and taken as hundredths of a millimetre each."""

    def wrong(right: float) -> tuple[float, ...]:
        line = round(right / vernier.step) % vernier.lines
        return (right + line * (0.01 - vernier.step),) if line > 1 else ()

    return wrong


def _short_lines_missed(right: float) -> tuple[float, ...]:
    """What stands between the numbered tenth and the vernier's nought left out."""
    past = math.floor(right / MM_PER_INCH / INCH.division + 1e-6) % INCH.numbered
    return (right - past * INCH.division * MM_PER_INCH,) if past else ()


def _misreads(unit: str, vernier: Vernier) -> tuple[Misread, ...]:
    size = 1.0 if unit == "mm" else MM_PER_INCH
    step, division = vernier.step * size, vernier.division * size
    found = [
        Misread(
            name="vernier_line_off",
            says="The vernier line next to the one that goes on straight into the beam was read.",
            wrong=_shifts(-step, step),
        ),
        Misread(
            name="line_past_nought",
            says="The beam's line after the vernier's nought was counted. Count the last line before it, on the left.",
            wrong=_shifts(division),
        ),
        Misread(
            name="line_at_coincidence",
            says=(
                "The beam was read where the lines go on straight. Read the beam at the vernier's nought; "
                "where the lines go on straight, only the vernier counts."
            ),
            wrong=_at_coincidence(vernier, size),
        ),
    ]
    if unit == "mm":
        return (
            *found,
            Misread(
                name="ten_off",
                says="The wrong numbered line of the beam was counted from: ten millimetres.",
                wrong=_shifts(-10.0, 10.0),
            ),
            Misread(
                name="lines_as_hundredths",
                says="The vernier's lines were counted as hundredths. Its numerals are tenths of a millimetre.",
                wrong=_lines_as_hundredths(vernier),
            ),
        )
    return (
        *found,
        Misread(
            name="tenth_off",
            says="One numbered tenth of an inch too few or too many was counted.",
            wrong=_shifts(-0.1 * size, 0.1 * size),
        ),
        Misread(
            name="inch_off",
            says="One whole inch too few or too many was counted. The large numerals are whole inches.",
            wrong=_shifts(-size, size),
        ),
        Misread(
            name="short_lines_missed",
            says="The lines between the numbered tenth and the vernier's nought were left out, each twenty-five thousandths.",
            wrong=_short_lines_missed,
        ),
    )


def _of(name: str, mark: str, unit: str, vernier: Vernier, high: float) -> VernierCaliper:
    size = 1.0 if unit == "mm" else MM_PER_INCH
    return VernierCaliper(
        name=f"vernier_caliper_{name}",
        family="vernier_caliper",
        title=f"Vernier caliper, {mark}",
        unit=unit,
        step=vernier.step * size,
        graduation=vernier.division * size,
        low=0.0,
        high=high * size,
        vernier=vernier,
        misreads=_misreads(unit, vernier),
    )


INSTRUMENTS: tuple[VernierCaliper, ...] = (
    _of("metric_fiftieths", "0.02 mm", "mm", FIFTY, 150.0),
    _of("metric_twentieths", "0.05 mm", "mm", TWENTY, 150.0),
    _of("inch", "0.001 in", "in", INCH, 6.0),
)
