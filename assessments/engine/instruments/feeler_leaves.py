"""Feeler leaves, a stack of them fanned out so that every mark can be read; the reading is their sum.

Leaves may be stacked and summed, as .004 + .0015 = .0055 in; clean, dry, never wedged (US Army TM 9-243, 16-2: sets of
2 to 26 leaves in thousandths; TM 1-1500-204). The inch set here has the 26 leaves .0015 to .025. That a millimetre
set has 0.02 to 0.10 by 0.01 and on to 1.00 by 0.05 is common practice, no source.
A stack is made of as few leaves as can make it, the thicker ones first: so it is the same for the same sum at all
times. Only whole sums can be fanned out: in between, the nearest is shown.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache

from assessments.engine.drawing import Drawn, Point, circle, outline, path, picture, text, together
from assessments.engine.instrument import Face, Instrument, Misread
from assessments.engine.kinds import MM_PER_INCH

MOST = 5
"""Leaves in a stack."""
HEIGHT = 300
PIVOT: Point = (-250.0, 150.0)
"""Far to the left: a fan seen close, its leaves nearly level, so that the marks stand upright on them."""
APART = 5.4
"""Degrees from one leaf to the next."""
HALF = 26.0
TIP = 585.0
"""From the pivot to the end of a leaf."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FeelerLeaves(Instrument):
    """One set. leaves: in steps of the instrument, thinnest first. places: decimals of a mark."""

    leaves: tuple[int, ...]
    places: int

    def stack(self, reading: float) -> tuple[int, ...]:
        """The leaves that make a reading (mm), in steps, thickest first. Raises OutOfRangeError."""
        self.must_reach(reading, reading)
        return stack_of(round(reading / self.step), self.leaves)

    def mark(self, leaf: int) -> str:
        """What is etched on a leaf: ``0.15 mm``, ``.0015 in``."""
        figure = f"{leaf * self.step / self.unit_size:.4f}".rstrip("0")
        whole, _, part = figure.partition(".")
        return f"{whole if self.unit == 'mm' else ''}.{part.ljust(self.places, '0')} {self.unit}"

    def face(self, reading: float, *, ident: str, oddity: str = "") -> Face:
        self.must_show(reading, oddity)
        stack = self.stack(reading)
        alt = _WORN_ALT if oddity else _ALT
        leaves = [
            _leaf(self.mark(leaf), (k - (len(stack) - 1) / 2) * APART, is_worn=bool(oddity) and k == len(stack) - 1)
            for k, leaf in enumerate(stack)
        ]
        # The last is drawn first: it lies under the others.
        svg = picture(*reversed(leaves), _case(), ident=ident, title=self.title, alt=alt, height=HEIGHT)
        return Face(svg=svg, alt=alt)


_ALT = (
    "The leaves of one stack of feelers, fanned out from their case on the left, seen close. Each leaf bears its "
    "thickness near its rounded end."
)
_WORN_ALT = f"{_ALT} The end of the lowest leaf is rubbed bright and thin, its edge ragged, with a piece broken out."


@cache
def stack_of(total: int, leaves: tuple[int, ...]) -> tuple[int, ...]:
    """The fewest different leaves that sum up to a total, of those the stack with the thickest leaves.

    All in steps, leaves thinnest first. Raises ValueError if no stack of at most `MOST` does.
    """
    thickest_first = tuple(reversed(leaves))
    for count in range(1, MOST + 1):
        found = _with(total, count, thickest_first)
        if found:
            return found
    raise ValueError(f"no {MOST} leaves sum up to {total} steps")


def _with(total: int, count: int, leaves: Sequence[int]) -> tuple[int, ...]:
    """So many of the leaves that sum up to the total; nothing if none do."""
    for k, leaf in enumerate(leaves):
        if leaf * count < total:
            break  # even as many of the thickest that are left come short
        if count == 1 and leaf == total:
            return (leaf,)
        if count > 1 and leaf < total:
            rest = _with(total - leaf, count - 1, leaves[k + 1 :])
            if rest:
                return (leaf, *rest)
    return ()


@cache
def _case() -> Drawn:
    """The end of the case that the leaves fold into, with its two cheeks and a rivet."""
    return together(
        path("steel-dark", f"M-4 34H26Q44 34 44 52V{HEIGHT - 52}Q44 {HEIGHT - 34} 26 {HEIGHT - 34}H-4Z"),
        path("steel-lit", f"M-4 40H14V{HEIGHT - 40}H-4Z"),
        path("outline-fat", f"M-4 34H26Q44 34 44 52V{HEIGHT - 52}Q44 {HEIGHT - 34} 26 {HEIGHT - 34}H-4"),
        circle("steel outline", 29, HEIGHT / 2, 7),
    )


