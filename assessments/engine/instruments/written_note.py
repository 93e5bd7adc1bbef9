"""A figure written on a slip of paper, in an even hand: for what is not read off a scale here.

A temperature from the control room, a load from the lifting plan, the readings of a trial run. Reading it is not the
skill that is asked, so its words give the figure too: who cannot see the slip has to be able to work with it.
All readings of a note are counted from the nought of its own unit in whole steps; for °F that needs a step that goes
into 32 a whole number of times.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from assessments.engine.drawing import WIDTH, Drawn, lines, number, outline, path, picture, text, together
from assessments.engine.face_units import FACE_UNITS
from assessments.engine.instrument import Face, Instrument, Misread

HEIGHT = 150
TOP, FOOT = 8.0, 138.0
LINES = (56.0, 96.0, 126.0)
"""Where the slip is ruled; the figure stands on the second."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenNote(Instrument):
    """places: decimals that are always written."""

    places: int

    def written(self, reading: float) -> str:
        """The figure with its unit, as it stands on the slip: ``412 °C``."""
        figure = f"{self.in_unit(reading):.{self.places}f}"
        figure = figure.replace("-", "\N{MINUS SIGN}" if figure.strip("-0.") else "")
        return f"{figure}°" if self.unit == "°" else f"{figure} {self.unit}"

    def face(self, reading: float, *, ident: str, oddity: str = "") -> Face:
        self.must_show(reading, oddity)
        written = self.written(reading)
        alt = f"A slip of paper. Written on it in an even hand: {written}."
        svg = picture(
            _slip(),
            text("legend", 30, LINES[0] - 10, self.kind.value),
            text("num-note note-figure", WIDTH / 2, LINES[1] - 6, written),
            ident=ident,
            title=self.title,
            alt=alt,
            height=HEIGHT,
        )
        return Face(svg=svg, alt=alt)


@cache
def _slip() -> Drawn:
    """Torn off at the right, ruled, and not quite flat."""
    torn = [(WIDTH - 8 - (5, 1, 6, 2, 4, 0, 5, 2, 6, 1, 4)[k], TOP + (FOOT - TOP) * k / 10) for k in range(11)]
    edge = [(8.0, TOP), *torn, (8.0, FOOT)]
    return together(
        outline("paper-under", [(x + 3, y + 5) for x, y in edge]),
        outline("paper", edge),
        lines("note-rule", [((22, y), (WIDTH - 24, y)) for y in LINES]),
        path("note-margin", f"M20 {number(TOP + 1)}V{number(FOOT - 1)}"),
    )


def _apart(wrong: Callable[[float], tuple[float, ...]], step: float) -> Callable[[float], tuple[float, ...]]:
    """Those wrong numbers alone that are a step or more from the right one."""
    return lambda right: tuple(one for one in wrong(right) if abs(one - right) > step * (1 - 1e-6))


def _digits(note: tuple[str, int], right: float) -> list[str]:
    """The digits of the figure on the slip, most significant first, without the point."""
    unit, places = note
    size, zero = FACE_UNITS[unit].size, FACE_UNITS[unit].zero
    return list(str(abs(round((right - zero) / size * 10**places))))


def _from_digits(note: tuple[str, int], digits: list[str], right: float) -> float:
    unit, places = note
    size, zero = FACE_UNITS[unit].size, FACE_UNITS[unit].zero
    return math.copysign(int("".join(digits) or "0") / 10**places, right - zero) * size + zero


def _swapped(unit: str, places: int) -> Callable[[float], tuple[float, ...]]:
    """Two neighbouring digits in each other's place."""
    note = (unit, places)

    def wrong(right: float) -> tuple[float, ...]:
        digits = _digits(note, right)
        found = []
        for k in range(len(digits) - 1):
            if digits[k] != digits[k + 1]:
                swapped = [*digits[:k], digits[k + 1], digits[k], *digits[k + 2 :]]
                found.append(_from_digits(note, swapped, right))
        return tuple(found)

    return wrong


def _left_out(unit: str, places: int) -> Callable[[float], tuple[float, ...]]:
    """One digit missing, those before it moved down: each different number once."""
    note = (unit, places)

    def wrong(right: float) -> tuple[float, ...]:
        digits = _digits(note, right)
        shorter = {"".join([*digits[:k], *digits[k + 1 :]]) for k in range(len(digits))}
        return tuple(_from_digits(note, list(one), right) for one in sorted(shorter))

    return wrong


