"""Dial indicators: balanced, nought in the middle of both ways, and continuous with a counter of turns.

A hundred lines a turn, each 0.01 mm or 0.001 in (US Army TM 9-243; subject of ISO 463). The hand goes clockwise
as the plunger is pressed in: plus. That a balanced dial is numbered both ways up to half a turn is common
practice, no source. A balanced dial is read here to one line short of half a turn, where plus and minus meet.
A needle that sticks can be shown: the hand as it stands, and dotted where it goes when the stem is tapped.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from assessments.engine.drawing import (
    Drawn,
    Point,
    arc,
    at,
    circle,
    hand,
    lines,
    path,
    picture,
    spokes,
    text,
    together,
)
from assessments.engine.face_units import FACE_UNITS
from assessments.engine.instrument import Face, Instrument, Misread
from assessments.engine.kinds import MM_PER_INCH

SIZE = 360
CENTRE = (180.0, 180.0)
LINES = 100
"""Graduations in one turn."""
OUT = 153.0
"""Where the lines begin; they run inwards."""
COUNTER = (180.0, 235.0)
COUNTER_OUT = 42.0
TURN_ANGLE = 27.0
"""The counter's hand for one turn of the long one: ten turns leave a gap below, so that nought is not ten."""
COUNTER_START = -5 * TURN_ANGLE
STICKS = "sticks"
TAPPED = (4.0, 5.0, 7.0, -4.0, -6.0, -8.0)
"""How many lines further a sticking hand goes when it is tapped; which of them, hangs on where it stands."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DialIndicator(Instrument):
    """One dial; with a counter it is continuous, without it balanced."""

    has_counter: bool

    @property
    def turn(self) -> float:
        """One turn of the hand in mm."""
        return LINES * self.graduation

    def face(self, reading: float, *, ident: str, oddity: str = "") -> Face:
        self.must_show(reading, oddity)
        turns = reading / self.turn
        alt = _alt(is_metric=self.unit == "mm", has_counter=self.has_counter, is_stuck=oddity == STICKS)
        small = (
            hand("hand counter-hand", COUNTER, COUNTER_START + turns * TURN_ANGLE, tip=34, tail=9, half=2.4)
            if self.has_counter
            else Drawn("")
        )
        svg = picture(
            _dial(self.unit, self.has_counter),
            _tapped(turns) if oddity == STICKS else Drawn(""),
            small,
            hand("hand long-hand", CENTRE, turns * 360, tip=144, tail=36, half=3.8),
            _hub(),
            ident=ident,
            title=self.title,
            alt=alt,
            height=SIZE,
        )
        return Face(svg=svg, alt=alt)


@cache
def _alt(*, is_metric: bool, has_counter: bool, is_stuck: bool) -> str:
    seen = _dial_words(is_metric=is_metric, has_counter=has_counter)
    if is_stuck:
        seen += (
            " A second long hand, drawn dotted, with an arrow leading to it: where the hand went when the stem was "
            "tapped with a finger, nothing else having been moved."
        )
    return seen


def _dial_words(*, is_metric: bool, has_counter: bool) -> str:
    part = "a hundredth of a millimetre" if is_metric else "a thousandth of an inch"
    dial = f"A round dial of a hundred lines, each {part}, every fifth longer and every tenth longest and numbered. "
    if has_counter:
        return (
            f"{dial}It counts clockwise all the way round from nought at the top. A small dial below the middle counts "
            "whole turns of the long hand, clockwise, from nought at its lower left to ten at its lower right, with "
            "nought, five and ten numbered. The long hand and the small hand each point to one place."
        )
    return (
        f"{dial}Nought is at the top, and the numbers grow both ways from it until they meet at the bottom. "
        "A plus sign stands on the right half, clockwise from nought, and a minus sign on the left half. "
        "One long hand points to one place."
    )


@cache
def _dial(unit: str, has_counter: bool) -> Drawn:
    """All that does not move."""
    return together(
        circle("steel-dim outline-fat", *CENTRE, 177),
        spokes("knurl-edge", CENTRE, [(3.0 * k, 170, 176) for k in range(120)]),
        circle("steel-lit outline", *CENTRE, 169),
        circle("dial-paper outline", *CENTRE, 160),
        spokes("tick dial-line", CENTRE, [(3.6 * k, OUT, OUT - 11) for k in range(LINES) if k % 5]),
        spokes(
            "tick-fat dial-line",
            CENTRE,
            [(3.6 * k, OUT, OUT - (21 if k % 10 == 0 else 16)) for k in range(0, LINES, 5)],
        ),
        *[_numeral(k, has_counter) for k in range(0, LINES, 10)],
        _counter() if has_counter else _signs(),
        text("legend legend-mid", 180, 128 if has_counter else 250, "0.01 mm" if unit == "mm" else ".001 in"),
        arc("glass", CENTRE, 164.5, 292, 338),
        arc("glass", CENTRE, 164.5, 112, 140),
    )


def _tapped(turns: float) -> Drawn:
    """The hand where it goes when it is tapped, and an arrow from where it stood."""
    moved = TAPPED[round(turns * LINES) % len(TAPPED)]
    angle, after = turns * 360, turns * 360 + moved * 360 / LINES
    way = math.copysign(1.0, moved)
    tip = at(CENTRE, 92, after - way * 2.5)
    start, end = sorted((angle + way * 2.5, after - way * 2.5))
    return together(
        hand("hand-dotted tapped-hand", CENTRE, after, tip=144, tail=0, half=3.8),
        arc("tick-fine", CENTRE, 92, start, end),
        _head(tip, at(CENTRE, 97, after - way * 6), at(CENTRE, 87, after - way * 6)),
    )


def _head(tip: Point, *ends: Point) -> Drawn:
    """An arrow's head."""
    return lines("tick-fine", [(tip, end) for end in ends])


