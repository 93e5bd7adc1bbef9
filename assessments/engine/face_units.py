"""The units that faces are marked in, and what one of each is inside the engine.

Instruments work in plain numbers and never reach the library of units behind `quantities`; these few sizes are
written here from their definitions, and a test holds every one of them against `quantities`.
Exact: the yard and pound agreement of 1959 (25.4 mm, 0.453 592 37 kg); standard gravity 9.806 65 m/s2 (CGPM 1901).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from assessments.engine.kinds import MM_PER_INCH, Kind

_POUND_KG = 0.45359237
_POUND_FORCE_N = _POUND_KG * 9.80665


class FaceUnit(NamedTuple):
    """size: inner units in one of it. zero: what its nought is in the inner unit; 0 but for levels of temperature."""

    kind: Kind
    size: float
    zero: float = 0.0


FACE_UNITS: Mapping[str, FaceUnit] = MappingProxyType(
    {
        "mm": FaceUnit(Kind.LENGTH, 1.0),
        "µm": FaceUnit(Kind.LENGTH, 0.001),
        "m": FaceUnit(Kind.LENGTH, 1000.0),
        "in": FaceUnit(Kind.LENGTH, MM_PER_INCH),
        "thou": FaceUnit(Kind.LENGTH, MM_PER_INCH / 1000),
        "ft": FaceUnit(Kind.LENGTH, 12 * MM_PER_INCH),
        "°": FaceUnit(Kind.ANGLE, math.pi / 180),
        "rpm": FaceUnit(Kind.SPEED, 1.0),
        "°C": FaceUnit(Kind.TEMPERATURE, 1.0),
        "°F": FaceUnit(Kind.TEMPERATURE, 5 / 9, -32 * 5 / 9),
        "bar": FaceUnit(Kind.PRESSURE, 1.0),
        "psi": FaceUnit(Kind.PRESSURE, _POUND_FORCE_N / MM_PER_INCH**2 * 10),
        "kN": FaceUnit(Kind.FORCE, 1000.0),
        "lbf": FaceUnit(Kind.FORCE, _POUND_FORCE_N),
        "N m": FaceUnit(Kind.TORQUE, 1.0),
        "lbf ft": FaceUnit(Kind.TORQUE, _POUND_FORCE_N * 12 * MM_PER_INCH / 1000),
        "kg": FaceUnit(Kind.MASS, 1.0),
        "g": FaceUnit(Kind.MASS, 0.001),
        "lb": FaceUnit(Kind.MASS, _POUND_KG),
        "oz": FaceUnit(Kind.MASS, _POUND_KG / 16),
        "g mm": FaceUnit(Kind.UNBALANCE, 1.0),
        "oz in": FaceUnit(Kind.UNBALANCE, _POUND_KG * 1000 / 16 * MM_PER_INCH),
    }
)
