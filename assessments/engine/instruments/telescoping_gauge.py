"""A telescoping gauge, locked in the bore and drawn out, between anvil and spindle of a micrometer.

Lock it in the bore, pass it through once, and measure over its heads (US Army TM 9-243). The size is read on the
micrometer, whose scale is that of `micrometer.outside`. Above the scale stands the whole of it, small: the gauge, as
long as the reading says against the jaws, between the micrometer's faces.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from assessments.engine.drawing import WIDTH, Drawn, circle, number, path, picture, rect, together
from assessments.engine.instrument import Face, Instrument
from assessments.engine.micrometer.outside import OutsideScale

ABOVE = 122.0
"""How much of the picture the small one takes."""
ANVIL = 52.0
"""Where the anvil's face is: the gauge begins there."""
LONGEST = 128.0
"""The gauge at the end of the range, in units of drawing."""
AXIS = 34.0
SLEEVE = 206.0
"""The frame's right arm ends here, and the sleeve begins."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TelescopingGauge(Instrument):
    """A gauge over a micrometer of one range."""

    scale: OutsideScale

    def face(self, reading: float, *, ident: str, oddity: str = "") -> Face:
        self.must_show(reading, oddity)
        alt = (
            "A telescoping gauge, locked, stands with its two heads between anvil and spindle of a micrometer; the "
            f"micrometer's scale is drawn large below. {self.scale.words()}"
        )
        svg = picture(
            _frame(),
            _spindle(reading / self.high),
            _gauge(reading / self.high),
            self.scale.drawn(reading, drop=ABOVE),
            ident=ident,
            title=self.title,
            alt=alt,
            height=self.scale.view.lowered(ABOVE).height,
        )
        return Face(svg=svg, alt=alt)


@cache
def _frame() -> Drawn:
    """Anvil, bow and the sleeve with its thimble, small."""
    top, bottom = AXIS - 12, AXIS + 12
    bow = (
        f"M40 {number(top)}H28Q16 {number(top)} 16 {number(top + 14)}V78Q16 112 60 112H176Q{number(SLEEVE)} 112 "
        f"{number(SLEEVE)} 84V{number(top)}H{number(SLEEVE - 18)}V74Q{number(SLEEVE - 18)} 92 170 92H64Q40 92 40 74Z"
    )
    return together(
        path("block-steel", bow),
        path("outline-fat", bow),
        rect("steel outline", 40, AXIS - 7, ANVIL - 40, 14),
        rect("steel outline", SLEEVE, AXIS - 10, 44, 20),
        rect("steel-lit outline", SLEEVE + 44, AXIS - 15, 62, 30, rx=2),
        path(
            "knurl",
            "".join([f"M{number(SLEEVE + 58 + 4 * k)} {number(top - 3)}V{number(bottom + 3)}" for k in range(12)]),
        ),
        rect("steel-dim outline", SLEEVE + 106, AXIS - 8, 18, 16, rx=2),
        path("brush-strong", f"M{WIDTH - 26} {number(AXIS)}h-8"),
    )


def _spindle(share: float) -> Drawn:
    """From the gauge's far head into the frame."""
    face = ANVIL + LONGEST * share
    return rect("steel-lit outline spindle", face, AXIS - 7, SLEEVE - 18 - face, 14)


def _gauge(share: float) -> Drawn:
    """Two heads with rounded ends, one sliding in the other, and the handle with its lock, pointing down."""
    far = ANVIL + LONGEST * share
    middle = (ANVIL + far) / 2
    half = (far - ANVIL) / 2
    inner, outer = half * 0.62, half * 0.9
    y, yy = number(AXIS - 6), number(AXIS + 6)
    heads = (
        f"M{number(ANVIL)} {number(AXIS)}Q{number(ANVIL)} {y} {number(ANVIL + 5)} {y}H{number(far - 5)}"
        f"Q{number(far)} {y} {number(far)} {number(AXIS)}Q{number(far)} {yy} {number(far - 5)} {yy}"
        f"H{number(ANVIL + 5)}Q{number(ANVIL)} {yy} {number(ANVIL)} {number(AXIS)}Z"
    )
    return together(
        rect("steel outline", middle - 4, AXIS + 6, 8, 48),
        rect("steel-dim outline", middle - 6, AXIS + 38, 12, 17, rx=2),
        path("steel-lit", heads),
        path("outline gauge-heads", heads),
        path("outline", "".join([f"M{number(middle + side * inner)} {y}V{yy}" for side in (-1, 1)])),
        rect("steel-dim outline", middle - min(outer, 13), AXIS - 8, 2 * min(outer, 13), 16, rx=2),
        circle("steel-dark", middle, AXIS, 2.4),
    )


def _of(scale: OutsideScale) -> TelescopingGauge:
    system = "metric" if scale.unit == "mm" else "inch"
    return TelescopingGauge(
        name=f"telescoping_gauge_{system}_{'vernier_' if scale.has_vernier else ''}{scale.start}",
        family="telescoping_gauge",
        title=(
            f"Telescoping gauge over a micrometer, {scale.start} to {scale.end} {scale.unit}"
            f"{', with vernier' if scale.has_vernier else ''}"
        ),
        unit=scale.unit,
        step=scale.step,
        graduation=scale.graduation,
        low=scale.low,
        high=scale.high,
        scale=scale,
        misreads=scale.misreads,
    )


INSTRUMENTS: tuple[TelescopingGauge, ...] = (
    *(_of(OutsideScale(unit="mm", start=25 * k)) for k in range(1, 6)),
    *(_of(OutsideScale(unit="in", start=k)) for k in range(1, 6)),
    *(_of(OutsideScale(unit="in", start=k, has_vernier=True)) for k in range(1, 6)),
)
