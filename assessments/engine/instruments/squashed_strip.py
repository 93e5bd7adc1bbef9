"""The print of a squashed strip on its paper card, to be read across at its widest place.

The card carries one scale of widths in millimetres (tenths) and one in inches (five thousandths). That the
widest place counts: US Army TM 5-2420-222-34 p. 1-16, TM 9-2815-202-34 p. 4-157. The card is our own.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from assessments.engine.drawing import Drawn, Point, number, path, picture, rect, text, together, uprights, wave
from assessments.engine.instrument import Face, Instrument, Misread
from assessments.engine.kinds import MM_PER_INCH

HEIGHT = 252
ZERO = 20.0
"""Where the zero line stands."""
PER_MM = 54.0
TOP, BOTTOM = 76.0, 176.0
"""The two ends of the piece of print."""
MM_EDGE, INCH_EDGE = 182.0, 70.0
MM_LINES, INCH_LINES = 56, 44
"""The scales end at 5.6 mm and 0.220 in."""

NODES = (0.0, 0.13, 0.3, 0.44, 0.6, 0.77, 0.88, 1.0)
"""How far down the print its edges swell and draw in by turns."""
INCH_STEP = 0.005 * MM_PER_INCH

FIBRES = "".join(
    f"M{28 + 61 * k * k % 313} {78 + 29 * k * k * k % 97}q4 {k % 5 - 2} 7 {k * k % 7 - 3}" for k in range(30)
)
"""What one sees of paper close up: strewn, so that nobody counts by it."""

EVEN = (
    "The print of the strip lies with its left side along the nought line that runs across the card. Its two sides "
    "run side by side, a little wavy, and it is of one piece."
)
UNEVEN = (
    "The print of the strip lies with its left side against the nought line that runs across the card. Its sides "
    "lean over, it is smeared in slanting streaks, of uneven breadth, and shows double: a second, paler print looks "
    "out from under the first."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SquashedStrip(Instrument):
    """The card and its print; `unit` says which of the two scales is to be read."""

    def face(self, reading: float, *, ident: str, oddity: str = "") -> Face:
        self.must_show(reading, oddity)
        printed = _disturbed(reading * PER_MM) if oddity else _even(reading * PER_MM)
        scale, other = ("millimetre", "inch") if self.unit == "mm" else ("inch", "millimetre")
        alt = (
            "A paper card with two scales of widths, both counting from left to right from a common nought line. "
            "Under the print, millimetres: a line each tenth, a longer one each half, the whole ones longest and "
            "numbered. Above it, inches: a line each five thousandths, a longer one each twenty-five thousandths, "
            "every fifty thousandths longest and numbered. "
            f"The name of the {scale} scale is framed: that one is to be read, not the {other} scale. "
            f"{UNEVEN if oddity else EVEN}"
        )
        svg = picture(_card(self.unit), printed, _zero(), ident=ident, title=self.title, alt=alt, height=HEIGHT)
        return Face(svg=svg, alt=alt)


@cache
def _card(framed: str) -> Drawn:
    """Paper and both scales; the name of one of them is framed."""
    end = ZERO + MM_LINES / 10 * PER_MM
    mm = [
        (ZERO + k / 10 * PER_MM, MM_EDGE, 25 if k % 10 == 0 else 19 if k % 5 == 0 else 12) for k in range(MM_LINES + 1)
    ]
    inch = [
        (ZERO + k * INCH_STEP * PER_MM, INCH_EDGE, -25 if k % 10 == 0 else -19 if k % 5 == 0 else -12)
        for k in range(INCH_LINES + 1)
    ]
    frame_y = 188.0 if framed == "mm" else 43.0
    return together(
        rect("paper-under", 6, 9, 352, 241, rx=3),
        rect("paper", 2, 5, 353, 241, rx=3),
        rect("paper-band", 2.5, INCH_EDGE, 352, MM_EDGE - INCH_EDGE),
        path("paper-fibre", FIBRES),
        uprights("tick mm-scale", mm),
        uprights("tick inch-scale", inch),
        path(
            "tick", f"M{number(ZERO)} {number(MM_EDGE)}H{number(end)}M{number(ZERO)} {number(INCH_EDGE)}H{number(end)}"
        ),
        *[text("num mm-num", ZERO + k * PER_MM, 227, str(k)) for k in range(6)],
        *[
            text("num inch-num", ZERO + k * 10 * INCH_STEP * PER_MM, 37, f".{k * 5:02d}" if k else "0")
            for k in range(5)
        ],
        rect("frame", 324.5, frame_y, 29, 20, rx=2),
        text("num-small", 339, 58, "in"),
        text("num-small", 339, 203, "mm"),
    )


@cache
def _zero() -> Drawn:
    return uprights("tick zero", [(ZERO, INCH_EDGE, MM_EDGE - INCH_EDGE)])


def _unrest(width: float, k: int) -> float:
    """From 0 to 1, the same for the same print at all times: how far its edge draws in at its k-th hollow."""
    return (width * (0.37 + 0.11 * k) + 0.29 * k) % 1.0


def _figure(left: list[Point], right: list[Point]) -> str:
    """A print between two wavy sides, as path data."""
    (x, y), (x1, y1) = right[0], left[-1]
    down, up = wave(right[0], right[1:]), wave(left[-1], left[-2::-1])
    return f"M{number(x)} {number(y)}{down}L{number(x1)} {number(y1)}{up}Z"


def _even(width: float) -> Drawn:
    """Swells and hollows by turns: at every second node both sides swell, on the right once to the very width."""
    depth = min(2.4, width * 0.05)
    left, right = [], []
    for k, share in enumerate(NODES):
        y = TOP + share * (BOTTOM - TOP)
        # Two places are widest, one near each scale; the other swellings fall a little short.
        short = depth * (0.5 + 0.5 * _unrest(width, k)) if k % 2 == 0 else 0.0 if k in {1, 5} else depth * 0.3
        left.append((ZERO + short * 0.6, y))
        right.append((ZERO + width - short, y))
    inset = min(6.0, width * 0.16)
    glint = wave((left[0][0] + inset, TOP), [(x + inset, y) for x, y in left[1:]])
    gleam = wave((right[0][0] - inset, TOP), [(x - inset, y) for x, y in right[1:]])
    return together(
        path("squashed print", _figure(left, right)),
        path(
            "squashed-glint",
            f"M{number(left[0][0] + inset)} {number(TOP)}{glint}M{number(right[0][0] - inset)} {number(TOP)}{gleam}",
        ),
    )


def _disturbed(width: float) -> Drawn:
    """Two leaning prints, one over the other, between them as wide as the reading says."""
    lean = min(26.0, 3 + width * 0.22)
    apart = min(16.0, width * 0.22)
    pale_left, pale_right, dark_left, dark_right = [], [], [], []
    for k, share in enumerate(NODES):
        y = TOP + share * (BOTTOM - TOP)
        slant = lean * (1 - share)
        ragged = min(7.0, width * 0.09) * _unrest(width, k)
        # The pale print leans to the right at its top, where it is widest; the dark one begins on the zero line.
        pale_left.append((ZERO + apart + slant * 0.8 + ragged, y))
        pale_right.append((ZERO + width - lean + slant - (ragged if k else 0.0), y))
        dark_left.append((ZERO + slant + (ragged * 0.6 if share < 1 else 0.0), y))
        dark_right.append((ZERO + width - apart - lean + slant - ragged * 1.3, y))
    streaks = []
    for k in range(1, 7):
        across = k / 7
        x = ZERO + lean + across * (width - apart - lean)
        streaks.append(
            f"M{number(x)} {number(TOP + 6 + 5 * (k % 3))}l{number(-lean * 0.75)} {number(70 + 4 * (k % 2))}"
        )
    return together(
        path("squashed-pale print", _figure(pale_left, pale_right)),
        path("squashed print", _figure(dark_left, dark_right)),
        path("squashed-glint", "".join(streaks)),
    )


def _shifts(*by: float) -> Callable[[float], tuple[float, ...]]:
    return lambda right: tuple(right + one for one in by)


def _inch_number(right: float) -> tuple[float, ...]:
    """The inch scale's number, written as millimetres."""
    return (round(right / INCH_STEP) * 0.005,)


