from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from courses.machines.rules import Change, compare, mistakes, repeated_codes, with_decimals
from courses.machines.units import UNITS
from tests.factories.machines import EntryDraftFactory

LINE = EntryDraftFactory()


def figures(**given_figures):
    none = dict.fromkeys(("nominal", "tolerance", "low", "high"))
    return replace(LINE, **{**none, **{name: Decimal(figure) for name, figure in given_figures.items()}})


def line(form, unit="mm", **given_figures):
    return replace(figures(**given_figures), form=form, unit=unit)


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        (line("between", low="0.090", high="0.150"), "0.090 to 0.150 mm"),
        (line("between", low="0.09", high="0.150"), "0.090 to 0.150 mm"),
        (line("between", low="0.09", high="0.15"), "0.09 to 0.15 mm"),
        (line("at most", high="0.0200", unit="in"), "at most 0.0200 in"),
        (line("at least", low="3", unit="bar"), "at least 3 bar"),
        (line("plus or minus", nominal="9.5", tolerance="0.25"), "9.50 ± 0.25 mm"),
        (line("dimension", nominal="3600", unit="rpm"), "3600 rpm"),
        (line("dimension", nominal="-2.5", unit="°C"), "-2.5 °C"),
    ],
)
def test_figures_are_lettered_with_the_decimals_they_were_given(entry, words):
    assert entry.figures == words
    assert mistakes(entry) == []


@given(st.decimals(min_value=-1000, max_value=1000, places=6), st.integers(min_value=0, max_value=6))
def test_lettering_with_more_decimals_never_changes_a_figure(figure, decimals):
    assert with_decimals(figure, decimals) == figure


@pytest.mark.parametrize(
    ("entry", "field", "says"),
    [
        (replace(LINE, code=" "), "code", "filled in"),
        (replace(LINE, code="Bearing"), "code", "Small letters"),
        (replace(LINE, code="bearing.\n"), "code", "Small letters"),
        (replace(LINE, label=""), "label", "filled in"),
        (replace(LINE, where=" "), "where", "filled in"),
        (replace(LINE, source=""), "source", "filled in"),
        (replace(LINE, unit="furlong"), "unit", "is not a unit of a sheet"),
        (replace(LINE, form="about"), "form", "A line is one of"),
        (line("between", low="0.1"), "high", "needs this figure"),
        (line("at most", low="0.1", high="0.2"), "low", "has no such figure"),
        (line("between", low="0.15", high="0.09"), "high", "more than the low one"),
        (line("between", low="0.09", high="0.090"), "high", "more than the low one"),
        (line("plus or minus", nominal="1", tolerance="0"), "tolerance", "more than nothing"),
        (line("plus or minus", nominal="1", tolerance="-0.1"), "tolerance", "more than nothing"),
        (line("dimension", nominal="NaN"), "nominal", "a number"),
        (line("dimension", nominal="Infinity"), "nominal", "a number"),
        (line("dimension", nominal="0.1234567"), "nominal", "6 after it"),
        (line("dimension", nominal="123456789"), "nominal", "8 digits"),
    ],
)
def test_a_line_that_is_not_whole_says_what_is_wrong(entry, field, says):
    found = mistakes(entry)

    assert [mistake.field for mistake in found] == [field]
    assert says in found[0].message


def test_all_mistakes_are_told_at_once():
    entry = replace(line("between", low="0.2"), label="", unit="")

    assert {mistake.field for mistake in mistakes(entry)} == {"label", "unit", "high"}


def test_every_unit_has_its_name():
    assert all(symbol.strip() == symbol and name for symbol, name in UNITS.items())


def test_codes_that_stand_twice_are_found():
    entries = [replace(LINE, code=code) for code in ("b", "a", "b", "a", "c")]

    assert repeated_codes(entries) == ["a", "b"]


def test_two_equal_sheets_have_no_changes():
    assert compare([LINE], [replace(LINE)]) == []


def test_a_changed_limit_is_told_as_it_was_and_as_it_is():
    new = replace(LINE, high=Decimal("0.145"), source="spring inspection")

    assert compare([LINE], [new]) == [
        Change("changed", LINE.code, LINE.label, "figures", "0.090 to 0.150 mm", "0.090 to 0.145 mm"),
        Change("changed", LINE.code, LINE.label, "source", "invented for practice", "spring inspection"),
    ]


def test_more_decimals_are_a_change():
    """A limit of 0.15 and one of 0.150 are the same size, but not the same statement."""
    coarse = replace(LINE, low=Decimal("0.09"), high=Decimal("0.15"))

    assert [change.after for change in compare([coarse], [LINE])] == ["0.090 to 0.150 mm"]


def test_lines_that_come_and_go_are_told():
    new = replace(LINE, code="rotor.float", label="Axial float")

    assert compare([LINE], [new]) == [
        Change("added", "rotor.float", "Axial float", "figures", "", LINE.figures),
        Change("removed", LINE.code, LINE.label, "figures", LINE.figures, ""),
    ]
