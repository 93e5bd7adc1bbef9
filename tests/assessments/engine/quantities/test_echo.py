from __future__ import annotations

import pytest
from hypothesis import given

from assessments.engine.kinds import Kind
from assessments.engine.quantities.echo import understood
from assessments.engine.quantities.reading import read
from tests import strategies


@pytest.mark.parametrize(
    ("text", "default", "step", "says"),
    [
        ("0,06", "mm", 0.01, "0.06 mm (0.002 in)"),
        ("2.5 mil", "mm", 0.001, "2.5 thou (0.064 mm)"),
        ("63um", "mm", 0.001, "63 µm (2.5 thou)"),
        ('.0025"', "mm", 0.001, "0.0025 in (0.064 mm)"),
        # All figures typed are shown, even those beyond the step.
        ("0.0634", "mm", 0.01, "0.0634 mm (0.00250 in)"),
        ("0.060", "mm", 0.01, "0.060 mm (0.0024 in)"),
        ("6e-2", "mm", 0.01, "0.06 mm (0.002 in)"),
        ("-2", "mm", 0.01, "−2 mm (−0.079 in)"),
        ("-0,0", "mm", 0.01, "0.0 mm (0.000 in)"),
        ("1e3", "mm", 1.0, "1000 mm (39.4 in)"),
        # 2/64 is accepted and shown reduced; 1/32 in is 0.79375 mm.
        ("2/64 in", "mm", 0.4, "1/32 in (0.794 mm)"),
        ('1-3/64"', "mm", 0.4, "1 3/64 in (26.6 mm)"),
        ("1 3/64 in", "mm", 0.01, "1 3/64 in (26.59 mm)"),
        ("2 1/2 thou", "mm", 0.001, "2 1/2 thou (0.0635 mm)"),
        ("½", "in", 0.01, "1/2 in (12.70 mm)"),
        ("-1/16", "in", 0.01, "−1/16 in (−1.59 mm)"),
        ("0/64", "in", 0.01, "0 in (0.00 mm)"),
        # A fraction of a millimetre has to be meant: it is read with its unit, and both systems show what it came to.
        ("1/16 mm", "mm", 0.01, "1/16 mm (0.00246 in)"),
    ],
)
def test_a_length_is_said_back_as_it_was_understood(text, default, step, says):
    assert understood(read(text, Kind.LENGTH, default), step) == says


@pytest.mark.parametrize(
    ("text", "kind", "default", "step", "says"),
    [
        ("68F", Kind.TEMPERATURE, "°C", 1.0, "68 °F (20 °C)"),
        ("36F", Kind.TEMPERATURE_STEP, "K", 1.0, "36 °F difference (20 °C difference)"),
        ("3600 1/min", Kind.SPEED, "rpm", 1.0, "3600 rpm"),
        ("45deg", Kind.ANGLE, "rad", 0.01, "45°"),
        ("8", Kind.COUNT, "", 1.0, "8"),
        ("40 lb-ft", Kind.TORQUE, "N m", 1.0, "40 lbf ft (54 N m)"),
    ],
)
def test_other_kinds_are_said_back_too(text, kind, default, step, says):
    assert understood(read(text, kind, default), step) == says


@given(exact=strategies.shop_fractions)
def test_what_was_understood_can_be_read_again_as_the_same(exact):
    whole, rest = divmod(exact, 1)
    typed = read(f"{whole} {rest}" if rest else f"{whole}", Kind.LENGTH, "in")

    first = understood(typed, 0.01).partition(" (")[0]
    assert read(first, Kind.LENGTH, "mm").value == typed.value
