"""Tachometers: a dial with two hands, a dial with two rings, and a counter of turns with a stop watch.

Two hands: the long one goes round once in a thousand rpm, a line each ten; a small one counts the thousands. Two rings:
one hand over one set of lines, numbered for two ranges, the lower a tenth of the other; a lever chooses. The counter
gives whole turns, and the watch the half minute they took. How each is divided is common practice, no source.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from assessments.engine.drawing import Drawn, arc, at, circle, hand, picture, rect, spokes, text, together
from assessments.engine.instrument import Face, Instrument, Misread
from assessments.engine.kinds import Kind

CENTRE = (180.0, 180.0)
SIZE = 360
MOST = 5000.0
"""All of these go up to so many rpm, but the lower ring."""

# Two hands.
OUT = 153.0
SMALL = (180.0, 233.0)
SMALL_OUT = 42.0
SMALL_ANGLE = 54.0
"""The small hand for a thousand: five of them leave a gap below, so that nought is not five."""
SMALL_START = -2.5 * SMALL_ANGLE

# Two rings.
RING_OUT = 163.0
SWEEP = 300.0
RING_START = -SWEEP / 2
RING_LINES = 250
RING_NUMBERED = 25

# The counter.
HALF_MINUTE = 0.5
WATCH = (180.0, 214.0)
WATCH_OUT = 88.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Tachometer(Instrument):
    """One way of showing a speed. height: of its picture."""

    kind: Kind = Kind.SPEED
    height: float = SIZE

    @abstractmethod
    def drawn(self, reading: float) -> Drawn: ...

    @property
    @abstractmethod
    def alt(self) -> str: ...

    def face(self, reading: float, *, ident: str, oddity: str = "") -> Face:
        self.must_show(reading, oddity)
        svg = picture(self.drawn(reading), ident=ident, title=self.title, alt=self.alt, height=self.height)
        return Face(svg=svg, alt=self.alt)


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoHands(Tachometer):
    """A dial of a hundred lines that goes round once in a thousand rpm, with a small hand for the thousands."""

    @property
    def alt(self) -> str:
        return (
            "A round dial of a hundred lines, each ten turns a minute, every fifth longer, every tenth longest and "
            "numbered with its hundreds, clockwise from nought at the top. A small dial below the middle counts the "
            "thousands, one for each turn of the long hand, from nought at its lower left to five at its lower right. "
            "The long hand and the small hand each point to one place."
        )

    def drawn(self, reading: float) -> Drawn:
        thousands = reading / 1000
        return together(
            _two_hands_dial(),
            hand("hand small-hand", SMALL, SMALL_START + thousands * SMALL_ANGLE, tip=31, tail=9, half=2.4),
            hand("hand long-hand", CENTRE, thousands * 360, tip=144, tail=36, half=3.8),
            _hub(),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoRings(Tachometer):
    """One hand, two rings of numerals. is_outer: which of them the lever has chosen."""

    is_outer: bool

    @property
    def alt(self) -> str:
        ring = "outer" if self.is_outer else "inner"
        return (
            "A round dial, open at the bottom, with one hand. It counts clockwise from nought at the lower left over "
            "two hundred and fifty divisions, every fifth line longer, every twenty-fifth longest and numbered twice: "
            "in an outer ring, and in an inner ring that has a tenth of the outer one's numbers. A frame stands round "
            f"the name of the ring in use: the {ring} one."
        )

    def drawn(self, reading: float) -> Drawn:
        angle = RING_START + reading / self.high * SWEEP
        return together(
            _rings_dial(self.is_outer),
            hand("hand ring-hand", CENTRE, angle, tip=RING_OUT - 7, tail=34, half=3.4),
            _hub(),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Counter(Tachometer):
    """A counter of turns before and after half a minute. It counts whole turns only."""

    height: float = 320.0

    @property
    def alt(self) -> str:
        return (
            "Two windows of a counter of turns, five figures each, the upper one as it stood before and the lower one "
            "as it stood after; below them a stop watch of sixty seconds, its hand stopped at the bottom of its dial."
        )

    def drawn(self, reading: float) -> Drawn:
        before, after = counts(reading)
        return together(_window(10.0, "before", before), _window(60.0, "after", after), _watch())


def counts(reading: float) -> tuple[int, int]:
    """What the counter shows before and after the half minute: the same for the same speed at all times."""
    turns = round(reading * HALF_MINUTE)
    before = 1013 + turns * 7919 % 83000
    return before, before + turns


@cache
def _two_hands_dial() -> Drawn:
    numerals = []
    for k in range(10):
        x, y = at(CENTRE, 113, 36.0 * k)
        numerals.append(text("num-dial dial-num", x, y + 10, str(k)))
    angles = [SMALL_START + SMALL_ANGLE * k for k in range(6)]
    small = []
    for k, angle in enumerate(angles):
        x, y = at(SMALL, 22, angle)
        small.append(text("num-counter small-num", x, y + 6, str(k)))
    return together(
        _case(),
        spokes("tick dial-line", CENTRE, [(3.6 * k, OUT, OUT - 11) for k in range(100) if k % 5]),
        spokes(
            "tick-fat dial-line", CENTRE, [(3.6 * k, OUT, OUT - (21 if k % 10 == 0 else 16)) for k in range(0, 100, 5)]
        ),
        *numerals,
        circle("dial-well", *SMALL, SMALL_OUT + 4),
        spokes("tick small-line", SMALL, [(angle, SMALL_OUT, SMALL_OUT - 10) for angle in angles]),
        *small,
        text("legend legend-mid", 180, 128, "100 rpm"),
        _glass(),
    )


@cache
def _rings_dial(is_outer: bool) -> Drawn:
    each = SWEEP / RING_LINES
    fine = [k for k in range(RING_LINES + 1) if k % 5]
    numerals = []
    for k in range(0, RING_LINES + 1, RING_NUMBERED):
        angle = RING_START + k * each
        x, y = at(CENTRE, 118, angle)
        numerals.append(text("num-mid outer-num", x, y + 5, str(20 * k)))
        x, y = at(CENTRE, 76, angle)
        numerals.append(text("num-small inner-num", x, y + 5, str(2 * k)))
    return together(
        _case(),
        spokes("tick-fine ring-line", CENTRE, [(RING_START + k * each, RING_OUT, RING_OUT - 11) for k in fine]),
        spokes(
            "tick ring-line",
            CENTRE,
            [
                (RING_START + k * each, RING_OUT, RING_OUT - (25 if k % RING_NUMBERED == 0 else 18))
                for k in range(0, RING_LINES + 1, 5)
            ],
        ),
        arc("tick-fine", CENTRE, 97, RING_START, -RING_START),
        *numerals,
        text("legend legend-mid", 180, 240, "rpm"),
        text("num-small", 180, 268, "outer"),
        text("num-small", 180, 293, "inner"),
        rect("frame range-frame", 150, 252 if is_outer else 277, 60, 23, rx=3),
        _glass(),
    )


@cache
def _case() -> Drawn:
    return together(
        circle("steel-dim outline-fat", *CENTRE, 177),
        circle("steel-lit outline", *CENTRE, 172),
        circle("dial-paper outline", *CENTRE, 167),
    )


@cache
def _glass() -> Drawn:
    return together(arc("glass", CENTRE, 169.5, 292, 338), arc("glass", CENTRE, 169.5, 112, 140))


@cache
def _hub() -> Drawn:
    return together(circle("steel outline", *CENTRE, 11), circle("hand", *CENTRE, 3))


def _window(top: float, name: str, count: int) -> Drawn:
    """Five figures, each on its own wheel."""
    wheels = []
    for k, figure in enumerate(f"{count:05d}"):
        x = 112 + 34 * k
        wheels += [
            rect("dial-well", x, top, 31, 38, rx=2),
            rect("paper-band", x + 2, top + 9, 27, 20),
            text(f"num-big {name}-figure", x + 15.5, top + 29, figure),
        ]
    return together(
        text("legend", 34, top + 25, name),
        rect("steel-dark", 107, top - 4, 175, 46, rx=4),
        *wheels,
        rect("frame", 107, top - 4, 175, 46, rx=4),
    )


@cache
def _watch() -> Drawn:
    """Stopped at half a minute."""
    numerals = []
    for k in range(0, 60, 10):
        x, y = at(WATCH, 60, 6.0 * k)
        numerals.append(text("num-mid watch-num", x, y + 5, str(k or 60)))
    return together(
        rect("steel outline", WATCH[0] - 7, WATCH[1] - 104, 14, 12, rx=2),
        circle("steel-dim outline-fat", *WATCH, WATCH_OUT + 9),
        circle("dial-paper outline", *WATCH, WATCH_OUT + 3),
        spokes(
            "tick watch-line", WATCH, [(6.0 * k, WATCH_OUT, WATCH_OUT - (15 if k % 5 == 0 else 9)) for k in range(60)]
        ),
        *numerals,
        text("legend legend-mid", WATCH[0], WATCH[1] - 26, "s"),
        hand("hand watch-hand", WATCH, 180.0, tip=80, tail=20, half=1.3),
        circle("steel outline", *WATCH, 6),
    )


Wrong = Callable[[float], tuple[float, ...]]


def _shifts(*by: float) -> Wrong:
    return lambda right: tuple(right + one for one in by)


def _small_hand_missed(right: float) -> tuple[float, ...]:
    return (right % 1000,) if right >= 1000 else ()


def _next_thousand(right: float) -> tuple[float, ...]:
    """The small hand taken for the thousand that it is coming to."""
    return (right + 1000,) if right % 1000 > 0 else ()


def _lines_as_half(step: float) -> Wrong:
    """The lines after the numbered one counted as half of what they are worth."""

    def wrong(right: float) -> tuple[float, ...]:
        lines = round(right / step) % RING_NUMBERED
        return (right - lines * step / 2,) if lines > 1 else ()

    return wrong


def _one_line_off(step: float) -> Misread:
    return Misread(
        name="one_line_off",
        says="The line next to the one under the hand was read. Look at it square on.",
        wrong=_shifts(-step, step),
    )


def _rings(name: str, high: float, *, is_outer: bool) -> TwoRings:
    step = high / RING_LINES
    numbered = step * RING_NUMBERED
    return TwoRings(
        name=f"tachometer_{name}",
        family="tachometer",
        title=f"Tachometer with two rings, 0 to {high:.0f} rpm chosen",
        unit="rpm",
        step=step,
        graduation=step,
        low=0.0,
        high=high,
        is_outer=is_outer,
        misreads=(
            Misread(
                name="wrong_ring",
                says="The numbers of the other ring were read. The frame shows which ring is in use.",
                wrong=lambda right: (right * (0.1 if is_outer else 10.0),) if right > step else (),
            ),
            Misread(
                name="numbered_line_off",
                says="The wrong numbered line was counted from.",
                wrong=_shifts(-numbered, numbered),
            ),
            Misread(
                name="lines_as_half",
                says="The lines were counted as half of what they are: between two numerals there are twenty-five parts.",
                wrong=_lines_as_half(step),
            ),
            _one_line_off(step),
        ),
    )


INSTRUMENTS: tuple[Tachometer, ...] = (
    TwoHands(
        name="tachometer_two_hands",
        family="tachometer",
        title="Tachometer with two hands, 0 to 5000 rpm",
        unit="rpm",
        step=10.0,
        graduation=10.0,
        low=0.0,
        high=MOST,
        misreads=(
            Misread(
                name="small_hand_missed",
                says="The thousands were left out: they are on the small dial.",
                wrong=_small_hand_missed,
            ),
            Misread(
                name="next_thousand",
                says="The small hand was taken for the thousand it is coming to. It counts when it has passed its line.",
                wrong=_next_thousand,
            ),
            Misread(
                name="numbered_line_off",
                says="The wrong numbered line was counted from: a hundred.",
                wrong=_shifts(-100.0, 100.0),
            ),
            _one_line_off(10.0),
        ),
    ),
    _rings("outer_ring", MOST, is_outer=True),
    _rings("inner_ring", MOST / 10, is_outer=False),
    Counter(
        name="tachometer_counter",
        family="tachometer",
        title="Counter of turns with a stop watch, over half a minute",
        unit="rpm",
        step=1 / HALF_MINUTE,
        graduation=1 / HALF_MINUTE,
        low=100.0,
        high=10000.0,
        misreads=(
            Misread(
                name="time_left_out",
                says="The turns of half a minute were taken for those of a minute.",
                wrong=lambda right: (right * HALF_MINUTE,),
            ),
            Misread(
                name="seconds_as_hundredths",
                says="Thirty seconds were taken for 0.30 of a minute. They are half of one.",
                wrong=lambda right: (right * HALF_MINUTE / 0.3,),
            ),
            Misread(
                name="before_left_out",
                says="What the counter showed before was not taken off.",
                wrong=lambda right: (counts(right)[1] / HALF_MINUTE,),
            ),
            Misread(
                name="figure_off",
                says="A figure of the difference is one too many or too few: a ten was not carried.",
                wrong=_shifts(-20.0, 20.0),
            ),
        ),
    ),
)
