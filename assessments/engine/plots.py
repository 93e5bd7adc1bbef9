"""Plots: a result on its limits, how a result lies over many draws, a range within an instrument's range.

They are lettered and drawn like the faces: 360 units wide, one class of line, looks from ``faces.css``.
What a sheet does not allow is hatched, as a cut face is in a section drawing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from assessments.engine.drawing import WIDTH, Drawn, lines, number, outline, path, picture, rect, text, uprights
from assessments.engine.instrument import Face
from assessments.engine.kinds import Array
from assessments.engine.quantities import number as figure
from assessments.engine.quantities import show
from assessments.engine.sheets import Limit

EDGE = 16.0
"""Clear paper left and right, units."""
LETTERING = 15.0
"""Height of the lettering (class num-mid): over 12 px on a 390 px screen."""
ADVANCE = 0.6 * LETTERING
"""What a letter takes, averaged over "0.113 mm", in Noto Sans, the widest of the letterings named in site.css."""
ROW = 20.0
HATCH = 7.0
MOST_WIDTHS_OUT = 2.0
"""A value further out than so many widths of its limit is shown at the edge: the limits must stay readable."""
MOST_BARS = 72
BARS_WITHIN = 12
"""Bars of a histogram between its two limits, half as many as over all of it where there are not two."""
_FEWER = (BARS_WITHIN, 8, 6, 4, 3, 2)


@dataclass(frozen=True, slots=True)
class _Scale:
    """From numbers to units across."""

    start: float
    end: float

    def x(self, value: float) -> float:
        """Where a number stands; what lies beyond the scale stands at its end."""
        share = (value - self.start) / (self.end - self.start)
        return EDGE + (WIDTH - 2 * EDGE) * min(max(share, 0.0), 1.0)

    def holds(self, value: float) -> bool:
        return self.start <= value <= self.end


class _Box(NamedTuple):
    left: float
    right: float
    top: float
    bottom: float


class _Label(NamedTuple):
    x: float
    words: str


def limit_bar(
    *,
    label: str,
    value: float,
    low: float | None,
    high: float | None,
    allowed: float,
    value_text: str,
    low_text: str,
    high_text: str,
    ident: str,
) -> Face:
    """A result on its limits, with what its readings leave open drawn to the same scale.

    value, low, high, allowed: inner units, one of the limits may be missing. The texts are lettered as given.
    Raises ValueError for a number that is not finite, or where both limits are missing.
    """
    numbers = [one for one in (value, low, high, allowed) if one is not None]
    if not all(math.isfinite(one) for one in numbers) or (low is None and high is None):
        raise ValueError("A limit bar needs finite numbers and at least one limit.")
    scale = _scale_about(value, low, high, allowed)
    top, bottom = 50.0, 84.0
    marks = [(scale.x(bound), top - 7, bottom - top + 14) for bound in (low, high) if bound is not None]
    bounds = [
        *([_Label(scale.x(low), f"at least {low_text}")] if low is not None else []),
        *([_Label(scale.x(high), f"at most {high_text}")] if high is not None else []),
    ]
    if scale.start == 0 and low is None and bounds[0].x - ADVANCE * len(bounds[0].words) / 2 > EDGE + 2 * ADVANCE:
        bounds.insert(0, _Label(EDGE, "0"))
    below, rows = _lettered(bounds, bottom + 26)
    above, _ = _lettered([_Label(scale.x(value), value_text)], 22)
    alt = f"{label}: {value_text}. {_sheet_words(low, high, low_text, high_text)} {_state(value, low, high, allowed)}"
    svg = picture(
        rect("steel-lit", EDGE, top, WIDTH - 2 * EDGE, bottom - top),
        *_cut(scale, low, high, top, bottom),
        rect("frame", EDGE, top, WIDTH - 2 * EDGE, bottom - top),
        uprights("tick-fat bound", marks),
        *_allowance(scale, value, allowed, (top + bottom) / 2),
        _pointer(scale, value, top),
        *above,
        *below,
        ident=ident,
        title=f"{label} on its limits",
        alt=alt,
        height=bottom + 14 + ROW * rows,
    )
    return Face(svg=svg, alt=alt)


def spread_plot(
    values: Array, limit: Limit | None, *, label: str, unit: str, step: float | None = None, ident: str
) -> Face:
    """How often a result falls where, about its limit: one bar for each part of the range.

    values, limit and step (to which the values are lettered): inner units. unit: what is lettered.
    """
    low, high = (None, None) if limit is None else (limit.low, limit.high)
    edges = _edges(values, low, high)
    scale = _Scale(float(edges[0]), float(edges[-1]))
    shares = _shares(values, limit)
    above, rows_above = _lettered(
        [_Label(_middle(side, scale, low, high), f"{per_cent(share)} {words}") for side, words, share in shares], 20
    )
    top = ROW * rows_above + 12
    floor = top + 96
    bounds = [(scale.x(bound), top - 4, floor - top + 12) for bound in (low, high) if bound is not None]
    at_least, at_most = ("", "") if low is not None and high is not None else ("at least ", "at most ")
    names = [
        *([_Label(scale.x(low), f"{at_least}{show(low, unit)}")] if low is not None else []),
        *([_Label(scale.x(high), f"{at_most}{show(high, unit)}")] if high is not None else []),
    ]
    if limit is None and len(values):
        ends = (float(np.min(values)), float(np.max(values)))
        names = [_Label(scale.x(end), show(end, unit, step)) for end in ends]
    below, rows_below = _lettered(names, floor + 27)
    alt = _spread_words(values, shares, label, unit, step)
    svg = picture(
        *_bars(values, edges, scale, limit, top, floor),
        lines("tick", [((EDGE, floor), (WIDTH - EDGE, floor))]),
        uprights("tick-fat bound", bounds),
        *above,
        *below,
        ident=ident,
        title=f"{label} over many draws",
        alt=alt,
        height=floor + 15 + ROW * rows_below,
    )
    return Face(svg=svg, alt=alt)


def range_bar(*, label: str, low: float, high: float, least: float, greatest: float, unit: str, ident: str) -> Face:
    """What is drawn of a reading, within what its instrument reads. Inner units; lettered in `unit`."""
    scale = _Scale(low, high)
    top, bottom = 32.0, 48.0
    x0, x1 = scale.x(least), scale.x(greatest)
    if x1 - x0 < 3:
        x0, x1 = min(x0, WIDTH - EDGE - 3), min(x0, WIDTH - EDGE - 3) + 3
    drawn = show(least, unit) if least == greatest else f"{figure(least, unit)} to {show(greatest, unit)}"
    above, _ = _lettered([_Label((x0 + x1) / 2, drawn)], 22)
    below, rows = _lettered([_Label(EDGE, figure(low, unit)), _Label(WIDTH - EDGE, show(high, unit))], bottom + 24)
    alt = f"{label}: drawn {'at' if least == greatest else 'from'} {drawn}; the instrument reads {figure(low, unit)} to {show(high, unit)}."
    svg = picture(
        rect("steel-lit", EDGE, top, WIDTH - 2 * EDGE, bottom - top),
        rect("steel-dark drawn", x0, top, x1 - x0, bottom - top),
        rect("frame", EDGE, top, WIDTH - 2 * EDGE, bottom - top),
        *above,
        *below,
        ident=ident,
        title=f"{label} within its instrument's range",
        alt=alt,
        height=bottom + 12 + ROW * rows,
    )
    return Face(svg=svg, alt=alt)


def per_cent(share: float) -> str:
    """A share in whole per cent; what is there but rounds to nothing is "under 1 %"."""
    whole = math.floor(share * 100 + 0.5)
    if share > 0 and whole == 0:
        return "under 1 %"
    return "over 99 %" if share < 1 and whole == 100 else f"{whole} %"


def _scale_about(value: float, low: float | None, high: float | None, allowed: float) -> _Scale:
    if low is not None and high is not None:
        width = high - low
        start, end = low - width / 2, high + width / 2
        least, most = low - MOST_WIDTHS_OUT * width, high + MOST_WIDTHS_OUT * width
    else:
        bound = high if high is not None else low if low is not None else 0.0
        width = abs(bound) or abs(value) or allowed or 1.0
        into, out = (width, 0.6 * width) if low is None else (0.6 * width, width)
        start, end = bound - into, bound + out
        least, most = bound - MOST_WIDTHS_OUT * width, bound + MOST_WIDTHS_OUT * width
    if low is None and start == 0 and value >= 0:
        least = 0.0  # a size is never under nothing
    return _Scale(min(start, max(value - allowed, least)), max(end, min(value + allowed, most)))


def _sheet_words(low: float | None, high: float | None, low_text: str, high_text: str) -> str:
    allows = [
        *([f"at least {low_text}"] if low is not None else []),
        *([f"at most {high_text}"] if high is not None else []),
    ]
    return f"The sheet says {' and '.join(allows)}."


def _state(value: float, low: float | None, high: float | None, allowed: float) -> str:
    limit = Limit(low=low, high=high, source="")
    if limit.holds(value):
        state = "The result is inside"
    else:
        state = (
            "The result is under the low limit"
            if low is not None and value < low
            else "The result is over the high limit"
        )
    if allowed <= 0:
        return f"{state}."
    is_clear = limit.holds(value - allowed) == limit.holds(value + allowed) == limit.holds(value)
    return f"{state}, and what the readings leave open {'does not cross' if is_clear else 'crosses'} a limit."


def _lettered(labels: Sequence[_Label], baseline: float) -> tuple[list[Drawn], int]:
    """The labels about their places, from left to right: in as many rows as it takes so that none touches another."""
    ends: list[float] = []
    drawn = []
    for label in labels:
        half = len(label.words) * ADVANCE / 2
        x = max(min(label.x, WIDTH - 4 - half), 4 + half)
        row = next((row for row, end in enumerate(ends) if x - half >= end + ADVANCE), len(ends))
        if row == len(ends):
            ends.append(0.0)
        ends[row] = x + half
        drawn.append(text("num-mid", x, baseline + ROW * row, label.words))
    return drawn, len(ends)


def _pointer(scale: _Scale, value: float, top: float) -> Drawn:
    """A point down on the value; a point sideways where the value is beyond the scale."""
    x = scale.x(value)
    if scale.holds(value):
        return outline("hand pointer", ((x, top), (x - 7, top - 16), (x + 7, top - 16)))
    out = 1 if value > scale.end else -1
    return outline("hand pointer beyond", ((x, top - 10), (x - 18 * out, top - 18), (x - 18 * out, top - 2)))


def _allowance(scale: _Scale, value: float, allowed: float, middle: float) -> list[Drawn]:
    if not scale.holds(value):
        return []
    x0, x1 = scale.x(value - allowed), scale.x(value + allowed)
    clear = rect("dial-paper", x0 - 3, middle - 7, x1 - x0 + 6, 14)
    if x1 - x0 < 1:  # too small to be seen: an upright through the place
        return [clear, uprights("tick-fat allowed", [(scale.x(value), middle - 7, 14)])]
    return [clear, rect("hand allowed", x0, middle - 3, x1 - x0, 6)]


def _cut(scale: _Scale, low: float | None, high: float | None, top: float, bottom: float) -> list[Drawn]:
    """What lies outside, hatched."""
    parts = []
    if low is not None:
        parts.append(_hatched([_Box(EDGE, scale.x(low), top, bottom)]))
    if high is not None:
        parts.append(_hatched([_Box(scale.x(high), WIDTH - EDGE, top, bottom)]))
    return parts


def _hatched(boxes: Iterable[_Box]) -> Drawn:
    """Slanting lines over boxes, running on from one box to the next."""
    strokes = []
    for left, right, top, bottom in boxes:
        line = math.ceil((left + top) / HATCH) * HATCH
        while line < right + bottom:
            x0, x1 = max(left, line - bottom), min(right, line - top)
            if x1 > x0:
                strokes.append(((x0, line - x0), (x1, line - x1)))
            line += HATCH
    return lines("tick-fine hatch", strokes)


def _shares(values: Array, limit: Limit | None) -> list[tuple[int, str, float]]:
    """(-1, 0 or 1, words, share) under, inside and over; nothing without a limit."""
    if limit is None or not len(values):
        return []
    under = 0.0 if limit.low is None else float(np.mean(values < limit.low - limit.grain))
    over = 0.0 if limit.high is None else float(np.mean(values > limit.high + limit.grain))
    found = [(-1, "under", under)] if limit.low is not None else []
    found.append((0, "inside", 1 - under - over))
    return [*found, (1, "over", over)] if limit.high is not None else found


def _middle(side: int, scale: _Scale, low: float | None, high: float | None) -> float:
    """The middle, across, of what lies under (-1), inside (0) or over (1)."""
    start = scale.start if side < 0 or (low is None and side == 0) else (high if side > 0 else low)
    end = scale.end if side > 0 or (high is None and side == 0) else (low if side < 0 else high)
    return (scale.x(start or 0.0) + scale.x(end or 0.0)) / 2


def _spread_words(
    values: Array, shares: list[tuple[int, str, float]], label: str, unit: str, step: float | None
) -> str:
    if not len(values):
        return f"{label}: nothing was drawn."
    lies = ", ".join(f"{per_cent(share)} {words}" for _, words, share in shares)
    return f"{label}, {len(values)} draws. {_from_to(values, unit, step)}{f'; {lies}' if lies else ''}."


def _edges(values: Array, low: float | None, high: float | None) -> Array:
    """Edges of the bars: each limit is an edge, so that no bar is half inside."""
    bounds = [bound for bound in (low, high) if bound is not None]
    ends = [*bounds, *([float(np.min(values)), float(np.max(values))] if len(values) else [])] or [0.0]
    first, last = min(ends), max(ends)
    if len(bounds) == 2:
        within = next((bars for bars in _FEWER if (last - first) / (bounds[1] - bounds[0]) * bars <= MOST_BARS), 1)
        step = (bounds[1] - bounds[0]) / within
    else:
        step = (last - first) / (2 * BARS_WITHIN) or abs(first) or 1.0
    origin = bounds[0] if bounds else first
    before = math.ceil((origin - first) / step - 1e-9) + (1 if bounds else 0)
    after = math.ceil((last - origin) / step - 1e-9) + (1 if bounds else 0)
    return np.array([origin + step * place for place in range(-before, max(after, 1) + 1)], dtype=np.float64)


def _bars(values: Array, edges: Array, scale: _Scale, limit: Limit | None, top: float, floor: float) -> list[Drawn]:
    """One bar for each part of the range, as high as its count; those outside the limit hatched."""
    if not len(values):
        return []
    # A result on a limit is inside, and a float may stray under its edge: count a hair to the inner side.
    step = edges[1] - edges[0]
    places = np.clip(np.floor((values - edges[0]) / step + 1e-6).astype(int), 0, len(edges) - 2)
    if limit is not None and limit.high is not None:
        last_inside = round((limit.high - edges[0]) / step) - 1
        places[(places > last_inside) & (values <= limit.high + limit.grain)] = last_inside
    counts = np.bincount(places, minlength=len(edges) - 1)
    high = (floor - top) / counts.max()
    inside: list[_Box] = []
    outside: list[_Box] = []
    for place, count in enumerate(counts):
        if count:
            middle = float(edges[place]) + step / 2
            left, right = scale.x(float(edges[place])), scale.x(float(edges[place + 1]))
            box = _Box(left, right, floor - float(count) * high, floor)
            (inside if limit is None or limit.holds(middle) else outside).append(box)
    return [
        path("steel-dark", "".join(map(_boxed, inside))),
        path("tick-fine bars inside", "".join(map(_boxed, inside))),
        _hatched(outside),
        path("tick-fine bars outside", "".join(map(_boxed, outside))),
    ]


def _boxed(box: _Box) -> str:
    left, right, top, bottom = map(number, box)
    return f"M{left} {bottom}V{top}H{right}V{bottom}Z"


def _from_to(values: Array, unit: str, step: float | None) -> str:
    return f"From {figure(float(np.min(values)), unit, step)} to {show(float(np.max(values)), unit, step)}"
