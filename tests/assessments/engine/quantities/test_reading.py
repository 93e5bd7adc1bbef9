from __future__ import annotations

import math
from fractions import Fraction

import pytest
import scipy.constants
from hypothesis import example, given
from hypothesis import strategies as st

from assessments.engine.errors import UnknownNameError, UnreadableQuantityError
from assessments.engine.kinds import Kind
from assessments.engine.quantities import reading
from assessments.engine.quantities.reading import LONGEST, read
from assessments.engine.quantities.units import SPELLED, factor, scale, units_of
from tests import strategies


def refusal(text, kind=Kind.LENGTH, unit="mm", **more):
    with pytest.raises(UnreadableQuantityError) as refused:
        read(text, kind, unit, **more)
    assert refused.value.hint.startswith("Write it like ")
    assert refused.value.reason.endswith((".", "?"))
    return refused.value.reason


INCH = Fraction("25.4")  # exact, as in scipy.constants.inch


@pytest.mark.parametrize(
    ("text", "mm", "unit"),
    [
        ("0.06 mm", Fraction("0.06"), "mm"),
        ("0.06mm", Fraction("0.06"), "mm"),
        ("0,06 mm", Fraction("0.06"), "mm"),
        ("1,5 mm", Fraction("1.5"), "mm"),
        ("1,234 mm", Fraction("1.234"), "mm"),
        ("2. mm", 2, "mm"),
        ("MM 3", None, ""),
        ("3 Mm", 3, "mm"),
        ("3 MM", 3, "mm"),
        ("63 um", Fraction("0.063"), "µm"),
        ("63 µm", Fraction("0.063"), "µm"),
        ("63 μm", Fraction("0.063"), "µm"),
        ("63 microns", Fraction("0.063"), "µm"),
        ("2.5 thou", Fraction("2.5") * INCH / 1000, "thou"),
        ("2 1/2 thou", Fraction("2.5") * INCH / 1000, "thou"),
        ("2.5 mil", Fraction("2.5") * INCH / 1000, "thou"),
        ('.0025"', Fraction("0.0025") * INCH, "in"),
        (".0025”", Fraction("0.0025") * INCH, "in"),
        (".0025''", Fraction("0.0025") * INCH, "in"),
        ("1/16 in", INCH / 16, "in"),
        ("1/16in.", INCH / 16, "in"),
        ("1 3/64 in", Fraction(67, 64) * INCH, "in"),
        ('1-3/64"', Fraction(67, 64) * INCH, "in"),
        ("1\u00a03/64\u202fin", Fraction(67, 64) * INCH, "in"),
        ("1\u20093⁄64 inches", Fraction(67, 64) * INCH, "in"),
        ("-1-3/64 in", -Fraction(67, 64) * INCH, "in"),
        ("½ in", INCH / 2, "in"),
        ("3⅛ in", Fraction(25, 8) * INCH, "in"),
        ("3 ⅛ inch", Fraction(25, 8) * INCH, "in"),
        ("5/2 in", Fraction(5, 2) * INCH, "in"),
        ("−2 mm", -2, "mm"),
        ("-2 mm", -2, "mm"),
        ("– 2 mm", -2, "mm"),
        ("+2 mm", 2, "mm"),
        ("  2  mm\n", 2, "mm"),
        ("6e-2", Fraction("0.06"), "mm"),
        ("6E−2", Fraction("0.06"), "mm"),
        ("6,2 × 10⁻² mm", Fraction("0.062"), "mm"),
        ("6.2x10^-2 mm", Fraction("0.062"), "mm"),
        ("6'", 12 * 6 * INCH, "ft"),
        ("2 m", 2000, "m"),
        ("2 centimetres", 20, "cm"),
    ],
)
def test_a_length_is_read_as_a_shop_writes_it(text, mm, unit):
    if mm is None:
        refusal(text)
        return
    typed = read(text, Kind.LENGTH, "mm")

    assert typed.value == float(mm)  # the very float, not one beside it
    assert (typed.unit, typed.kind, typed.text) == (unit, Kind.LENGTH, text)
    assert typed.is_fraction is any(bar in text for bar in "/⁄½⅛")


