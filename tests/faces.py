"""Reads a drawn face the way a person does: by its lines, its numerals and their places, and nothing else.

Knows SVG and the class names; knows none of the drawing code's constants.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree as ET

SVG = "{http://www.w3.org/2000/svg}"
CSS = Path(__file__).parents[1] / "courses" / "static" / "courses"

Point = tuple[float, float]

_TOKENS = re.compile(r"[A-Za-z]|-?\d*\.?\d+")


# How many numbers each command of a path takes, and where each leaves the pen.
_TAKES = {"M": 2, "L": 2, "l": 2, "H": 1, "h": 1, "V": 1, "v": 1, "C": 6, "Q": 4}


@dataclass(frozen=True)
class Numeral:
    x: float
    y: float
    words: str

    @property
    def value(self) -> float:
        return float(self.words)


def parse(svg: str) -> ET.Element:
    return ET.fromstring(svg)  # noqa: S314, the text is our own


def having(root: ET.Element, class_: str) -> list[ET.Element]:
    return [one for one in root.iter() if class_ in one.get("class", "").split()]


def numerals(root: ET.Element, class_: str) -> list[Numeral]:
    return [Numeral(size(one, "x"), size(one, "y"), one.text or "") for one in having(root, class_)]


def size(one: ET.Element, attribute: str) -> float:
    return float(one.attrib[attribute])


def classes(one: ET.Element) -> set[str]:
    return set(one.attrib["class"].split())


def strokes(root: ET.Element, class_: str) -> list[list[Point]]:
    """Every stroke of the paths of a class, as its points; of a curve, its handles too, which hold it in."""
    return [stroke for one in having(root, class_) for stroke in _trace(_TOKENS.findall(one.attrib["d"]))]


def _trace(tokens: list[str]) -> list[list[Point]]:
    found: list[list[Point]] = []
    x = y = 0.0
    place, command = 0, ""
    while place < len(tokens):
        if tokens[place].isalpha():
            command = tokens[place]
            place += 1
            if command == "Z":
                continue
        taken = [float(token) for token in tokens[place : place + _TAKES[command]]]
        place += len(taken)
        if command == "M":
            found.append([])
        elif command == "C":
            found[-1] += [(taken[0], taken[1]), (taken[2], taken[3])]
        elif command == "Q":
            found[-1].append((taken[0], taken[1]))
        x, y = _moved(command, x, y, taken)
        found[-1].append((x, y))
    return found


def _moved(command: str, x: float, y: float, taken: list[float]) -> Point:
    match command:
        case "H":
            return taken[0], y
        case "h":
            return x + taken[0], y
        case "V":
            return x, taken[0]
        case "v":
            return x, y + taken[0]
        case "l":
            return x + taken[0], y + taken[1]
        case _:
            return taken[-2], taken[-1]


def tokens(scheme: str) -> dict[str, str]:
    """Custom properties of both style sheets in a scheme: light, dark or print."""
    found: dict[str, str] = {}
    for sheet in ("site.css", "faces.css"):
        text = (CSS / sheet).read_text()
        found |= _properties(re.sub(r"@media[^{]*\{(?:[^{}]*\{[^{}]*\})*[^{}]*\}", "", text))
        query = {"dark": r"prefers-color-scheme: dark", "print": r"media print"}.get(scheme)
        if query:
            for block in re.findall(rf"@[^{{]*{query}[^{{]*\{{((?:[^{{}}]*\{{[^{{}}]*\}})*)", text):
                found |= _properties(block)
    return found


def _properties(text: str) -> dict[str, str]:
    return dict(re.findall(r"(--[a-z-]+):\s*(#[0-9a-f]{3,6})", text))


def contrast(one: str, other: str) -> float:
    """Contrast of two colours as WCAG 2.2 defines it."""
    lighter, darker = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: str) -> float:
    digits = colour.lstrip("#")
    if len(digits) == 3:
        digits = "".join(digit * 2 for digit in digits)
    parts = [int(digits[k : k + 2], 16) / 255 for k in (0, 2, 4)]
    r, g, b = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def clockwise(centre: Point, point: Point) -> float:
    """Degrees clockwise from twelve o'clock, 0 up to 360."""
    return math.degrees(math.atan2(point[0] - centre[0], centre[1] - point[1])) % 360
