from __future__ import annotations

import pytest

from assessments.engine.face_units import FACE_UNITS
from assessments.engine.instruments import all_instruments
from assessments.engine.quantities import to_inner, units_of


@pytest.mark.parametrize("unit", FACE_UNITS)
def test_a_unit_of_a_face_is_what_the_table_of_units_says(unit: str) -> None:
    """The sizes there are pint's: another library's, not ours."""
    found = FACE_UNITS[unit]

    assert unit in units_of(found.kind)
    assert to_inner(1.0, unit) - to_inner(0.0, unit) == pytest.approx(found.size, rel=1e-12)
    assert to_inner(0.0, unit) == pytest.approx(found.zero, rel=1e-12, abs=1e-15)


def test_every_unit_is_that_of_some_face_and_its_kind_is_that_faces() -> None:
    for instrument in all_instruments().values():
        assert FACE_UNITS[instrument.unit].kind is instrument.kind
    assert {instrument.unit for instrument in all_instruments().values()} == set(FACE_UNITS)
