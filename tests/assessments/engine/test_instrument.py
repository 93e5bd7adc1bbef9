"""What holds for every instrument, whatever it is."""

from __future__ import annotations

import re
from collections.abc import Iterator

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import OutOfRangeError, UnknownNameError
from assessments.engine.instrument import Instrument
from assessments.engine.instruments import all_instruments, find_instrument
from tests.faces import CSS, classes, contrast, having, parse, size, tokens

EVERY = tuple(all_instruments().values())
ids = [instrument.name for instrument in EVERY]
every_instrument = pytest.mark.parametrize("instrument", EVERY, ids=ids)
every_untold = pytest.mark.parametrize(
    "instrument", [one for one in EVERY if not one.is_told], ids=lambda one: one.name
)

ATTRIBUTES = {"class", "d", "x", "y", "width", "height", "rx", "cx", "cy", "r"}


def sample(instrument: Instrument) -> Iterator[float]:
    """Both ends and odd places between, on whole steps."""
    low, high = round(instrument.low / instrument.step), round(instrument.high / instrument.step)
    for share, more in ((0, 0), (1, 0), (0.5, 0), (0.037, 0), (0.211, 3), (0.618, 2), (0.777, 7), (0.93, 1)):
        yield (low + round(share * (high - low)) + more) * instrument.step


@every_instrument
def test_what_it_declares_is_whole(instrument: Instrument) -> None:
    assert instrument.low < instrument.high
    assert 0 < instrument.step <= instrument.graduation
    assert instrument.title
    assert instrument.name.startswith(instrument.family)
    assert type(instrument).__module__ == f"assessments.engine.instruments.{instrument.family}"
    assert len({misread.name for misread in instrument.misreads}) == len(instrument.misreads) >= 3
    assert all(misread.says.endswith(".") for misread in instrument.misreads)


def test_names_are_unique_and_an_unknown_one_is_refused() -> None:
    assert len(set(ids)) == len(ids) == 81
    with pytest.raises(UnknownNameError):
        find_instrument("outside_micrometer_metric_7")


@every_instrument
def test_a_misread_never_gives_the_right_reading(instrument: Instrument) -> None:
    given_at_all = set()
    for reading in sample(instrument):
        for misread in instrument.misreads:
            for wrong in misread.wrong(reading):
                assert abs(wrong - reading) > instrument.step * 0.9, (misread.name, reading)
                given_at_all.add(misread.name)

    assert given_at_all == {misread.name for misread in instrument.misreads}


@given(instrument=st.sampled_from(EVERY), share=st.floats(0, 1))
def test_a_reading_is_a_whole_step_within_half_a_step_of_the_truth(instrument: Instrument, share: float) -> None:
    true = instrument.low + share * (instrument.high - instrument.low)
    reading = instrument.read(true)

    assert abs(reading - true) <= instrument.step / 2 + 1e-9
    assert reading / instrument.step == pytest.approx(round(reading / instrument.step), abs=1e-6)
    assert instrument.read(reading) == pytest.approx(reading, abs=1e-12)


@given(instrument=st.sampled_from(EVERY), shares=st.lists(st.floats(0, 1), max_size=20))
def test_floats_and_arrays_read_alike(instrument: Instrument, shares: list[float]) -> None:
    true = instrument.low + np.array(shares) * (instrument.high - instrument.low)

    assert [instrument.read(float(one)) for one in true] == list(instrument.read(true))


@every_instrument
def test_a_size_beyond_the_range_is_refused_in_the_unit_of_the_face(instrument: Instrument) -> None:
    beyond = instrument.step * 0.6
    for bad in (instrument.low - beyond, instrument.high + beyond, float("nan"), float("inf")):
        with pytest.raises(OutOfRangeError, match=f" {instrument.unit};"):
            instrument.read(bad)
        with pytest.raises(OutOfRangeError):
            instrument.read(np.array([instrument.low, bad]))
        with pytest.raises(OutOfRangeError):
            instrument.face(bad, ident="f")


def test_a_range_is_given_in_a_unit_whose_nought_lies_elsewhere() -> None:
    """Water boils at 100 °C, 212 °F; -40 is the same in both: the definition of the Fahrenheit degree."""
    note = find_instrument("written_note_temperature_fahrenheit")

    assert note.in_unit(100.0) == pytest.approx(212)
    assert note.in_unit(note.low) == pytest.approx(-40) == pytest.approx(note.low)
    assert note.in_unit(note.read(99.9)) == pytest.approx(212)
    with pytest.raises(OutOfRangeError, match=r"from -40 to 1200 °F; 1472 °F"):
        note.read(800.0)


@every_instrument
def test_a_condition_it_cannot_show_is_refused(instrument: Instrument) -> None:
    with pytest.raises(UnknownNameError):
        instrument.face(instrument.low, ident="f", oddity="on fire")


