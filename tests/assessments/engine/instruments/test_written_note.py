from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.instruments import find_instrument
from assessments.engine.instruments.written_note import INSTRUMENTS, WrittenNote
from assessments.engine.kinds import Kind
from assessments.engine.quantities import read, to_inner
from tests.faces import numerals, parse

ids = [one.name for one in INSTRUMENTS]


def words(note: WrittenNote, reading: float) -> str:
    (figure,) = numerals(parse(note.face(reading, ident="f").svg), "note-figure")
    return figure.words


anywhere = st.sampled_from(INSTRUMENTS).flatmap(lambda one: st.tuples(st.just(one), st.floats(one.low, one.high)))


@given(anywhere)
def test_a_figure_as_written_is_understood_as_typed_text_is(case: tuple[WrittenNote, float]) -> None:
    note, true = case
    reading = note.read(true)
    typed = read(words(note, reading), note.kind, note.unit)

    assert abs(typed.value - reading) < note.step / 4


@pytest.mark.parametrize("note", INSTRUMENTS, ids=ids)
def test_both_ends_and_each_step_near_them_are_read_back(note: WrittenNote) -> None:
    count = round((note.high - note.low) / note.step)
    for k in (*range(40), *range(count - 40, count + 1)):
        reading = note.low + k * note.step
        assert abs(read(words(note, reading), note.kind, note.unit).value - reading) < note.step / 4, k


@given(anywhere)
def test_who_cannot_see_it_is_told_the_same_figure(case: tuple[WrittenNote, float]) -> None:
    note, reading = case

    assert words(note, reading) in note.face(reading, ident="f").alt
    assert note.is_told


@pytest.mark.parametrize("note", INSTRUMENTS, ids=ids)
def test_its_range_is_whole_steps_from_the_inner_nought(note: WrittenNote) -> None:
    for end in (note.low, note.high):
        assert note.read(end) == pytest.approx(end, abs=note.step * 1e-6)


def test_there_is_a_note_in_both_systems_for_every_kind_that_has_both() -> None:
    units = {kind: {one.unit for one in INSTRUMENTS if one.kind is kind} for kind in Kind}

    assert units[Kind.LENGTH] == {"mm", "in", "µm", "thou", "m", "ft"}
    assert units[Kind.TEMPERATURE] == {"°C", "°F"}
    assert units[Kind.MASS] == {"kg", "lb", "g", "oz"}
    assert units[Kind.UNBALANCE] == {"g mm", "oz in"}
    assert units[Kind.FORCE] == {"kN", "lbf"}
    assert units[Kind.TORQUE] == {"N m", "lbf ft"}
    assert units[Kind.PRESSURE] == {"bar", "psi"}
    assert (units[Kind.SPEED], units[Kind.ANGLE]) == ({"rpm"}, {"°"})


def test_below_nought_a_true_minus_is_written_and_none_before_nought() -> None:
    note = find_instrument("written_note_temperature_celsius")

    assert words(note, -12.0) == "\N{MINUS SIGN}12 °C"
    assert words(note, -0.3) == "0 °C"
    assert words(find_instrument("written_note_angle_degrees"), to_inner(90.0, "°")) == "90°"


def misread(name: str, slip: str, right: float) -> list[float]:
    note = find_instrument(name)
    found = next(one.wrong for one in note.misreads if one.name == slip)(right)
    return sorted(round(note.in_unit(one), 6) for one in found)


def test_misreads_give_the_numbers_a_person_would_write() -> None:
    speed = "written_note_speed_rpm"
    assert misread(speed, "figures_swapped", 3774.0) == [3747, 7374]
    assert misread(speed, "figure_left_out", 3774.0) == [374, 377, 774]
    assert misread(speed, "point_moved", 3774.0) == [377.4, 37740]
    assert misread(speed, "point_moved", 0.0) == []
    assert misread(speed, "figures_swapped", 7.0) == []
    assert misread(speed, "figure_left_out", 0.0) == []
    length = "written_note_length_inches"
    assert misread(length, "figures_swapped", 2.035 * 25.4) == [0.235, 2.053, 2.305]
    # The figure of the slip taken for millimetres.
    assert misread(length, "other_unit", 25.4) == pytest.approx([1 / 25.4], abs=1e-6)
    # 212 °F taken for 212 °C; minus forty is the same in both, and is then no slip.
    assert misread("written_note_temperature_fahrenheit", "other_unit", 100.0) == pytest.approx([413.6])
    assert misread("written_note_temperature_celsius", "other_unit", -40.0) == []
    # Below nought the sign stays.
    assert misread("written_note_temperature_celsius", "figures_swapped", -12.0) == [-21]
