"""Depth micrometers, metric and inch: the thimble moves on towards the base, and covers what counts.

The rod comes out as the thimble is turned in, so sleeve and thimble are numbered the other way round from those of an
outside micrometer, and the line to count is the last one that the thimble has covered: US Army TM 9-243 and common
practice. Rods of several lengths go with one head; its sleeve counts from nought with each of them, so what the rod
begins at has to be added. The screw is that of `micrometer.parts`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from assessments.engine.drawing import Drawn, number, path, picture, text, together, uprights
from assessments.engine.face_units import FACE_UNITS
from assessments.engine.instrument import Face, Instrument, Misread
from assessments.engine.kinds import MM_PER_INCH
from assessments.engine.micrometer.misreads import THOU, backwards, shifts
from assessments.engine.micrometer.parts import EDGE, INCH, METRIC, Screw, View, sleeve_body, thimble, thimble_lines

VIEW = View(middle=120, sleeve=80, rim=88, thimble=112, height=240)
HEIGHT = 266


@dataclass(frozen=True, slots=True, kw_only=True)
class DepthMicrometer(Instrument):
    """A head with one of its rods. start, end: the rod's range, in the unit of the face."""

    screw: Screw
    start: int
    end: int

    def face(self, reading: float, *, ident: str, oddity: str = "") -> Face:
        self.must_show(reading, oddity)
        pitches = (self.in_unit(reading) - self.start) / self.screw.pitch
        parts = (pitches - math.floor(pitches + 1e-6)) * self.screw.parts
        alt = _alt(is_metric=self.unit == "mm")
        svg = picture(
            _sleeve(self, pitches),
            _sleeve_lines(self, pitches),
            thimble(VIEW),
            thimble_lines(VIEW, self.screw, parts, upwards=False),
            text("legend", 8, HEIGHT - 8, f"rod for {self.start} to {self.end} {self.unit}"),
            ident=ident,
            title=self.title,
            alt=alt,
            height=HEIGHT,
        )
        return Face(svg=svg, alt=alt)


@cache
def _alt(*, is_metric: bool) -> str:
    count = (
        "Sleeve and thimble of a depth micrometer, the base on the left, the thimble on the right. The sleeve counts "
        "from right to left, from nought at every rod, and its first lines are covered by the thimble. "
    )
    if is_metric:
        sleeve = (
            "Above its long line stands a line each millimetre, every fifth one longer and numbered; below it a line "
            "midway between each two. The bevel of the thimble has fifty parts of a hundredth of a millimetre, "
        )
    else:
        sleeve = (
            "A line stands each twenty-five thousandths of an inch, every fourth one longer and numbered with its "
            "tenths. The bevel of the thimble has twenty-five parts of a thousandth, "
        )
    return (
        f"{count}{sleeve}every fifth one longer and numbered, counting downwards; one of them meets the long line. "
        "The rod in use is named below."
    )


def _last(screw: Screw, unit: str) -> int:
    """The sleeve's last line, counted in pitches."""
    return round((25 if unit == "mm" else 1) / screw.pitch)


def _sleeve(micrometer: DepthMicrometer, pitches: float) -> Drawn:
    """Up to the base, where that is in sight."""
    screw = micrometer.screw
    shoulder = EDGE - (_last(screw, micrometer.unit) + 2.2 - pitches) * screw.per_pitch
    return _long_sleeve() if shoulder < 3 else sleeve_body(VIEW, shoulder)


@cache
def _long_sleeve() -> Drawn:
    return sleeve_body(VIEW, None)