@every_untold
def test_the_words_are_the_same_at_every_reading_and_hold_no_digit(instrument: Instrument) -> None:
    for oddity in ("", *instrument.oddities):
        faces = [instrument.face(reading, ident="f", oddity=oddity) for reading in sample(instrument)]

        assert len({face.alt for face in faces}) == 1
        assert len({parse(face.svg)[0].text for face in faces}) == 1
        assert not re.search(r"\d", faces[0].alt)
        assert all(parse(face.svg)[1].text == face.alt for face in faces)


@every_instrument
def test_a_condition_is_told_in_words(instrument: Instrument) -> None:
    reading = next(sample(instrument))
    plain = instrument.face(reading, ident="f")
    for oddity in instrument.oddities:
        odd = instrument.face(reading, ident="f", oddity=oddity)

        assert odd.alt != plain.alt
        assert odd.svg != plain.svg
        assert oddity not in odd.alt  # what is seen, not what to conclude


@every_instrument
def test_a_face_is_sound_svg_that_gives_nothing_away_beside_its_lines(instrument: Instrument) -> None:
    for oddity in ("", *instrument.oddities):
        for reading in sample(instrument):
            root = parse(instrument.face(reading, ident="left-3", oddity=oddity).svg)
            assert root.get("role") == "img"
            assert root.get("aria-labelledby") == "left-3-title left-3-desc"
            assert root[0].text == instrument.title
            assert [one.get("id") for one in root.iter() if one.get("id")] == ["left-3-title", "left-3-desc"]
            for one in list(root)[2:]:
                assert set(one.attrib) <= ATTRIBUTES
                assert not re.search(r"\d", one.attrib["class"])


@every_instrument
def test_two_faces_on_a_page_share_no_id(instrument: Instrument) -> None:
    first, second = (
        {one.get("id") for one in parse(instrument.face(instrument.low, ident=ident).svg).iter()} - {None}
        for ident in ("a", "b")
    )

    assert first
    assert not first & second


@every_instrument
def test_the_same_reading_is_drawn_the_same_for_ever(instrument: Instrument) -> None:
    for reading in sample(instrument):
        assert instrument.face(reading, ident="f") == instrument.face(reading, ident="f")


@every_instrument
def test_a_face_stays_small(instrument: Instrument) -> None:
    largest = max(
        len(instrument.face(reading, ident="f", oddity=oddity).svg.encode())
        for reading in sample(instrument)
        for oddity in ("", *instrument.oddities)
    )

    assert largest < (10_000 if instrument.family == "squashed_strip" else 25_000)


FACES_CSS = (CSS / "faces.css").read_text()
SIZES = {name: float(size) for name, size in re.findall(r"\.face \.([a-z-]+) \{ font-size: ([\d.]+)px", FACES_CSS)}


@every_instrument
def test_lettering_is_large_enough_and_never_cut_off(instrument: Instrument) -> None:
    for reading in sample(instrument):
        root = parse(instrument.face(reading, ident="f").svg)
        height = float(root.attrib["viewBox"].split()[3])
        for one in root.iter("{http://www.w3.org/2000/svg}text"):
            (tall,) = [SIZES[name] for name in classes(one) if name in SIZES]
            wide = 0.7 * tall * len(one.text or "")  # the widest digits of a bold sans serif
            x, y = size(one, "x"), size(one, "y")
            starts = x if one.get("class") == "legend" else x - wide / 2

            assert tall >= 14  # 12 px where the face is 309 px wide, inside a figure on a 390 px screen
            assert starts >= 0, one.text
            assert starts + wide <= 360, one.text
            assert tall * 0.7 <= y <= height - 2


def test_every_class_that_looks_like_something_is_in_the_style_sheet() -> None:
    looks = set(re.findall(r"\.([a-z][a-z-]*)", re.sub(r"/\*.*?\*/", "", FACES_CSS, flags=re.DOTALL)))
    for instrument in EVERY:
        for oddity in ("", *instrument.oddities):
            for one in list(parse(instrument.face(instrument.high, ident="f", oddity=oddity).svg))[2:]:
                assert classes(one) & looks, classes(one)


@pytest.mark.parametrize("scheme", ["light", "dark", "print"])
def test_lines_that_carry_a_reading_stand_out_from_what_they_lie_on(scheme: str) -> None:
    colours = tokens(scheme)
    for ground in ("--steel", "--steel-lit", "--steel-dim", "--card", "--band", "--sheet"):
        assert contrast(colours["--ink"], colours[ground]) >= 7, ground
    assert contrast(colours["--plastic"], colours["--band"]) >= 3
    assert contrast(colours["--soft"], colours["--steel"]) >= 4.5  # legends


def test_only_classes_give_a_face_its_looks() -> None:
    svg = "".join(instrument.face(instrument.low, ident="f").svg for instrument in EVERY)

    assert "style" not in svg
    assert "data-" not in svg
    assert having(parse(EVERY[0].face(EVERY[0].low, ident="f").svg), "face")
