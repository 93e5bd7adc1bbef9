from __future__ import annotations

import pytest
import scipy.constants

from assessments.engine.quantities import to_inner
from courses.machines.units import UNITS


@pytest.mark.parametrize("unit", UNITS)
def test_the_engine_reads_every_unit_of_a_sheet_by_this_very_symbol(unit):
    assert to_inner(1.0, unit) > -20


@pytest.mark.parametrize(
    ("unit", "inner"),
    [
        ("in", scipy.constants.inch * 1000),  # mm
        ("lbf", scipy.constants.lbf),  # N
        ("lb", scipy.constants.lb),  # kg
        ("psi", scipy.constants.psi / scipy.constants.bar),  # bar
        ("lbf ft", scipy.constants.lbf * scipy.constants.foot),  # N m
    ],
)
def test_a_symbol_means_the_unit_it_says(unit, inner):
    """Against scipy.constants (CODATA and the exact definitions of inch, pound and standard gravity)."""
    assert to_inner(1.0, unit) == pytest.approx(inner, rel=1e-9)