@pytest.mark.parametrize(
    ("text", "default", "mm"),
    [
        ("0.0025", "in", 0.0635),
        ("0.0025", "mm", 0.0025),
        ("1/16", "in", 1.5875),  # checks_fits.md section 9 [S]
        ("2 1/2", "thou", 0.0635),
        ("1/2", "ft", 152.4),
    ],
)
def test_without_a_unit_the_field_s_own_is_taken(text, default, mm):
    typed = read(text, Kind.LENGTH, default)

    assert typed.value == mm
    assert typed.unit == default


@pytest.mark.parametrize(
    ("text", "default", "says"),
    [
        ("1/16", "mm", "1/16 without a unit is unclear here. Write 1/16 in, or the decimal in mm."),
        ("2 1/2", "cm", "2 1/2 without a unit is unclear here. Write 2 1/2 in, or the decimal in cm."),
        ("½", "µm", "1/2 without a unit is unclear here. Write 1/2 in, or the decimal in µm."),
        ("-2/64", "m", "−1/32 without a unit is unclear here. Write −1/32 in, or the decimal in m."),
    ],
)
def test_a_bare_fraction_in_a_metric_field_is_unclear(text, default, says):
    # In the trade a fraction is of an inch (common practice, no source): read as millimetres it would be wrong by 25.4.
    with pytest.raises(UnreadableQuantityError) as refused:
        read(text, Kind.LENGTH, default)

    assert str(refused.value) == says


@given(exact=strategies.shop_fractions, default=st.sampled_from(["mm", "µm", "cm", "m"]))
def test_a_fraction_with_its_unit_is_read_in_a_metric_field_too(exact, default):
    text = f"{exact.numerator}/{exact.denominator}"

    assert read(f"{text} in", Kind.LENGTH, default).value == read(text, Kind.LENGTH, "in").value
    assert read(f"{text} mm", Kind.LENGTH, default).value == float(exact)


@pytest.mark.parametrize(("kind", "unit"), [(Kind.RATIO, ""), (Kind.SPEED, "rpm"), (Kind.AREA, "mm²")])
def test_a_bare_fraction_of_anything_but_a_length_is_of_the_field_s_own_unit(kind, unit):
    assert read("1/2", kind, unit).value == 0.5


