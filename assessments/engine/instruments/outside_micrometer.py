"""Outside micrometers, metric and inch, from geometry.

Their scale is that of `micrometer.outside`, which names its sources. Subject of ISO 3611.
"""

from __future__ import annotations

from dataclasses import dataclass

from assessments.engine.drawing import picture
from assessments.engine.instrument import Face, Instrument
from assessments.engine.micrometer.outside import OutsideScale


@dataclass(frozen=True, slots=True, kw_only=True)
class OutsideMicrometer(Instrument):
    """A micrometer of one range."""

    scale: OutsideScale

    def face(self, reading: float, *, ident: str, oddity: str = "") -> Face:
        self.must_show(reading, oddity)
        alt = self.scale.words()
        svg = picture(self.scale.drawn(reading), ident=ident, title=self.title, alt=alt, height=self.scale.view.height)
        return Face(svg=svg, alt=alt)


def _of(scale: OutsideScale) -> OutsideMicrometer:
    system = "metric" if scale.unit == "mm" else "inch"
    return OutsideMicrometer(
        name=f"outside_micrometer_{system}_{'vernier_' if scale.has_vernier else ''}{scale.start}",
        family="outside_micrometer",
        title=(
            f"Outside micrometer, {scale.start} to {scale.end} {scale.unit}"
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


INSTRUMENTS: tuple[OutsideMicrometer, ...] = (
    *(_of(OutsideScale(unit="mm", start=25 * k)) for k in range(6)),
    *(_of(OutsideScale(unit="in", start=k)) for k in range(6)),
    *(_of(OutsideScale(unit="in", start=k, has_vernier=True)) for k in range(6)),
)
