"""Outside micrometers, metric and inch, from geometry.

Metric: a screw of 0.5 mm, millimetres above the sleeve's line and halves below it, a thimble of 50 parts.
Inch: a screw of 0.025 in (40 threads to the inch), a thimble of 25 parts of 0.001 in, and, with vernier, ten
divisions round the sleeve that take up nine of the thimble's. All after US Army TM 9-243, 7-5 and 7-6 (its
pitch of 0.05 mm is a misprint for 0.5). Subject of ISO 3611. That a millimetre sleeve carries the whole
millimetres of its range, and an inch sleeve its tenths alone, is common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from assessments.engine.drawing import (
    WIDTH,
    Drawn,
    Point,
    lines,
    number,
    outline,
    path,
    picture,
    rect,
    text,
    together,
    uprights,
)
from assessments.engine.instrument import Face, Instrument, Misread
from assessments.engine.kinds import MM_PER_INCH

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


PLAIN = View(middle=122, sleeve=80, rim=88, thimble=112, height=244)
ABOVE_VERNIER = View(middle=92, sleeve=58, rim=64, thimble=84, height=470)

# The vernier, rolled out flat below the round view.
FLAT_TOP, FLAT_BOTTOM = 208.0, 462.0
FLAT_DATUM = 446.0
FLAT_EDGE = 190.0
PER_PART = 21.5


@dataclass(frozen=True, slots=True, kw_only=True)
class OutsideMicrometer(Instrument):
    """A micrometer of one range. start: where its range begins, in the unit of its face."""

    screw: Screw
    start: float
    has_vernier: bool = False

    def face(self, reading: float, *, ident: str, oddity: str = "") -> Face:
        self.must_show(reading, oddity)
        view = ABOVE_VERNIER if self.has_vernier else PLAIN
        screw = self.screw
        pitches = (reading / self.unit_size - self.start) / screw.pitch
        uncovered = math.floor(pitches + 1e-6)
        parts = (pitches - uncovered) * screw.parts
        alt = _alt(is_metric=self.unit == "mm", has_vernier=self.has_vernier)
        drawn = [_sleeve(view, pitches, screw), _sleeve_lines(self, view, pitches, uncovered), _thimble(view)]
        drawn.append(_thimble_lines(view, screw, parts))
        if self.has_vernier:
            drawn += [_flat_sleeve(), _flat_thimble(screw, parts)]
        return Face(
            svg=picture(*drawn, ident=ident, title=self.title, alt=alt, height=view.height),
            alt=alt,
        )


@cache
def _alt(*, is_metric: bool, has_vernier: bool) -> str:
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


def _sleeve_body(view: View, shoulder: float | None) -> Drawn:
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


def _sleeve(view: View, pitches: float, screw: Screw) -> Drawn:
    shoulder = EDGE - (pitches + 2.2) * screw.per_pitch
    return _long_sleeve(view) if shoulder < 3 else _sleeve_body(view, shoulder)


@cache
def _long_sleeve(view: View) -> Drawn:
    return _sleeve_body(view, None)


def _sleeve_lines(micrometer: OutsideMicrometer, view: View, pitches: float, uncovered: int) -> Drawn:
    """The long line, and what has come out from under the thimble; the line at the rim itself is still seen."""
    screw, middle = micrometer.screw, view.middle
    is_metric = micrometer.unit == "mm"
    up = 1 if micrometer.has_vernier else -1  # with a vernier above the long line, the scale stands below it
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
                words = str(round(micrometer.start + k * screw.pitch) if is_metric else k // screw.numbered % 10)
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
    if micrometer.has_vernier:
        drawn.append(_vernier_round(view, max(begin, 44.0)))
    return together(*drawn)


def _vernier_round(view: View, begin: float) -> Drawn:
    """The vernier's lines as they go over the back of the sleeve, foreshortened."""
    step = 0.9 * 360 / INCH.parts
    heights = [view.middle - view.sleeve * math.sin(math.radians(step * k)) for k in range(1, 7)]
    return lines("tick-fine", [((begin, y), (EDGE, y)) for y in heights])