@pytest.mark.parametrize(
    ("text", "kind", "unit", "inner"),
    [
        ("3600", Kind.SPEED, "rpm", 3600),
        ("3600 rpm", Kind.SPEED, "rpm", 3600),
        ("3600 r.p.m.", Kind.SPEED, "rpm", 3600),
        ("3600 1/min", Kind.SPEED, "rpm", 3600),
        ("3600 min⁻¹", Kind.SPEED, "rpm", 3600),
        ("3600 r/min", Kind.SPEED, "rpm", 3600),
        ("60 rev/s", Kind.SPEED, "rev/s", 3600),
        ("68 °F", Kind.TEMPERATURE, "°F", 20),
        ("68F", Kind.TEMPERATURE, "°F", 20),
        ("68 deg F", Kind.TEMPERATURE, "°F", 20),
        ("20 ℃", Kind.TEMPERATURE, "°C", 20),
        ("-40 ° F", Kind.TEMPERATURE, "°F", -40),
        ("180 °C", Kind.TEMPERATURE_STEP, "°C difference", 180),
        ("324 F", Kind.TEMPERATURE_STEP, "°F difference", 180),
        ("180 K", Kind.TEMPERATURE_STEP, "K", 180),
        ("30°", Kind.ANGLE, "°", math.pi / 6),
        ("30 deg", Kind.ANGLE, "°", math.pi / 6),
        ("0.5 rad", Kind.ANGLE, "rad", 0.5),
        ("3 flats", Kind.ANGLE, "flats", math.pi),
        ("1 1/2 turns", Kind.ANGLE, "turns", 3 * math.pi),
        ("0.2 mil/in", Kind.ANGLE, "thou/in", 0.0002),
        ("1050 kPa", Kind.PRESSURE, "kPa", 10.5),
        ("580 N/mm²", Kind.PRESSURE, "MPa", 5800),
        ("36.7 kN", Kind.FORCE, "kN", 36700),
        ("100 lb", Kind.FORCE, "lbf", 444.82216152605),  # scipy.constants.lbf
        ("88 N·m", Kind.TORQUE, "N m", 88),
        ("88 Nm", Kind.TORQUE, "N m", 88),
        ("1 lb-ft", Kind.TORQUE, "lbf ft", 1.3558179483314004),  # scipy.constants: lbf by foot
        ("12 lbf in", Kind.TORQUE, "lbf in", 1.3558179483314004),
        ("1 kgf·m", Kind.TORQUE, "kgf m", 9.80665),
        ("100 lb", Kind.MASS, "lb", 45.359237),
        ("3.6 t", Kind.MASS, "t", 3600),
        ("0.133 oz-in", Kind.UNBALANCE, "oz in", 95.770359020875),
        ("331.57 g mm", Kind.UNBALANCE, "g mm", 331.57),
        ("11.7e-6", Kind.EXPANSION, "1/K", 11.7e-6),
        ("11.7 × 10⁻⁶ 1/°C", Kind.EXPANSION, "1/K", 11.7e-6),
        ("11.7e-6/K", Kind.EXPANSION, "1/K", 11.7e-6),
        ("11.7 µm/(m·K)", Kind.EXPANSION, "µm/(m·K)", 11.7e-6),
        ("6.5e-6 in/in/F", Kind.EXPANSION, "1/°F", 11.7e-6),
        ("0.0063 mil/in/F", Kind.EXPANSION, "thou/(in·°F)", 11.34e-6),
        ("4 %", Kind.RATIO, "%", 0.04),
        ("0.04", Kind.RATIO, "", 0.04),
        ("84.3 mm^2", Kind.AREA, "mm²", 84.3),
        ("0.142 sq in", Kind.AREA, "in²", 91.61272),
        ("8", Kind.COUNT, "", 8),
    ],
)
def test_other_kinds_are_read_in_their_units(text, kind, unit, inner):
    typed = read(text, kind, units_of(kind)[0])

    assert typed.value == pytest.approx(inner, rel=1e-14)
    assert typed.unit == unit


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        # The trap table of the design (pint 0.25.3 given typed text): its reading beside each.
        ("2 1/2 thou", 0.0635),  # 1.0 thou
        ("1 3/64 in", 26.590625),  # 3/64 in
        ("0,06 mm", 0.06),  # 0 mm
        ("1,5 mm", 1.5),  # 15 mm
        ("2.5 mil", 0.0635),  # an angle
    ],
)
def test_shop_notation_that_a_unit_library_misreads_is_read_right(text, mm):
    assert read(text, Kind.LENGTH, "mm").value == mm


@pytest.mark.parametrize("text", ["nan mm", "9**9**9 mm"])
def test_what_a_unit_library_swallows_or_chokes_on_is_refused(text):
    refusal(text)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "Nothing was typed."),
        (" \u00a0\t", "Nothing was typed."),
        ("nan", "There is no number in it."),
        ("inf mm", "There is no number in it."),
        ("-Infinity", "There is no number in it."),
        ("-", "There is no number in it."),
        ("1/", "“/” is no unit known here."),
        ("mm", "There is a unit in it, but no number."),
        ("1/min", "There is a unit in it, but no number."),
        ("about 3 mm", "It does not begin with a number."),
        ("--2", "It does not begin with a number."),
        ("+-2", "It does not begin with a number."),
        ("１２ mm", "Only the plain digits 0 to 9 are read."),
        ("٣ mm", "Only the plain digits 0 to 9 are read."),
        ("9" * 400, "That is too long: one quantity takes at most 40 characters."),
        ("9" * 16, "There are too many digits in it."),
        ("0." + "0" * 20 + "1 mm", "There are too many digits in it."),
        ("1/" + "9" * 20, "There are too many digits in it."),
        ("1e13", "The power of ten is too large to be meant."),
        ("1e" + "9" * 30, "The power of ten is too large to be meant."),
        ("3x10^-13", "The power of ten is too large to be meant."),
        ("1/0 in", "Nothing can be divided by 0."),
        ("2 5/2 in", "After a whole number the fraction has to be less than one."),
        ("2 4/4 in", "After a whole number the fraction has to be less than one."),
        ("5 gnurks", "“gnurks” is no unit known here."),
        ("5 \u202egnurks", "“gnurks” is no unit known here."),
        ("5 -mm", "“-mm” is no unit known here."),
        ("5, mm", "“, mm” is no unit known here."),
        ("5 .. mm", "“.. mm” is no unit known here."),
        ("2 tenths", "A tenth can be of a millimetre or of a thou."),
        ("3600 rpm", "rpm measures speed of rotation; a length is asked for here."),
        ("3600 r.p.m.", "rpm measures speed of rotation; a length is asked for here."),
        ("12 mm²", "mm² measures area; a length is asked for here."),
    ],
)
def test_the_reason_is_a_sentence_about_what_was_typed(text, says):
    assert refusal(text) == says


