"""How micrometers are misread, whatever is measured with them."""

from __future__ import annotations

from collections.abc import Callable

from assessments.engine.instrument import Misread
from assessments.engine.kinds import MM_PER_INCH
from assessments.engine.micrometer.parts import INCH, METRIC, Screw

THOU = 0.001 * MM_PER_INCH
Wrong = Callable[[float], tuple[float, ...]]


def shifts(*by: float) -> Wrong:
    return lambda right: tuple(right + one for one in by)


def backwards(screw: Screw, unit_mm: float, start: float) -> Wrong:
    """The thimble's lines counted down from the last part instead of up from nought."""
    part = screw.pitch / screw.parts

    def wrong(right: float) -> tuple[float, ...]:
        turned = (right / unit_mm - start) % screw.pitch
        if round(turned / part) in {0, screw.parts} or abs(screw.pitch - 2 * turned) < part / 2:
            return ()  # at nought and at the middle both ways give the same
        return (right + (screw.pitch - 2 * turned) * unit_mm,)

    return wrong


def _vernier_digit(right: float) -> int:
    return round(right / MM_PER_INCH / 0.0001) % 10


def _vernier_ignored(right: float) -> tuple[float, ...]:
    digit = _vernier_digit(right)
    return (right - digit * 0.0001 * MM_PER_INCH,) if digit else ()


def _vernier_misplaced(right: float) -> tuple[float, ...]:
    """The vernier's tenths of a thousandth added as whole thousandths."""
    digit = _vernier_digit(right)
    return (right + digit * (0.001 - 0.0001) * MM_PER_INCH,) if digit else ()


def metric_misreads(start: int) -> tuple[Misread, ...]:
    return (
        Misread(
            name="half_millimetre_missed",
            says="The line below the long line was missed, or counted though it was still covered: half a millimetre.",
            wrong=shifts(-0.5, 0.5),
        ),
        Misread(
            name="sleeve_line_missed",
            says="One line of the sleeve too few or too many was counted: a whole millimetre.",
            wrong=shifts(-1.0, 1.0),
        ),
        Misread(
            name="division_missed",
            says="The wrong numbered line of the sleeve was counted from: five millimetres.",
            wrong=shifts(-5.0, 5.0),
        ),
        Misread(
            name="thimble_backwards",
            says="The thimble was counted the wrong way, from the next numeral down. Its numbers grow upwards.",
            wrong=backwards(METRIC, 1.0, float(start)),
        ),
        Misread(
            name="one_line_off",
            says="The thimble line next to the one that meets the long line was read.",
            wrong=shifts(-0.01, 0.01),
        ),
    )


def inch_misreads(start: int, *, has_vernier: bool) -> tuple[Misread, ...]:
    misreads = [
        Misread(
            name="sleeve_line_missed",
            says="One line of the sleeve too few or too many was counted: twenty-five thousandths.",
            wrong=shifts(-25 * THOU, 25 * THOU),
        ),
        Misread(
            name="division_missed",
            says="The wrong numbered line of the sleeve was counted from: a tenth of an inch.",
            wrong=shifts(-100 * THOU, 100 * THOU),
        ),
        Misread(
            name="thimble_backwards",
            says="The thimble was counted the wrong way, from the next numeral down. Its numbers grow upwards.",
            wrong=backwards(INCH, MM_PER_INCH, float(start)),
        ),
        Misread(
            name="one_line_off",
            says="The thimble line next to the right one was read.",
            wrong=shifts(-THOU, THOU),
        ),
    ]
    if start:
        misreads.append(
            Misread(
                name="range_forgotten",
                says="The whole inches that this micrometer begins at were left out. Its range is named on its frame.",
                wrong=shifts(-start * MM_PER_INCH),
            )
        )
    if has_vernier:
        misreads += [
            Misread(
                name="vernier_ignored",
                says="The vernier was left out: the ten-thousandths are missing.",
                wrong=_vernier_ignored,
            ),
            Misread(
                name="vernier_misplaced",
                says="The vernier's number was added to the thousandths. It counts ten-thousandths.",
                wrong=_vernier_misplaced,
            ),
            Misread(
                name="vernier_line_off",
                says="The vernier line next to the one that goes on straight into the thimble was read.",
                wrong=shifts(-THOU / 10, THOU / 10),
            ),
        ]
    return tuple(misreads)
