"""The few operations of rules that plain floats and arrays spell differently.

numpy's functions on a single float cost about ten times the arithmetic itself; scoring works one
learner's floats many times over, drawing works arrays, and both run the same rules.
"""

from __future__ import annotations

import math
from functools import reduce

import numpy as np

from assessments.engine.kinds import Values


def root(value: Values) -> Values:
    """Square root."""
    return np.sqrt(value) if isinstance(value, np.ndarray) else math.sqrt(value)


def cosine(angle: Values) -> Values:
    """Cosine of an angle (rad)."""
    return np.cos(angle) if isinstance(angle, np.ndarray) else math.cos(angle)


def sine(angle: Values) -> Values:
    """Sine of an angle (rad)."""
    return np.sin(angle) if isinstance(angle, np.ndarray) else math.sin(angle)


def arc_cosine(ratio: Values) -> Values:
    """The angle (rad, 0 to pi) with that cosine; of a number over one, or under minus one, as of one itself."""
    if isinstance(ratio, np.ndarray):
        return np.arccos(np.clip(ratio, -1.0, 1.0))
    return math.acos(min(max(ratio, -1.0), 1.0))


def size_of(value: Values) -> Values:
    """The size of a number without its sign."""
    return np.abs(value) if isinstance(value, np.ndarray) else abs(value)


def nearest_whole(value: Values) -> Values:
    """The nearest whole number; of two equally near, the even one."""
    return np.rint(value) if isinstance(value, np.ndarray) else float(round(value))


def least(*values: Values) -> Values:
    """The least of several numbers, draw by draw where any of them is an array."""
    for value in values:
        if isinstance(value, np.ndarray):
            return reduce(np.minimum, values)
    return min(values)


def greatest(*values: Values) -> Values:
    """The greatest of several numbers, draw by draw where any of them is an array."""
    for value in values:
        if isinstance(value, np.ndarray):
            return reduce(np.maximum, values)
    return max(values)


def place_of(wanted: Values, *values: Values) -> Values:
    """Which of several numbers, counted from 1, is the wanted one; of equals the first. 0 if none is."""
    place: Values = 0.0
    for number in range(len(values), 0, -1):
        place = where(values[number - 1] == wanted, float(number), place)
    return place


def side(chance: Values) -> Values:
    """Plus or minus one, each as likely, from a number between 0 and 1."""
    if isinstance(chance, np.ndarray):
        signs: Values = np.copysign(1.0, 0.5 - chance)
        return signs
    return math.copysign(1.0, 0.5 - chance)


def where(test: object, then: Values, otherwise: Values) -> Values:
    """One or the other, draw by draw where the test is an array."""
    if isinstance(test, np.ndarray):
        return np.where(test, then, otherwise)
    return then if test else otherwise
