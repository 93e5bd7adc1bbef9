"""SVG by a few primitives: lines, rounds, hands, lettering. Whatever is put in is escaped; looks are classes alone.

Coordinates are in the units of the view box: x to the right, y down, 360 across. Angles are in degrees,
clockwise from twelve o'clock, as a dial counts. Many lines of one class become one path, so that a face
of two hundred graduations stays small; the classes are those of ``static/courses/faces.css``.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from html import escape

WIDTH = 360
"""The width of every face, in units."""

Point = tuple[float, float]

_IDENT = re.compile(r"[A-Za-z][A-Za-z0-9_-]*")


class Drawn(str):
    """Text that is SVG already. Any other text is escaped when it is put into an element."""

    __slots__ = ()


def number(value: float) -> str:
    """A coordinate to a hundredth of a unit, as short as it can be written."""
    written = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if written == "-0" else written


def element(name: str, *inside: str, **attributes: str | float) -> Drawn:
    """One element. ``class_`` writes class, ``text_anchor`` writes text-anchor; text inside is escaped."""
    parts = [f"<{name}"]
    for key, value in attributes.items():
        written = escape(value) if isinstance(value, str) else number(value)
        parts.append(f' {key.rstrip("_").replace("_", "-")}="{written}"')
    if not inside:
        parts.append("/>")
        return Drawn("".join(parts))
    parts.append(">")
    parts += [one if isinstance(one, Drawn) else escape(one, quote=False) for one in inside]
    parts.append(f"</{name}>")
    return Drawn("".join(parts))


def together(*parts: Drawn) -> Drawn:
    """Several pieces, one upon the other in this order."""
    return Drawn("".join(parts))


def picture(*parts: Drawn, ident: str, title: str, alt: str, height: float) -> str:
    """The whole ``<svg>`` with its name and its description, 360 units wide.

    ident: a letter, then letters, digits, hyphens; it prefixes the ids. Raises ValueError if it is not so.
    """
    if not _IDENT.fullmatch(ident):
        raise ValueError(f"{ident!r} cannot begin an id: a letter, then letters, digits, '-' or '_'.")
    return element(
        "svg",
        element("title", title, id=f"{ident}-title"),
        element("desc", alt, id=f"{ident}-desc"),
        *parts,
        xmlns="http://www.w3.org/2000/svg",
        class_="face",
        viewBox=f"0 0 {WIDTH} {number(height)}",
        role="img",
        aria_labelledby=f"{ident}-title {ident}-desc",
    )


def rect(class_: str, x: float, y: float, width: float, height: float, *, rx: float = 0) -> Drawn:
    rounding = {"rx": rx} if rx else {}
    return element("rect", class_=class_, x=x, y=y, width=width, height=height, **rounding)


def circle(class_: str, cx: float, cy: float, r: float) -> Drawn:
    return element("circle", class_=class_, cx=cx, cy=cy, r=r)


def text(class_: str, x: float, y: float, words: str) -> Drawn:
    """Lettering; where it is anchored about x is a matter of its class."""
    return element("text", words, class_=class_, x=x, y=y)


def path(class_: str, d: str) -> Drawn:
    return element("path", class_=class_, d=d)


def uprights(class_: str, marks: Iterable[tuple[float, float, float]]) -> Drawn:
    """Upright lines, each from (x, y) down by its length; a negative length goes up."""
    return path(class_, "".join([f"M{number(x)} {number(y)}v{number(length)}" for x, y, length in marks]))


def lines(class_: str, pairs: Iterable[tuple[Point, Point]]) -> Drawn:
    """Straight lines, each from one point to the other."""
    return path(
        class_,
        "".join([f"M{number(a)} {number(b)}L{number(c)} {number(d)}" for (a, b), (c, d) in pairs]),
    )


def outline(class_: str, points: Iterable[Point], *, closed: bool = True) -> Drawn:
    """A figure of straight edges through the points."""
    through = "L".join([f"{number(x)} {number(y)}" for x, y in points])
    return path(class_, f"M{through}{'Z' if closed else ''}")


def at(centre: Point, radius: float, angle: float) -> Point:
    """The point so far from the centre, that many degrees clockwise from twelve o'clock."""
    turned = math.radians(angle)
    return centre[0] + radius * math.sin(turned), centre[1] - radius * math.cos(turned)


def spokes(class_: str, centre: Point, marks: Iterable[tuple[float, float, float]]) -> Drawn:
    """Lines along radii, each (angle, from this radius, to that)."""
    return lines(class_, [(at(centre, inner, angle), at(centre, outer, angle)) for angle, inner, outer in marks])


def arc(class_: str, centre: Point, radius: float, start: float, end: float) -> Drawn:
    """Part of a circle, clockwise from one angle to the other; less than a whole turn."""
    (x1, y1), (x2, y2) = at(centre, radius, start), at(centre, radius, end)
    wide = int((end - start) % 360 > 180)
    r = number(radius)
    return path(class_, f"M{number(x1)} {number(y1)}A{r} {r} 0 {wide} 1 {number(x2)} {number(y2)}")


def hand(class_: str, centre: Point, angle: float, *, tip: float, tail: float, half: float) -> Drawn:
    """A pointer: its first point is the tip, then it widens to `half` each side at the hub and on to its tail."""
    turned = math.radians(angle)
    along, across = (math.sin(turned), -math.cos(turned)), (math.cos(turned), math.sin(turned))

    def place(out: float, aside: float) -> Point:
        return (
            centre[0] + out * along[0] + aside * across[0],
            centre[1] + out * along[1] + aside * across[1],
        )

    return outline(
        class_,
        (
            place(tip, 0),
            place(tip - 4 * half, half * 0.45),
            place(0, half),
            place(-tail, half * 1.5),
            place(-tail, -half * 1.5),
            place(0, -half),
            place(tip - 4 * half, -half * 0.45),
        ),
    )


def wave(start: Point, nodes: Iterable[Point]) -> str:
    """A smooth edge down or up the page, as path data to follow a start: upright at every node.

    Between two nodes it never leaves the span of their x, so its widest place is the widest node.
    """
    written, (x0, y0) = [], start
    for x, y in nodes:
        middle = number((y0 + y) / 2)
        written.append(f"C{number(x0)} {middle} {number(x)} {middle} {number(x)} {number(y)}")
        x0, y0 = x, y
    return "".join(written)