@pytest.mark.parametrize("text", ["1,234.5", "1.234,5", "1,234,567", "1.2.3", "1,2,3 mm", "1.,5"])
def test_two_separators_are_unclear(text):
    assert "unclear which point or comma" in refusal(text)


@pytest.mark.parametrize(
    "text",
    [
        "1 234",
        "1\u202f234 mm",
        "1 ft 2 in",
        "6' 2\"",
        "2-3 thou",
        "1−3/64 in",  # a true minus is no hyphen
        "1 - 3/64 in",
        "1/2/3",
        "1.5/16",
        "2.5 1/2 in",
        "½5",
        "½½",
        "0x1F",
        "1_000",
        "9**9**9",
        "2 mm +/- 0.1",
        "5 x 10 mm",
        "10⁶",
        "1e5.5",
        "1'234",
    ],
)
def test_more_than_one_number_is_refused(text):
    assert refusal(text).startswith("There is more in it than one number")


@pytest.mark.parametrize(
    ("text", "kind", "unit", "says"),
    [
        ("0.06 mm", Kind.SPEED, "rpm", "mm measures length; a speed of rotation is asked for here."),
        ("45 kg", Kind.FORCE, "N", "kg measures mass; a force is asked for here."),
        ("3 Nm", Kind.UNBALANCE, "g mm", "N m measures torque; an unbalance is asked for here."),
        ("20 K", Kind.TEMPERATURE, "°C", "K measures temperature difference; a temperature is asked for here."),
        ("8 %", Kind.COUNT, "", "% measures ratio; a count is asked for here."),
        ("8 mm", Kind.AREA, "mm²", "mm measures length; an area is asked for here."),
        ("20°", Kind.TEMPERATURE, "°C", "Degrees of which scale? It can be °C or °F."),
        ("20 degrees", Kind.TEMPERATURE_STEP, "K", "Degrees of which scale? It can be °C or °F."),
        ("2 tons", Kind.MASS, "kg", "A ton can be three different weights."),
        ("-300", Kind.TEMPERATURE, "°C", "Nothing can be as cold as that."),
        ("-460 F", Kind.TEMPERATURE, "°C", "Nothing can be as cold as that."),
        ("2.5", Kind.COUNT, "", "A whole number is asked for here."),
        ("3,600 rpm", Kind.SPEED, "rpm", "3,600 can be read in two ways: write 3600 or 3.600."),
        ("1,000", Kind.COUNT, "", "1,000 can be read in two ways: write 1000 or 1.000."),
    ],
)
def test_a_unit_or_number_of_the_wrong_kind_is_told_apart(text, kind, unit, says):
    assert refusal(text, kind, unit) == says


def test_a_gauge_mark_on_a_pressure_is_left_to_the_field():
    assert "fixed by the field" in refusal("150 psig", Kind.PRESSURE, "bar")


@pytest.mark.parametrize(("text", "kind", "inner"), [("0,250 kg", Kind.MASS, 0.25), ("36,7 kN", Kind.FORCE, 36700)])
def test_a_comma_that_can_only_be_decimal_is_read_in_every_kind(text, kind, inner):
    assert read(text, kind, units_of(kind)[0]).value == inner


def test_the_coldest_temperature_is_the_zero_of_the_kelvin_scale():
    coldest = -scipy.constants.zero_Celsius

    assert read(f"{coldest}", Kind.TEMPERATURE, "°C").value == coldest
    refusal(f"{coldest - 0.01}", Kind.TEMPERATURE, "°C")