def _mm_number(right: float) -> tuple[float, ...]:
    """The millimetre scale's number, written as inches."""
    return (round(right / 0.1) * 0.1 * MM_PER_INCH,)


_OTHER_SCALE = "The number is right on the card's other scale. Look which scale the unit belongs to."
_ONE_LINE = "The line next to the right one was read. Follow the widest place of the print straight to the scale."

INSTRUMENTS: tuple[SquashedStrip, ...] = (
    SquashedStrip(
        name="squashed_strip_metric",
        family="squashed_strip",
        title="Squashed strip on its card, millimetre scale",
        unit="mm",
        step=0.1,
        graduation=0.1,
        low=0.4,
        high=5.5,
        misreads=(
            Misread(name="other_scale", says=_OTHER_SCALE, wrong=_inch_number),
            Misread(name="one_line_off", says=_ONE_LINE, wrong=_shifts(-0.1, 0.1)),
            Misread(
                name="long_line_miscounted",
                says="A half-millimetre line was taken for the one before or after. Only the longest lines are numbered.",
                wrong=_shifts(-1.0, -0.5, 0.5, 1.0),
            ),
        ),
        oddities=("disturbed",),
    ),
    SquashedStrip(
        name="squashed_strip_inch",
        family="squashed_strip",
        title="Squashed strip on its card, inch scale",
        unit="in",
        step=INCH_STEP,
        graduation=INCH_STEP,
        low=3 * INCH_STEP,
        high=43 * INCH_STEP,
        misreads=(
            Misread(name="other_scale", says=_OTHER_SCALE, wrong=_mm_number),
            Misread(name="one_line_off", says=_ONE_LINE, wrong=_shifts(-INCH_STEP, INCH_STEP)),
            Misread(
                name="long_line_miscounted",
                says=(
                    "A line of twenty-five thousandths was taken for the one before or after. "
                    "Only the longest lines are numbered."
                ),
                wrong=_shifts(-10 * INCH_STEP, -5 * INCH_STEP, 5 * INCH_STEP, 10 * INCH_STEP),
            ),
        ),
        oddities=("disturbed",),
    ),
)