def _sleeve_lines(micrometer: DepthMicrometer, pitches: float) -> Drawn:
    """The long line, and what is not yet covered; the line at the rim itself is still seen."""
    screw, middle = micrometer.screw, VIEW.middle
    is_metric = micrometer.unit == "mm"
    last = min(_last(screw, micrometer.unit), math.floor(pitches + (EDGE - 4) / screw.per_pitch))
    marks, halves, numerals = [], [], []
    for k in range(math.ceil(pitches - 1e-6), last + 1):
        x = EDGE - (k - pitches) * screw.per_pitch
        if is_metric and k % 2:
            halves.append((x, middle, 17))
            continue
        is_numbered = k % screw.numbered == 0
        marks.append((x, middle, -27 if is_numbered else -18))
        words = str(k // 2 if is_metric else k // screw.numbered % 10)
        if is_numbered and x > 6.5 * len(words):  # not cut off on the left
            numerals.append(text("num sleeve-num", x, middle - 34, words))
    begin = max(-2.0, EDGE - (_last(screw, micrometer.unit) - pitches) * screw.per_pitch)
    drawn = [
        path("tick long-line", f"M{number(begin)} {number(middle)}H{number(EDGE)}"),
        uprights("tick sleeve-line", marks),
        *numerals,
    ]
    if halves:
        drawn.append(uprights("tick half-line", halves))
    return together(*drawn)


def _uncovered_line(start: float, end: float, *pitches: float) -> Callable[[float], tuple[float, ...]]:
    """The first line still in sight counted instead of the last covered one; none is, at the end of the range."""
    return lambda right: tuple(right + one for one in pitches if start <= right <= end - one)


def _misreads(unit: str, start: int) -> tuple[Misread, ...]:
    screw, size = (METRIC, 1.0) if unit == "mm" else (INCH, MM_PER_INCH)
    low, high = start * size, (start + _last(screw, unit) * screw.pitch) * size
    turn = screw.pitch * size
    part = turn / screw.parts
    words = {"mm": ("half a millimetre", "five millimetres"), "in": ("twenty-five thousandths", "a tenth of an inch")}
    one_turn, one_stretch = words[unit]
    found = [
        Misread(
            name="uncovered_line_counted",
            says=(
                "The first line still in sight was counted. On a depth micrometer the thimble covers what counts: "
                "take the last line it has covered."
            ),
            wrong=_uncovered_line(low, high, *((turn, 2 * turn) if unit == "mm" else (turn,))),
        ),
        Misread(
            name="covered_line_missed",
            says=f"A line that the thimble has already covered was not counted: {one_turn} too little.",
            wrong=_uncovered_line(low + turn, high + turn, -turn),
        ),
        Misread(
            name="division_missed",
            says=f"The wrong numbered line of the sleeve was counted from: {one_stretch}.",
            wrong=shifts(-screw.numbered * turn, screw.numbered * turn),
        ),
        Misread(
            name="thimble_backwards",
            says="The thimble was counted the wrong way. On a depth micrometer its numbers grow downwards.",
            wrong=backwards(screw, size, float(start)),
        ),
        Misread(
            name="one_line_off",
            says="The thimble line next to the one that meets the long line was read.",
            wrong=shifts(-part, part),
        ),
    ]
    if start:
        found.append(
            Misread(
                name="rod_forgotten",
                says="What the longer rod begins at was left out. The sleeve counts from nought with every rod.",
                wrong=shifts(-low),
            )
        )
    return tuple(found)


def _of(unit: str, start: int) -> DepthMicrometer:
    size = FACE_UNITS[unit].size
    end = start + (25 if unit == "mm" else 1)
    step = 0.01 if unit == "mm" else THOU
    return DepthMicrometer(
        name=f"depth_micrometer_{'metric' if unit == 'mm' else 'inch'}_{start}",
        family="depth_micrometer",
        title=f"Depth micrometer, {start} to {end} {unit}",
        unit=unit,
        step=step,
        graduation=step,
        low=start * size,
        high=end * size,
        screw=METRIC if unit == "mm" else INCH,
        start=start,
        end=end,
        misreads=_misreads(unit, start),
    )


INSTRUMENTS: tuple[DepthMicrometer, ...] = (
    *(_of("mm", 25 * k) for k in range(3)),
    *(_of("in", k) for k in range(3)),
)
