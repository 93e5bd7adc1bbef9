"""Outside: Callister, table B.6, whose two columns are held against each other; a materials selector's table."""

from __future__ import annotations

import math

import pytest

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.expansion import FAHRENHEIT, GREATEST, LEAST, MATERIALS, THIRTY_TWO, need_expansions
from assessments.engine.kinds import Kind
from assessments.engine.quantities import from_inner, to_inner

BOTH_PRINTED = {name: one for name, one in MATERIALS.items() if "Callister" in one.source}


@pytest.mark.parametrize("name", BOTH_PRINTED)
def test_the_two_columns_of_the_table_say_the_same(name):
    # Printed to a tenth each, so they agree to half a tenth of the second.
    material = BOTH_PRINTED[name]

    for celsius, fahrenheit in zip((material.low, material.high), material.printed, strict=True):
        assert celsius * 1e6 / 1.8 == pytest.approx(fahrenheit, abs=0.0501)


@pytest.mark.parametrize(
    ("name", "celsius", "fahrenheit"),
    [("steel_1020", 11.7, 6.50), ("stainless_304", 17.2, 9.56), ("bearing_bronze", 18.0, 10.00)],
)
def test_a_coefficient_per_fahrenheit_is_that_per_celsius_over_one_point_eight(name, celsius, fahrenheit):
    # Callister, table B.6, recomputed.
    assert MATERIALS[name].middle * 1e6 == pytest.approx(celsius)
    assert from_inner(MATERIALS[name].middle, "µin/(in·°F)") == pytest.approx(fahrenheit, abs=0.005)


def test_a_table_in_fahrenheit_alone_is_converted_by_the_library_of_units():
    for name, printed in (
        ("stainless_martensitic", (5.5, 6.5)),
        ("lead_alloys", (14.4, 16.3)),
        ("tin_babbitt", (13, 13)),
    ):
        material = MATERIALS[name]
        assert [from_inner(one, "µin/(in·°F)") for one in (material.low, material.high)] == pytest.approx(printed)
        assert material.printed == printed


def test_steel_less_carbon_lies_where_the_published_differential_lies():
    # Bloch and Geitner, Practical Machinery Management for Process Plants, vol. 4, p. 344: 4.0e-6 in/in/F.
    steel, carbon = MATERIALS["steel_1020"], MATERIALS["graphite_isostatic"]
    least, most = ((steel.middle - one) * FAHRENHEIT for one in (carbon.high, carbon.low))

    assert (least * 1e6, most * 1e6) == (pytest.approx(3.2, abs=0.05), pytest.approx(5.3, abs=0.05))
    assert least < 4.0e-6 < most


def test_stainless_of_the_alignment_tables_is_not_304():
    # They print 7.4e-6 per degree Fahrenheit.
    assert abs(7.4 - MATERIALS["stainless_304"].printed[0]) > 2


def test_a_difference_is_not_a_level():
    # 90 °F more is 50 K more; 90 °F is 32.2 °C.
    assert pytest.approx(50.0) == 90 * FAHRENHEIT
    assert to_inner(90.0, "°F") == pytest.approx(90 * FAHRENHEIT - THIRTY_TWO)
    assert to_inner(90.0, "°F difference") == pytest.approx(90 * FAHRENHEIT)
    assert Kind.TEMPERATURE is not Kind.TEMPERATURE_STEP


def test_every_material_names_its_table_and_can_be_a_part_of_a_machine():
    for material in MATERIALS.values():
        assert material.source.strip()
        assert material.title.strip()
        assert LEAST <= material.low <= material.middle <= material.high <= GREATEST
        need_expansions({"a": material.low, "b": material.high})


@pytest.mark.parametrize("value", [0.0, -11.7e-6, 11.7, 11.7e-3, 0.49e-6, 51e-6, math.nan, math.inf])
def test_what_no_part_grows_by_is_refused(value):
    with pytest.raises(ImpossibleReadingError) as refused:
        need_expansions({"a_ring": 4.5e-6, "a_shaft": value})

    assert refused.value.name == "a_shaft"
    assert str(refused.value).endswith(".")


@pytest.mark.parametrize("value", [LEAST, GREATEST])
def test_the_bounds_themselves_are_taken(value):
    need_expansions({"a": value})
