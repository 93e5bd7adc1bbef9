"""What the micrometers of one trade are drawn from: a screw, a sleeve and a thimble, seen from the side.

Metric: a screw of 0.5 mm and a thimble of 50 parts. Inch: a screw of 0.025 in (40 threads to the inch) and a thimble
of 25 parts of 0.001 in. After US Army TM 9-243, 7-5 and 7-6 (its pitch of 0.05 mm is a misprint for 0.5).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cache

from assessments.engine.drawing import WIDTH, Drawn, Point, lines, number, outline, path, rect, text, together

EDGE = 206.0
"""Where the rim of the thimble stands; the sleeve comes out from under it."""
BEVEL = 74.0
"""How far the thimble's bevel goes before it is a plain cylinder."""
SEEN = 62.0
"""Lines further round the thimble than this (degrees) are too near its outline to be told apart."""
LETTERED = 52.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Screw:
    """What a system of micrometers has in common. Lengths in the face's unit.

    pitch: one turn. parts: on the thimble. numbered: from one numeral on the sleeve to the next, in pitches.
    per_pitch: units of drawing for one pitch along the sleeve.
    """

    pitch: float
    parts: int
    numbered: int
    per_pitch: float


METRIC = Screw(pitch=0.5, parts=50, numbered=10, per_pitch=9.0)
INCH = Screw(pitch=0.025, parts=25, numbered=4, per_pitch=15.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """Where the round view lies: the height of its middle, and the radii of sleeve, rim and thimble."""

    middle: float
    sleeve: float
    rim: float
    thimble: float
    height: float

    def lowered(self, by: float) -> View:
        return replace(self, middle=self.middle + by, height=self.height + by)


def sleeve_body(view: View, shoulder: float | None) -> Drawn:
    """The sleeve's cylinder in flat bands, from the frame's shoulder or, where that is out of sight, from the left."""
    left = -4.0 if shoulder is None else shoulder
    top, r = view.middle - view.sleeve, view.sleeve
    length = EDGE - left + 2
    drawn = [
        rect("steel", left, top, length, 2 * r),
        rect("steel-lit", left, top + 0.16 * r, length, 0.3 * r),
        rect("steel-dim", left, top + 1.62 * r, length, 0.38 * r),
        path(
            "outline",
            f"M{number(left)} {number(top)}H{number(EDGE)}M{number(left)} {number(top + 2 * r)}H{number(EDGE)}",
        ),
    ]
    if shoulder is not None:
        over = r + 12
        drawn += [
            rect("steel-dim", -4, view.middle - over, shoulder + 4, 2 * over),
            rect("steel", -4, view.middle - 0.82 * over, shoulder - 1, 1.4 * over),
            rect("steel-lit", -4, view.middle - 0.82 * over, shoulder - 1, 0.36 * over),
            path(
                "outline-fat",
                f"M-4 {number(view.middle - over)}H{number(shoulder - 5)}"
                f"L{number(shoulder)} {number(view.middle - over + 5)}V{number(view.middle + over - 5)}"
                f"L{number(shoulder - 5)} {number(view.middle + over)}H-4",
            ),
            path("outline", f"M{number(shoulder - 5)} {number(view.middle - over)}V{number(view.middle + over)}"),
        ]
    return together(*drawn)


@cache
def thimble(view: View) -> Drawn:
    """Bevel, plain band and knurl in flat bands of light; its first point is at the rim."""
    middle, rim, r = view.middle, view.rim, view.thimble
    plain, knurl = EDGE + BEVEL, EDGE + BEVEL + 20
    right = WIDTH + 6
    body = (
        (EDGE, middle - rim),
        (plain, middle - r),
        (right, middle - r),
        (right, middle + r),
        (plain, middle + r),
        (EDGE, middle + rim),
    )

    def band(class_: str, top: float, bottom: float) -> Drawn:
        """A band of light along bevel and cylinder, between two shares of the radius."""
        return outline(
            class_,
            (
                (EDGE, middle + top * rim),
                (plain, middle + top * r),
                (right, middle + top * r),
                (right, middle + bottom * r),
                (plain, middle + bottom * r),
                (EDGE, middle + bottom * rim),
            ),
        )

    return together(
        outline("steel", body),
        band("steel-lit", -0.84, -0.5),
        band("steel-dim", 0.62, 1),
        rect("steel-dark", plain + 7, middle - r, 5, 2 * r),
        _knurl(middle, r, knurl, right),
        path("outline", f"M{number(plain)} {number(middle - r)}v{number(2 * r)}"),
        path("outline", f"M{number(knurl)} {number(middle - r)}v{number(2 * r)}"),
        outline("outline-fat rim", body),
    )


def _knurl(middle: float, r: float, left: float, right: float) -> Drawn:
    """Two sets of screw lines round the cylinder, seen from the side."""
    lead = 200.0  # along, for half a turn
    written = []
    for way in (1, -1):
        start = left - lead
        while start < right:
            points: list[Point] = []
            for k in range(25):
                x = start + lead * k / 24
                if left - 0.1 <= x <= right:
                    points.append((x, middle - way * r * math.cos(math.pi * k / 24)))
            if len(points) > 1:
                written.append("M" + "L".join([f"{x:.0f} {y:.0f}" for x, y in points]))
            start += lead / 20
    return path("knurl", "".join(written))


def thimble_lines(view: View, screw: Screw, parts: float, *, upwards: bool = True) -> Drawn:
    """The thimble's lines as they lie on the bevel, the one at the long line being `parts`.

    A right-hand screw brings the near side of the thimble down as it is opened. So an outside micrometer, which
    grows as it is opened, is numbered upwards; a depth micrometer, which grows as it is closed, downwards.
    """
    each = 360 / screw.parts
    reach = int(SEEN / each) + 1
    nearest = round(parts)
    marks, numerals = [], []
    for k in range(nearest - reach, nearest + reach + 1):
        angle = (k - parts) * each * (1 if upwards else -1)
        if abs(angle) > SEEN:
            continue
        sine = math.sin(math.radians(angle))
        is_numbered = k % 5 == 0
        length = 28.0 if is_numbered else 19.0
        out = view.rim + (view.thimble - view.rim) * length / BEVEL
        marks.append(((EDGE, view.middle - view.rim * sine), (EDGE + length, view.middle - out * sine)))
        if is_numbered and abs(angle) <= LETTERED:
            at_numeral = view.rim + (view.thimble - view.rim) * 50 / BEVEL
            numerals.append(
                text("num thimble-num", EDGE + 51, view.middle - at_numeral * sine + 6.5, str(k % screw.parts))
            )
    return together(lines("tick thimble-line", marks), *numerals)
