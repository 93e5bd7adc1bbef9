from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

import pytest

from courses.machines.forms import MOST_LINES, EntryLineForm, FigureField, Revising
from courses.machines.rules import FIGURE_NAMES
from tests.factories.machines import EntryDraftFactory

LINE = EntryDraftFactory()
NAMES = ("label", "where", "code", "form", "unit", *FIGURE_NAMES, "source", "outside")


def _dashes(found):
    return found[0].replace("_", "-")


def sent(*entries, spare=2, reason="So.", after=1, **changed):
    """What a browser sends for these lines, the spare ones empty; `changed` overrides fields, as line_0_low."""
    total = len(entries) + spare
    data = {
        "line-TOTAL_FORMS": str(total),
        "line-INITIAL_FORMS": str(len(entries)),
        "reason": reason,
        "after": str(after),
    }
    for index in range(total):
        for name in NAMES:
            value = getattr(entries[index], name) if index < len(entries) else None
            data[f"line-{index}-{name}"] = "" if value is None else str(value)
    return {**data, **{re.sub("^line_([0-9]+_)?", _dashes, name): value for name, value in changed.items()}}


def revising(*entries, **given):
    return Revising(entries, sent(*entries, **given))


def errors_of(form):
    return {name: str(errors[0]) for line in form.lines.forms for name, errors in line.errors.items()}


@pytest.mark.parametrize(
    ("typed", "figure"),
    [("0.150", "0.150"), ("0,150", "0.150"), (" 12 ", "12"), ("-0.5", "-0.5"), ("", None), (".002", "0.002")],
)
def test_a_figure_is_read_with_the_decimals_it_was_typed_with(typed, figure):
    read = FigureField().clean(typed)

    assert (None if read is None else str(read)) == figure


@pytest.mark.parametrize("typed", ["1,234.5", "1,2,3", "nan", "inf", "1e", "9**9**9", "0x10", "1" * 400, "0.1234567"])
def test_what_is_no_figure_is_refused(typed):
    form = EntryLineForm({"nominal": typed})

    assert "nominal" in form.errors


def test_the_form_begins_with_the_figures_as_issued():
    page = str(Revising([LINE]).lines.forms[0]["high"])

    assert 'value="0.150"' in page
    assert 'inputmode="decimal"' in page


def test_what_is_sent_back_unchanged_is_the_same_sheet():
    form = revising(LINE, replace(LINE, code="rotor.float"))

    assert form.is_valid()
    assert form.entries == [LINE, replace(LINE, code="rotor.float")]
    assert (form.reason, form.after) == ("So.", 1)


def test_a_spare_line_that_is_filled_in_joins_the_sheet():
    new = replace(LINE, code="rotor.float")
    filled = {
        f"line_1_{name}": str(getattr(new, name))
        for name in ("code", "label", "where", "form", "unit", "low", "high", "source")
    }

    form = revising(LINE, **filled)

    assert form.is_valid(), errors_of(form)
    assert form.entries == [LINE, new]


def test_a_line_can_be_left_out():
    form = revising(LINE, replace(LINE, code="rotor.float"), line_0_DELETE="on")

    assert form.is_valid()
    assert [entry.code for entry in form.entries] == ["rotor.float"]


@pytest.mark.parametrize(
    ("changed", "field", "says"),
    [
        ({"line_0_high": "0.05"}, "high", "more than the low one"),
        ({"line_0_low": ""}, "low", "needs this figure"),
        ({"line_0_low": "a bit"}, "low", "not a number"),
        ({"line_0_nominal": "1"}, "nominal", "has no such figure"),
        ({"line_0_unit": "furlong"}, "unit", "not one of the available choices"),
        ({"line_0_form": "about"}, "form", "not one of the available choices"),
        ({"line_0_code": "Bearing 1"}, "code", "Small letters"),
        ({"line_0_source": ""}, "source", "required"),
        ({"line_0_label": "x" * 121}, "label", "at most 120"),
        ({"line_1_label": "half filled"}, "where", "required"),
    ],
)
def test_a_mistake_is_told_beside_its_field(changed, field, says):
    form = revising(LINE, **changed)

    assert not form.is_valid()
    assert says in errors_of(form)[field]


def test_what_was_typed_stays():
    form = revising(LINE, line_0_low="a bit")
    form.is_valid()

    assert 'value="a bit"' in str(form.lines.forms[0]["low"])


def test_a_code_that_stands_twice_is_refused():
    form = revising(LINE, LINE)

    assert not form.is_valid()
    assert "stands on more than one line" in str(form.lines.non_form_errors())


def test_a_sheet_without_a_line_is_refused():
    form = revising(LINE, line_0_DELETE="on")

    assert not form.is_valid()
    assert "at least one line" in str(form.lines.non_form_errors())


def test_a_flood_of_lines_is_refused():
    form = revising(LINE, line_TOTAL_FORMS=str(MOST_LINES + 50))

    assert not form.is_valid()


def test_both_parts_tell_their_mistakes_at_once():
    form = revising(LINE, reason="", line_0_high="0")

    assert not form.is_valid()
    assert "reason" in form.reason_form.errors
    assert "high" in errors_of(form)


@pytest.mark.parametrize("after", ["", "x", "-1", "1.5"])
def test_a_tampered_number_is_no_number(after):
    form = revising(LINE, after=after)

    assert not form.is_valid()
    assert form.after is None


def test_a_form_not_sent_yet_has_no_number():
    assert Revising([LINE]).after is None
    assert Revising([LINE]).lines.forms[0].draft is None


def test_a_figure_of_a_spare_line_alone_makes_it_count():
    form = revising(LINE, line_1_low="0.1")

    assert not form.is_valid()
    assert Decimal("0.1") == form.lines.forms[1].cleaned_data["low"]
