"""The scale of an outside micrometer: what is in sight has come out from under the thimble, and counts.

An inch sleeve may carry a vernier: ten divisions round it that take up nine of the thimble's (US Army TM 9-243, 7-5).
That a millimetre sleeve carries the whole millimetres of its range, and an inch sleeve its tenths alone, is common
practice, no source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from assessments.engine.drawing import Drawn, lines, number, path, rect, text, together, uprights
from assessments.engine.face_units import FACE_UNITS
from assessments.engine.instrument import Misread
from assessments.engine.kinds import MM_PER_INCH
from assessments.engine.micrometer.misreads import inch_misreads, metric_misreads
from assessments.engine.micrometer.parts import EDGE, INCH, METRIC, Screw, View, sleeve_body, thimble, thimble_lines

PLAIN = View(middle=122, sleeve=80, rim=88, thimble=112, height=244)
ABOVE_VERNIER = View(middle=92, sleeve=58, rim=64, thimble=84, height=470)

# The vernier, rolled out flat below the round view.
FLAT_TOP, FLAT_BOTTOM = 208.0, 462.0
FLAT_DATUM = 446.0
FLAT_EDGE = 190.0
PER_PART = 21.5


@dataclass(frozen=True, slots=True, kw_only=True)
class OutsideScale:
    """One range. unit: "mm" or "in". start: where the range begins, in that unit."""

    unit: str
    start: int
    has_vernier: bool = False

    @property
    def screw(self) -> Screw:
        return METRIC if self.unit == "mm" else INCH

    @property
    def view(self) -> View:
        return ABOVE_VERNIER if self.has_vernier else PLAIN

    @property
    def graduation(self) -> float:
        """One part of the thimble in mm."""
        return 0.01 if self.unit == "mm" else 0.001 * MM_PER_INCH

    @property
    def step(self) -> float:
        """In mm: a part of the thimble, or a tenth of it with a vernier."""
        return self.graduation / 10 if self.has_vernier else self.graduation

    @property
    def end(self) -> int:
        return self.start + (25 if self.unit == "mm" else 1)

    @property
    def low(self) -> float:
        """In mm."""
        return self.start * FACE_UNITS[self.unit].size

    @property
    def high(self) -> float:
        """In mm."""
        return self.end * FACE_UNITS[self.unit].size

    @property
    def misreads(self) -> tuple[Misread, ...]:
        if self.unit == "mm":
            return metric_misreads(self.start)
        return inch_misreads(self.start, has_vernier=self.has_vernier)

    def drawn(self, reading: float, *, drop: float = 0.0) -> Drawn:
        """Sleeve and thimble at a reading (mm), and with a vernier its lines rolled out flat below.

        drop: how far below the top of the picture it begins.
        """
        view, screw = self.view.lowered(drop), self.screw
        pitches = (reading / FACE_UNITS[self.unit].size - self.start) / screw.pitch
        uncovered = math.floor(pitches + 1e-6)
        parts = (pitches - uncovered) * screw.parts
        drawn = [
            _sleeve(view, pitches, screw),
            _sleeve_lines(self, view, pitches, uncovered),
            thimble(view),
            thimble_lines(view, screw, parts),
        ]
        if self.has_vernier:
            drawn += [_flat_sleeve(drop), _flat_thimble(screw, parts, drop)]
        return together(*drawn)

    def words(self) -> str:
        """What is to be seen of it: the same at every reading."""
        return _words(is_metric=self.unit == "mm", has_vernier=self.has_vernier)


@cache
def _words(*, is_metric: bool, has_vernier: bool) -> str:
    count = (
        "Sleeve and thimble of an outside micrometer, the thimble on the right. "
        "The sleeve counts from left to right, and the last lines are covered by the thimble. "
    )
    if is_metric:
        return (
            count
            + "Above its long line stands a line each millimetre, every fifth one longer and numbered with the whole "
            "size; below it a line midway between each two. The bevel of the thimble has fifty parts of a hundredth "
            "of a millimetre, every fifth one longer and numbered, counting upwards; one of them meets the long line."
        )
    sleeve = (
        "A line stands each twenty-five thousandths of an inch, every fourth one longer and numbered with its tenths, "
        "from nought again at each whole inch. The bevel of the thimble has twenty-five parts of a thousandth, every "
        "fifth one longer and numbered, counting upwards. "
    )
    if not has_vernier:
        return f"{count}{sleeve}One of them meets the long line of the sleeve."
    return (
        f"{count}{sleeve}The long line of the sleeve lies on one of them or between two. Below, the same place is "
        "drawn rolled out flat: eleven vernier lines on the sleeve, numbered upwards from nought to nine and nought "
        "again, against the lines of the thimble, one of which goes on straight from a line of the vernier."
    )


def _sleeve(view: View, pitches: float, screw: Screw) -> Drawn:
    shoulder = EDGE - (pitches + 2.2) * screw.per_pitch
    return _long_sleeve(view) if shoulder < 3 else sleeve_body(view, shoulder)


@cache
def _long_sleeve(view: View) -> Drawn:
    return sleeve_body(view, None)


def _sleeve_lines(scale: OutsideScale, view: View, pitches: float, uncovered: int) -> Drawn:
    """The long line, and what has come out from under the thimble; the line at the rim itself is still seen."""
    screw, middle = scale.screw, view.middle
    is_metric = scale.unit == "mm"
    up = 1 if scale.has_vernier else -1  # with a vernier above the long line, the scale stands below it
    first = max(0, math.ceil(pitches - (EDGE - 4) / screw.per_pitch))
    marks, halves, numerals = [], [], []
    for k in range(first, uncovered + 1):
        x = EDGE - (pitches - k) * screw.per_pitch
        if is_metric and k % 2:
            halves.append((x, middle, 17))
        else:
            is_numbered = k % screw.numbered == 0
            marks.append((x, middle, up * (27 if is_numbered else 18)))
            if is_numbered:
                words = str(round(scale.start + k * screw.pitch) if is_metric else k // screw.numbered % 10)
                if x > 6.5 * len(words):  # not cut off on the left
                    numerals.append(text("num sleeve-num", x, middle + (47 if up > 0 else -34), words))
    begin = max(-2.0, EDGE - pitches * screw.per_pitch)
    drawn = [
        path("tick long-line", f"M{number(begin)} {number(middle)}H{number(EDGE)}"),
        uprights("tick sleeve-line", marks),
        *numerals,
    ]
    if halves:
        drawn.append(uprights("tick half-line", halves))
    if scale.has_vernier:
        drawn.append(_vernier_round(view, max(begin, 44.0)))
    return together(*drawn)


def _vernier_round(view: View, begin: float) -> Drawn:
    """The vernier's lines as they go over the back of the sleeve, foreshortened."""
    step = 0.9 * 360 / INCH.parts
    heights = [view.middle - view.sleeve * math.sin(math.radians(step * k)) for k in range(1, 7)]
    return lines("tick-fine", [((begin, y), (EDGE, y)) for y in heights])