def _numeral(k: int, has_counter: bool) -> Drawn:
    x, y = at(CENTRE, 113, 3.6 * k)
    return text("num-dial dial-num", x, y + 10, str(k if has_counter else min(k, LINES - k)))


def _signs() -> Drawn:
    """Clockwise from nought is plus."""
    return together(path("tick-fat sign-line", "M222 136h20M232 126v20"), path("tick-fat sign-line", "M118 136h20"))


def _counter() -> Drawn:
    """Eleven lines over ten turns."""
    angles = [COUNTER_START + TURN_ANGLE * k for k in range(11)]
    numerals = []
    for k in (0, 5, 10):
        x, y = at(COUNTER, 20, angles[k])
        numerals.append(text("num-counter counter-num", x, y + 6, str(k)))
    return together(
        circle("dial-well", *COUNTER, COUNTER_OUT + 4),
        spokes(
            "tick counter-line",
            COUNTER,
            [(a, COUNTER_OUT, COUNTER_OUT - (11 if k % 5 == 0 else 7)) for k, a in enumerate(angles)],
        ),
        *numerals,
    )


@cache
def _hub() -> Drawn:
    return together(circle("steel outline", *CENTRE, 11), circle("hand", *CENTRE, 3))


def _shifts(*by: float) -> Callable[[float], tuple[float, ...]]:
    return lambda right: tuple(right + one for one in by)


def _sign_lost(right: float) -> tuple[float, ...]:
    return (-right,) if right else ()


def _read_on_round(turn: float) -> Callable[[float], tuple[float, ...]]:
    """The numbers of the other way: counted on past the bottom, as if the dial went on to a hundred."""
    return lambda right: (right - math.copysign(turn, right),) if right else ()


def _other_numerals(turn: float) -> Callable[[float], tuple[float, ...]]:
    """Counted back from the next nought instead of on from the last one."""

    def wrong(right: float) -> tuple[float, ...]:
        beyond = right % turn
        if round(beyond / turn * LINES) % (LINES // 2) == 0:
            return ()  # at nought and at the middle both ways give the same
        return (right + turn - 2 * beyond,)

    return wrong


def _one_line_off(step: float) -> Misread:
    return Misread(
        name="one_line_off",
        says="The line next to the one under the hand was read. Look at it square on.",
        wrong=_shifts(-step, step),
    )


def _ten_off(step: float) -> Misread:
    return Misread(
        name="ten_off",
        says="The wrong numbered line was counted from: ten lines.",
        wrong=_shifts(-10 * step, 10 * step),
    )


def _lines_counted(step: float, unit: str) -> Misread:
    return Misread(
        name="lines_counted",
        says="The lines were counted and not worked into a length. One line is worth what stands on the dial.",
        wrong=lambda right: (right / step * FACE_UNITS[unit].size,) if right else (),
    )


def _balanced(name: str, unit: str, step: float, mark: str) -> DialIndicator:
    return DialIndicator(
        name=name,
        family="dial_indicator",
        title=f"Dial indicator, balanced, {mark}",
        unit=unit,
        step=step,
        graduation=step,
        low=-49 * step,
        high=49 * step,
        has_counter=False,
        oddities=(STICKS,),
        misreads=(
            Misread(
                name="sign_lost",
                says="The number is right, the sign is not. Clockwise from nought is plus, anticlockwise is minus.",
                wrong=_sign_lost,
            ),
            Misread(
                name="read_on_round",
                says="The dial was counted the long way round. It counts both ways from nought, as far as the bottom.",
                wrong=_read_on_round(LINES * step),
            ),
            _lines_counted(step, unit),
            _ten_off(step),
            _one_line_off(step),
        ),
    )


def _continuous(name: str, unit: str, step: float, mark: str) -> DialIndicator:
    turn = LINES * step
    return DialIndicator(
        name=name,
        family="dial_indicator",
        title=f"Dial indicator, continuous, {mark}, with a counter of turns",
        unit=unit,
        step=step,
        graduation=step,
        low=0.0,
        high=10 * turn,
        has_counter=True,
        oddities=(STICKS,),
        misreads=(
            Misread(
                name="turn_off",
                says="One turn too few or too many. The small hand has to have passed its line for the turn to count.",
                wrong=_shifts(-turn, turn),
            ),
            Misread(
                name="other_numerals",
                says="The dial was counted the wrong way, back from the next nought. This one counts clockwise only.",
                wrong=_other_numerals(turn),
            ),
            _lines_counted(step, unit),
            _ten_off(step),
            _one_line_off(step),
        ),
    )


THOU = 0.001 * MM_PER_INCH
INSTRUMENTS: tuple[DialIndicator, ...] = (
    _balanced("dial_indicator_balanced_metric", "mm", 0.01, "0.01 mm"),
    _balanced("dial_indicator_balanced_inch", "in", THOU, "0.001 in"),
    _continuous("dial_indicator_continuous_metric", "mm", 0.01, "0.01 mm"),
    _continuous("dial_indicator_continuous_inch", "in", THOU, "0.001 in"),
)