def test_less_than_there_can_be_is_refused_in_the_unit_typed():
    assert refusal("-0.01 mm", least=0.0) == "It cannot be less than 0 mm here."
    assert refusal("-1 thou", least=0.0) == "It cannot be less than 0 thou here."
    assert refusal("1 in", least=50.8) == "It cannot be less than 2 in here."
    assert read("0", Kind.LENGTH, "mm", least=0.0).value == 0.0
    assert read("-0", Kind.LENGTH, "mm", least=0.0).value == 0.0


def test_the_error_keeps_what_was_typed_up_to_the_longest_quantity():
    with pytest.raises(UnreadableQuantityError) as short:
        read("5 gnurks", Kind.LENGTH, "mm")
    with pytest.raises(UnreadableQuantityError) as long:
        read("7" * 10_000, Kind.LENGTH, "mm")

    assert short.value.text == "5 gnurks"
    assert long.value.text == "7" * LONGEST + "…"


def test_forty_characters_are_still_read():
    assert read("0.06".ljust(LONGEST - 2) + "mm", Kind.LENGTH, "in").value == 0.06
    assert "too long" in refusal("0.06".ljust(LONGEST - 1) + "mm")


def test_a_field_with_a_unit_of_another_kind_is_a_mistake_of_the_page():
    with pytest.raises(UnknownNameError, match="unit of length"):
        read("2", Kind.LENGTH, "rpm")


def test_the_hint_of_every_kind_names_what_is_read():
    for kind, hint in reading._HINTS.items():
        words = hint.removeprefix("Write it like ").removesuffix(".").replace(" or ", ", ").split(", ")
        for text in words:
            assert read(text, kind, units_of(kind)[0]).value > 0


@pytest.mark.parametrize(
    ("kind", "spelling", "unit"),
    [(kind, spelling, unit) for kind, spelled in SPELLED.items() for spelling, unit in spelled.items()],
)
def test_every_spelling_is_read_as_its_unit(kind, spelling, unit):
    typed = read(f"300 {spelling.upper()}", kind, units_of(kind)[0])

    assert typed.unit == unit
    assert typed.value == float(300 * scale(unit)[0] + scale(unit)[1])


@given(text=st.one_of(st.text(), strategies.near_quantities), case=strategies.kinds_and_units)
@example(text="9**9**9**9", case=(Kind.LENGTH, "mm"))
@example(text="1e308", case=(Kind.LENGTH, "m"))
@example(text="\x00", case=(Kind.COUNT, ""))
@example(text="١½", case=(Kind.LENGTH, "in"))
def test_any_text_is_read_as_a_finite_number_or_refused(text, case):
    kind, unit = case
    try:
        typed = read(text, kind, unit)
    except UnreadableQuantityError:
        return  # and nothing else gets out

    assert math.isfinite(typed.value)
    assert typed.unit in units_of(kind)


@given(exact=strategies.shop_fractions, form=st.sampled_from(["{} {}/{}", "{}-{}/{}", "{}  {} / {}"]))
def test_rule_fractions_are_read_exactly(exact, form):
    whole, top = divmod(exact.numerator, exact.denominator)
    text = form.format(whole, top, exact.denominator) if top else str(whole)

    assert read(text, Kind.LENGTH, "in").value == float(exact * INCH)


@given(thousandths=st.integers(-(10**6), 10**6))
def test_one_size_is_the_same_in_every_unit_it_is_typed_in(thousandths):
    size = Fraction(thousandths, 1000)
    shown = [f"{float(size):.3f} in", f"{thousandths} thou", f"{float(size):.3f}".replace(".", ",") + '"']

    assert {read(text, Kind.LENGTH, "mm").value for text in shown} == {float(size * INCH)}
    assert read(f"{float(size * INCH):.4f}", Kind.LENGTH, "mm").value == float(size * INCH)


def test_reading_gives_the_float_nearest_to_what_was_typed():
    # 0.1 * 25.4 as floats is 2.54, but 0.3 * 25.4 is 7.619999999999999.
    assert read("0.3 in", Kind.LENGTH, "mm").value == 7.62
    assert factor("in") == 25.4