@cache
def _thimble(view: View) -> Drawn:
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


def _thimble_lines(view: View, screw: Screw, parts: float) -> Drawn:
    """The thimble's lines as they lie on the bevel: greater numbers come down from above as it is opened."""
    each = 360 / screw.parts
    reach = int(SEEN / each) + 1
    nearest = round(parts)
    marks, numerals = [], []
    for k in range(nearest - reach, nearest + reach + 1):
        angle = (k - parts) * each
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


@cache
def _flat_sleeve() -> Drawn:
    """The sleeve rolled out: eleven lines over nine parts of the thimble, and the paper it all lies on."""
    spacing = 0.9 * PER_PART
    heights = [FLAT_DATUM - k * spacing for k in range(11)]
    tall = FLAT_BOTTOM - FLAT_TOP
    return together(
        rect("steel", 24, FLAT_TOP, FLAT_EDGE - 24, tall),
        rect("steel-lit", FLAT_EDGE, FLAT_TOP, 120, tall),
        text("legend", 24, FLAT_TOP - 8, "rolled out flat"),
        lines("tick vernier-line", [((98 if k % 10 else 84, y), (FLAT_EDGE, y)) for k, y in enumerate(heights)]),
        *[text("num-mid vernier-num", 68, y + 5.5, str(k % 10)) for k, y in enumerate(heights)],
        path("outline", f"M24 {number(FLAT_TOP)}H310V{number(FLAT_BOTTOM)}H24Z"),
        path("outline-fat flat-rim", f"M{number(FLAT_EDGE)} {number(FLAT_TOP)}V{number(FLAT_BOTTOM)}"),
    )


def _flat_thimble(screw: Screw, parts: float) -> Drawn:
    first = math.ceil(parts - (FLAT_BOTTOM - FLAT_DATUM - 4) / PER_PART)
    last = math.floor(parts + (FLAT_DATUM - FLAT_TOP - 4) / PER_PART)
    marks, numerals = [], []
    for k in range(first, last + 1):
        y = FLAT_DATUM - (k - parts) * PER_PART
        marks.append(((FLAT_EDGE, y), (FLAT_EDGE + (62 if k % 5 == 0 else 46), y)))
        if k % 5 == 0 and FLAT_TOP + 10 < y < FLAT_BOTTOM - 10:
            numerals.append(text("num flat-num", FLAT_EDGE + 84, y + 6.5, str(k % screw.parts)))
    return together(lines("tick flat-line", marks), *numerals)


def _shifts(*by: float) -> Callable[[float], tuple[float, ...]]:
    return lambda right: tuple(right + one for one in by)


def _backwards(screw: Screw, unit_mm: float, start: float) -> Callable[[float], tuple[float, ...]]:
    """The thimble's lines counted down from the last part instead of up from nought."""
    part = screw.pitch / screw.parts

    def wrong(right: float) -> tuple[float, ...]:
        turned = (right / unit_mm - start) % screw.pitch
        if round(turned / part) in {0, screw.parts} or abs(screw.pitch - 2 * turned) < part / 2:
            return ()  # at nought and at the middle both ways give the same
        return (right + (screw.pitch - 2 * turned) * unit_mm,)

    return wrong


def _vernier_digit(right: float) -> int:
    return round(right / MM_PER_INCH / 0.0001) % 10


def _vernier_ignored(right: float) -> tuple[float, ...]:
    digit = _vernier_digit(right)
    return (right - digit * 0.0001 * MM_PER_INCH,) if digit else ()


def _vernier_misplaced(right: float) -> tuple[float, ...]:
    """The vernier's tenths of a thousandth added as whole thousandths."""
    digit = _vernier_digit(right)
    return (right + digit * (0.001 - 0.0001) * MM_PER_INCH,) if digit else ()


