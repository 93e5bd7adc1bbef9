"""Working a strip drill as a person does: read the print off the picture, work it out, hold it against the sheet.

The clearance is found by a root finder on the section's area, not by the site's own formula.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from scipy.optimize import brentq

from assessments.engine.instruments import find_instrument
from tests.faces import numerals, parse, strokes

STRIP = 0.60
SOUND = find_instrument("squashed_strip_metric").face(2.0, ident="f").alt


@dataclass(frozen=True)
class Worked:
    """What a careful person makes of a strip drill, in mm."""

    widths: tuple[float, float]
    clearances: tuple[float, float]
    is_disturbed: bool

    @property
    def taper(self) -> float:
        return abs(self.clearances[0] - self.clearances[1])

    def verdict(self, low: float, high: float, taper: float) -> str:
        if self.is_disturbed:
            return "void"
        if min(self.clearances) < low:
            return "low"
        if max(self.clearances) > high:
            return "high"
        return "form" if self.taper > taper else "inside"


def width_of(svg: str) -> float:
    root = parse(svg)
    scale = numerals(root, "mm-num")
    right = max(x for stroke in strokes(root, "print") for x, _ in stroke)
    value = scale[0].value + (right - scale[0].x) / (scale[-1].x - scale[0].x) * (scale[-1].value - scale[0].value)
    return round(value, 1)


def clearance_of(width: float) -> float:
    area = math.pi * STRIP**2 / 4
    return brentq(lambda gap: (width - gap) * gap + math.pi * gap**2 / 4 - area, 1e-6, STRIP)


def work_out(page) -> Worked:
    """Read both faces of the drill that the page shows."""
    pictures = [one.evaluate("one => one.outerHTML") for one in page.locator("[data-drawing] svg").all()]
    widths = tuple(width_of(_bare(picture)) for picture in pictures)
    return Worked(
        widths=widths,
        clearances=tuple(clearance_of(width) for width in widths),
        is_disturbed=any(SOUND not in picture for picture in pictures),
    )


def _bare(picture: str) -> str:
    return re.sub(r' xmlns="[^"]*"', "", picture)


def limits_on(page) -> tuple[float, float, float]:
    """Low, high, and the most taper, as the drill's page gives them."""
    text = page.locator("main").inner_text()
    low, high = re.search(r"([\d.]+) to ([\d.]+) mm", text).groups()
    taper = re.search(r"at most ([\d.]+) mm", text)[1]
    return float(low), float(high), float(taper)


def fill(page, worked: Worked, *, clearances=None) -> None:
    """Type readings and results. clearances: others than the right ones, as a slip has them."""
    clearances = clearances or worked.clearances
    for end, width in zip(("governor", "coupling"), worked.widths, strict=True):
        page.locator(f"[name=reading-w_{end}]").fill(f"{width:.1f} mm")
    for end, clearance in zip(("governor", "coupling"), clearances, strict=True):
        page.locator(f"[name=result-c_{end}]").fill(f"{clearance:.3f}")
    page.locator("[name=result-taper]").fill(f"{worked.taper:.3f}")


def choose(page, verdict: str, action: str) -> None:
    page.locator(f"[name=verdict][value={verdict}]").check()
    page.locator(f"[name=action][value={action}]").check()


ACTION_FOR = {"inside": "close", "low": "refit", "high": "replace", "form": "refit", "void": "repeat"}