def _point_moved(unit: str) -> Callable[[float], tuple[float, ...]]:
    zero = FACE_UNITS[unit].zero

    def wrong(right: float) -> tuple[float, ...]:
        return tuple((right - zero) * one + zero for one in (0.1, 10.0))

    return wrong


def _other_unit(unit: str, other: str) -> Callable[[float], tuple[float, ...]]:
    """The figure is right, and was taken to be in the other unit."""
    own, wrongly = FACE_UNITS[unit], FACE_UNITS[other]
    return lambda right: ((right - own.zero) / own.size * wrongly.size + wrongly.zero,)


def _note(name: str, unit: str, step: float, least: float, most: float, other: str = "") -> WrittenNote:
    """step, least and most in the note's own unit; other: the unit it might be taken for."""
    found = FACE_UNITS[unit]
    inner_step = step * found.size
    places = max(0, round(-math.log10(step)))
    kind = found.kind.value
    misreads = [
        Misread(
            name="figures_swapped",
            says="Two figures next to each other changed places on the way from the slip.",
            wrong=_apart(_swapped(unit, places), inner_step),
        ),
        Misread(
            name="figure_left_out",
            says="One figure of the number on the slip was left out.",
            wrong=_apart(_left_out(unit, places), inner_step),
        ),
        Misread(
            name="point_moved",
            says="The decimal point was put one place off: ten times too much, or a tenth.",
            wrong=_apart(_point_moved(unit), inner_step),
        ),
    ]
    if other:
        misreads.append(
            Misread(
                name="other_unit",
                says=f"The figure on the slip is in {unit}, and was taken for {other}.",
                wrong=_apart(_other_unit(unit, other), inner_step),
            )
        )
    return WrittenNote(
        name=f"written_note_{name}",
        family="written_note",
        title=f"{kind[0].upper()}{kind[1:]} written down, in {'degrees' if unit == '°' else unit}",
        unit=unit,
        kind=found.kind,
        step=inner_step,
        graduation=inner_step,
        low=least * found.size + found.zero,
        high=most * found.size + found.zero,
        places=places,
        misreads=tuple(misreads),
        is_told=True,
    )


INSTRUMENTS: tuple[WrittenNote, ...] = (
    _note("length_millimetres", "mm", 0.01, 0, 5000, "in"),
    _note("length_inches", "in", 0.001, 0, 200, "mm"),
    _note("length_micrometres", "µm", 1, 0, 2000, "thou"),
    _note("length_thousandths", "thou", 0.1, 0, 100, "µm"),
    _note("length_metres", "m", 0.01, 0, 50, "ft"),
    _note("length_feet", "ft", 0.1, 0, 160, "m"),
    _note("angle_degrees", "°", 1, 0, 360),
    _note("speed_rpm", "rpm", 1, 0, 30000),
    _note("temperature_celsius", "°C", 1, -40, 650, "°F"),
    _note("temperature_fahrenheit", "°F", 1, -40, 1200, "°C"),
    _note("pressure_bar", "bar", 0.1, 0, 150, "psi"),
    _note("pressure_psi", "psi", 1, 0, 2200, "bar"),
    _note("force_kilonewtons", "kN", 0.1, 0, 500, "lbf"),
    _note("force_pounds", "lbf", 10, 0, 100000, "kN"),
    _note("torque_newton_metres", "N m", 1, 0, 3000, "lbf ft"),
    _note("torque_pound_feet", "lbf ft", 1, 0, 2200, "N m"),
    _note("mass_kilograms", "kg", 1, 0, 20000, "lb"),
    _note("mass_pounds", "lb", 1, 0, 40000, "kg"),
    _note("mass_grams", "g", 0.1, 0, 500, "oz"),
    _note("mass_ounces", "oz", 0.01, 0, 20, "g"),
    _note("unbalance_gram_millimetres", "g mm", 1, 0, 50000, "oz in"),
    _note("unbalance_ounce_inches", "oz in", 0.001, 0, 70, "g mm"),
)
