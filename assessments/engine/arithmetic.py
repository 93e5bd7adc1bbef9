"""The few operations of `work` functions that plain floats and arrays spell differently.

numpy's functions on a single float cost about ten times the arithmetic itself; scoring works one
learner's floats many times over, drawing works arrays, and both run the same `work`.
"""

from __future__ import annotations

import math
from functools import reduce

import numpy as np

from assessments.engine.kinds import Values


def root(value: Values) -> Values:
    """Square root."""
    return math.sqrt(value) if isinstance(value, float) else np.sqrt(value)


def least(*values: Values) -> Values:
    """The least of several numbers, draw by draw where any of them is an array."""
    if any(isinstance(value, np.ndarray) for value in values):
        return reduce(np.minimum, values)
    return min(values)


def greatest(*values: Values) -> Values:
    """The greatest of several numbers, draw by draw where any of them is an array."""
    if any(isinstance(value, np.ndarray) for value in values):
        return reduce(np.maximum, values)
    return max(values)


def where(test: object, then: Values, otherwise: Values) -> Values:
    """One or the other, draw by draw where the test is an array."""
    if isinstance(test, np.ndarray):
        return np.where(test, then, otherwise)
    return then if test else otherwise