def _leaf(mark: str, angle: float, *, is_worn: bool) -> Drawn:
    """One leaf, so many degrees below level, with its mark near the end."""
    turned = math.radians(angle)
    cosine, sine = math.cos(turned), math.sin(turned)

    def place(along: float, aside: float) -> Point:
        return PIVOT[0] + along * cosine - aside * sine, PIVOT[1] + along * sine + aside * cosine

    edge = [place(240, -HALF), *[place(a, b) for a, b in (_RAGGED if is_worn else _ROUND)], place(240, HALF)]
    x, y = place(TIP - 80, 0)
    drawn = [
        outline("steel" if not is_worn else "steel-dim", edge),
        outline(
            "steel-lit",
            [place(240, -HALF + 3), place(TIP - 24, -HALF + 3), place(TIP - 24, -HALF + 11), place(240, -HALF + 11)],
        ),
        outline("outline leaf", edge),
        text("num-beam leaf-num", x, y + 8, mark),
    ]
    if is_worn:
        drawn.insert(
            1,
            outline(
                "steel-lit",
                [place(TIP - 26, -HALF + 1), *[place(a, b) for a, b in _RAGGED[1:-1]], place(TIP - 26, HALF - 1)],
            ),
        )
    return together(*drawn)


_ROUND = tuple(
    (TIP - HALF + HALF * math.sin(math.radians(15 * k)), -HALF * math.cos(math.radians(15 * k))) for k in range(13)
)
_RAGGED = (
    (TIP - 34, -HALF),
    (TIP - 22, -HALF + 3),
    (TIP - 17, -15.0),
    (TIP - 9, -13.0),
    (TIP - 12, -7.0),
    (TIP - 22, -2.0),
    (TIP - 20, 4.0),
    (TIP - 8, 7.0),
    (TIP - 6, 12.0),
    (TIP - 15, 16.0),
    (TIP - 17, HALF - 5),
    (TIP - 27, HALF - 1),
    (TIP - 34, HALF),
)

Wrong = Callable[[float], tuple[float, ...]]


def _of(name: str, unit: str, step: float, leaves: tuple[int, ...], places: int, high: int) -> FeelerLeaves:
    """A set. step in mm; leaves and high in steps."""

    def stack(right: float) -> tuple[int, ...]:
        return stack_of(round(right / step), leaves)

    def left_out(right: float) -> tuple[float, ...]:
        found = stack(right)
        return tuple(right - leaf * step for leaf in found) if len(found) > 1 else ()

    def counted_twice(right: float) -> tuple[float, ...]:
        return tuple(right + leaf * step for leaf in stack(right))

    def other_unit(right: float) -> tuple[float, ...]:
        """The whole stack, or one leaf of it: 0.10 mm taken for .010 in, or the other way."""
        times = MM_PER_INCH / 10 if unit == "mm" else 10 / MM_PER_INCH
        sizes = [leaf * step for leaf in stack(right)]
        wrong = [right * times, *(right + size * (times - 1) for size in sizes)]
        found = dict.fromkeys(round(one, 9) for one in wrong)
        return tuple(one for one in found if abs(one - right) > step * (1 - 1e-6))

    def neighbour(right: float) -> tuple[float, ...]:
        """One leaf taken for the next thinner or thicker of the set."""
        found: dict[float, None] = {}
        for leaf in stack(right):
            k = leaves.index(leaf)
            for other in (*leaves[max(k - 1, 0) : k], *leaves[k + 1 : k + 2]):
                found[right + (other - leaf) * step] = None
        return tuple(found)

    return FeelerLeaves(
        name=f"feeler_leaves_{name}",
        family="feeler_leaves",
        title=f"Feeler leaves, {'millimetres' if unit == 'mm' else 'thousandths of an inch'}",
        unit=unit,
        step=step,
        graduation=step,
        low=leaves[0] * step,
        high=high * step,
        leaves=leaves,
        places=places,
        misreads=(
            Misread(name="leaf_left_out", says="One leaf of the stack was left out of the sum.", wrong=left_out),
            Misread(name="leaf_counted_twice", says="One leaf of the stack was counted twice.", wrong=counted_twice),
            Misread(
                name="neighbouring_leaf",
                says="One mark was taken for that of the next leaf of the set. Wipe the leaf and read its own mark.",
                wrong=neighbour,
            ),
            Misread(
                name="leaf_of_other_unit",
                says=(
                    "A mark in hundredths of a millimetre was taken for thousandths of an inch."
                    if unit == "mm"
                    else "A mark in thousandths of an inch was taken for hundredths of a millimetre."
                ),
                wrong=other_unit,
            ),
        ),
        oddities=("worn",),
    )


METRIC_SET = (*range(2, 11), *range(15, 101, 5))
"""In hundredths of a millimetre."""
INCH_SET = (3, 4, 5, *range(6, 51, 2))
"""In half thousandths of an inch: .0015, .002, .0025, .003 and on by .001."""

INSTRUMENTS: tuple[FeelerLeaves, ...] = (
    _of("metric", "mm", 0.01, METRIC_SET, 2, 300),
    _of("inch", "in", 0.0005 * MM_PER_INCH, INCH_SET, 3, 160),
)
