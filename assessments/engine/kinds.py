"""What a number measures, and the inner unit the engine holds it in.

Inside the engine a quantity is a plain float, or a numpy array of floats, in the inner unit of its
kind. Text becomes such a number, and such a number becomes text, in `quantities.py` alone.
"""

from __future__ import annotations

from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Values = float | Array
"""One number, or one number a draw: every `work` takes both."""

MM_PER_INCH = 25.4
"""Exact: the international yard and pound agreement of 1959; ISO 31-1:1992, annex A."""


class Kind(StrEnum):
    """What is measured. The comment gives the inner unit."""

    LENGTH = "length"  # mm
    AREA = "area"  # mm2
    ANGLE = "angle"  # rad
    SPEED = "speed of rotation"  # rpm
    TEMPERATURE = "temperature"  # degree Celsius, a level
    TEMPERATURE_STEP = "temperature difference"  # K
    PRESSURE = "pressure"  # bar, gauge or absolute as the entry says
    FORCE = "force"  # N
    TORQUE = "torque"  # N m
    MASS = "mass"  # kg
    UNBALANCE = "unbalance"  # g mm
    EXPANSION = "expansion coefficient"  # 1/K
    RATIO = "ratio"  # 1; a percentage is a ratio
    COUNT = "count"  # 1, whole