def _metric(start: int) -> OutsideMicrometer:
    return OutsideMicrometer(
        name=f"outside_micrometer_metric_{start}",
        family="outside_micrometer",
        title=f"Outside micrometer, {start} to {start + 25} mm",
        unit="mm",
        step=0.01,
        graduation=0.01,
        low=float(start),
        high=float(start + 25),
        screw=METRIC,
        start=float(start),
        misreads=(
            Misread(
                name="half_millimetre_missed",
                says="The line below the long line was missed, or counted though it was still covered: half a millimetre.",
                wrong=_shifts(-0.5, 0.5),
            ),
            Misread(
                name="sleeve_line_missed",
                says="One line of the sleeve too few or too many was counted: a whole millimetre.",
                wrong=_shifts(-1.0, 1.0),
            ),
            Misread(
                name="division_missed",
                says="The wrong numbered line of the sleeve was counted from: five millimetres.",
                wrong=_shifts(-5.0, 5.0),
            ),
            Misread(
                name="thimble_backwards",
                says="The thimble was counted the wrong way, from the next numeral down. Its numbers grow upwards.",
                wrong=_backwards(METRIC, 1.0, float(start)),
            ),
            Misread(
                name="one_line_off",
                says="The thimble line next to the one that meets the long line was read.",
                wrong=_shifts(-0.01, 0.01),
            ),
        ),
    )


def _inch(start: int, *, has_vernier: bool) -> OutsideMicrometer:
    thou = 0.001 * MM_PER_INCH
    misreads = [
        Misread(
            name="sleeve_line_missed",
            says="One line of the sleeve too few or too many was counted: twenty-five thousandths.",
            wrong=_shifts(-25 * thou, 25 * thou),
        ),
        Misread(
            name="division_missed",
            says="The wrong numbered line of the sleeve was counted from: a tenth of an inch.",
            wrong=_shifts(-100 * thou, 100 * thou),
        ),
        Misread(
            name="thimble_backwards",
            says="The thimble was counted the wrong way, from the next numeral down. Its numbers grow upwards.",
            wrong=_backwards(INCH, MM_PER_INCH, float(start)),
        ),
        Misread(
            name="one_line_off",
            says="The thimble line next to the right one was read.",
            wrong=_shifts(-thou, thou),
        ),
    ]
    if start:
        misreads.append(
            Misread(
                name="range_forgotten",
                says="The whole inches that this micrometer begins at were left out. Its range is named on its frame.",
                wrong=_shifts(-start * MM_PER_INCH),
            )
        )
    if has_vernier:
        misreads += [
            Misread(
                name="vernier_ignored",
                says="The vernier was left out: the ten-thousandths are missing.",
                wrong=_vernier_ignored,
            ),
            Misread(
                name="vernier_misplaced",
                says="The vernier's number was added to the thousandths. It counts ten-thousandths.",
                wrong=_vernier_misplaced,
            ),
            Misread(
                name="vernier_line_off",
                says="The vernier line next to the one that goes on straight into the thimble was read.",
                wrong=_shifts(-thou / 10, thou / 10),
            ),
        ]
    return OutsideMicrometer(
        name=f"outside_micrometer_inch_vernier_{start}" if has_vernier else f"outside_micrometer_inch_{start}",
        family="outside_micrometer",
        title=f"Outside micrometer, {start} to {start + 1} in{', with vernier' if has_vernier else ''}",
        unit="in",
        step=thou / 10 if has_vernier else thou,
        graduation=thou,
        low=start * MM_PER_INCH,
        high=(start + 1) * MM_PER_INCH,
        screw=INCH,
        start=float(start),
        has_vernier=has_vernier,
        misreads=tuple(misreads),
    )


INSTRUMENTS: tuple[OutsideMicrometer, ...] = (
    *(_metric(25 * k) for k in range(6)),
    *(_inch(k, has_vernier=False) for k in range(6)),
    *(_inch(k, has_vernier=True) for k in range(6)),
)
