"""Contrast of the colours in site.css, by WCAG 2.2 (1.4.3 text 4.5:1, 1.4.11 graphics 3:1).

Formula: relative luminance and contrast ratio as defined in WCAG 2.2. It is checked on published pairs on white:
#767676 4.5422, #777777 4.4781, #949494 3.0335, #959595 2.9953, #0000FF 8.5925 (design notes, section E).
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

CSS = Path(__file__).resolve().parents[2] / "courses" / "static" / "courses" / "site.css"
GROUNDS = ("paper", "sheet", "tint")
TEXT = [
    *[(colour, ground) for colour in ("ink", "soft", "accent") for ground in GROUNDS],
    ("accent-ink", "accent"),
    *[("brick", ground) for ground in ("paper", "sheet", "brick-tint")],
    *[("ochre", ground) for ground in ("sheet", "ochre-tint")],
    *[("ink", ground) for ground in ("brick-tint", "ochre-tint", "grid")],
    ("soft", "brick-tint"),
]
GRAPHICS = [
    *[(colour, ground) for colour in ("rule-strong", "focus") for ground in GROUNDS],
    ("focus", "brick-tint"),
    ("focus", "ochre-tint"),
    ("accent", "paper"),
]


def luminance(colour):
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def tokens():
    css = CSS.read_text()
    light, dark = re.findall(r":root \{(.*?)\}", css, re.DOTALL)[:2]

    def read(block):
        return dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", block))

    return {"light": read(light), "dark": read(dark)}


@pytest.mark.parametrize(
    ("colour", "published"),
    [
        ("#767676", 4.5422),
        ("#777777", 4.4781),
        ("#949494", 3.0335),
        ("#959595", 2.9953),
        ("#0000ff", 8.5925),
        ("#000000", 21),
    ],
)
def test_the_formula_gives_the_published_ratios(colour, published):
    assert contrast(colour, "#ffffff") == pytest.approx(published, abs=5e-4)


def test_both_schemes_name_the_same_colours():
    found = tokens()
    assert found["light"].keys() == found["dark"].keys()
    assert len(found["light"]) == 15


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(("colour", "ground"), TEXT)
def test_text_stands_out_from_its_ground(scheme, colour, ground):
    found = tokens()[scheme]
    assert contrast(found[colour], found[ground]) >= 4.5


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(("colour", "ground"), GRAPHICS)
def test_edges_and_focus_stand_out_from_their_ground(scheme, colour, ground):
    found = tokens()[scheme]
    assert contrast(found[colour], found[ground]) >= 3


def test_every_colour_in_a_rule_is_a_token():
    rules = re.sub(r":root \{.*?\}", "", CSS.read_text(), flags=re.DOTALL)
    assert not re.findall(r"#[0-9a-fA-F]{3,8}\b", rules)
    assert set(re.findall(r"var\(--([a-z]+(?:-[a-z]+)*)[,)]", rules)) - {
        "edge",
        "band",
        "tick",
        "touch",
        "text",
        "lettering",
    } <= set(tokens()["light"])