@cache
def _flat_sleeve(drop: float) -> Drawn:
    """The sleeve rolled out: eleven lines over nine parts of the thimble, and the paper it all lies on."""
    top, bottom, spacing = drop + FLAT_TOP, drop + FLAT_BOTTOM, 0.9 * PER_PART
    heights = [drop + FLAT_DATUM - k * spacing for k in range(11)]
    tall = bottom - top
    return together(
        rect("steel", 24, top, FLAT_EDGE - 24, tall),
        rect("steel-lit", FLAT_EDGE, top, 120, tall),
        text("legend", 24, top - 8, "rolled out flat"),
        lines("tick vernier-line", [((98 if k % 10 else 84, y), (FLAT_EDGE, y)) for k, y in enumerate(heights)]),
        *[text("num-mid vernier-num", 68, y + 5.5, str(k % 10)) for k, y in enumerate(heights)],
        path("outline", f"M24 {number(top)}H310V{number(bottom)}H24Z"),
        path("outline-fat flat-rim", f"M{number(FLAT_EDGE)} {number(top)}V{number(bottom)}"),
    )


def _flat_thimble(screw: Screw, parts: float, drop: float) -> Drawn:
    first = math.ceil(parts - (FLAT_BOTTOM - FLAT_DATUM - 4) / PER_PART)
    last = math.floor(parts + (FLAT_DATUM - FLAT_TOP - 4) / PER_PART)
    marks, numerals = [], []
    for k in range(first, last + 1):
        y = drop + FLAT_DATUM - (k - parts) * PER_PART
        marks.append(((FLAT_EDGE, y), (FLAT_EDGE + (62 if k % 5 == 0 else 46), y)))
        if k % 5 == 0 and drop + FLAT_TOP + 10 < y < drop + FLAT_BOTTOM - 10:
            numerals.append(text("num flat-num", FLAT_EDGE + 84, y + 6.5, str(k % screw.parts)))
    return together(lines("tick flat-line", marks), *numerals)
