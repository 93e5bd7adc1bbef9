"""Reading and printing together, through the package's door."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine import quantities
from assessments.engine.quantities import factor, from_inner, number, read, show, to_inner
from tests import strategies


def test_the_door_shows_what_others_call():
    assert set(quantities.__all__) == {
        "LONGEST",
        "NO_NUMBER",
        "Typed",
        "factor",
        "from_inner",
        "number",
        "offset",
        "other_unit",
        "read",
        "show",
        "show_both",
        "show_fraction",
        "to_inner",
        "understood",
        "units_of",
    }


@given(
    case=strategies.kinds_and_units,
    lines=st.integers(-20_000, 20_000),
    places=st.integers(0, 4),
    off=st.floats(-0.5, 0.5),
)
def test_what_is_shown_reads_back_within_half_the_step_shown(case, lines, places, off):
    kind, unit = case
    places = 0 if kind.value == "count" else places
    value = to_inner((lines + off) * 10.0**-places, unit)
    if kind.value == "temperature" and value < -273:
        value = 0.0
    shown = show(value, unit, factor(unit) * 10.0**-places)

    back = read(shown, kind, quantities.units_of(kind)[0])
    assert (back.unit, kind) == (unit, kind)
    assert abs(from_inner(back.value, unit) - from_inner(value, unit)) <= 10.0**-places / 2 * (1 + 1e-6) + 1e-9


@given(case=strategies.kinds_and_units, value=st.floats(0.001, 1000))
def test_six_figures_are_shown_where_no_step_is_known(case, value):
    kind, unit = case
    if kind.value == "count":
        value = float(round(value))
    inner = to_inner(value, unit)

    back = read(number(inner, unit), kind, unit)
    assert from_inner(back.value, unit) == pytest.approx(value, rel=6e-6)
