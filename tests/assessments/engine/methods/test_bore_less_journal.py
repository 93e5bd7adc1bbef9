"""Outside: Bloch, Improving Machinery Reliability, table 3-2, read and recomputed."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.methods.bore_less_journal import METHOD
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict, judge

MIL = 0.0254
PLACES = ("governor_vertical", "governor_horizontal", "coupling_vertical", "coupling_horizontal")
NOMINAL = {"nominal": 50.0}
ROUND = {"out_of_round": Limit.at_most(0.05, source="test"), "taper": Limit.at_most(0.05, source="test")}
LIMITS = {"clearance": Limit.between(0.08, 0.14, source="test"), **ROUND}


def sizes(bore, journal):
    """Readings in mm from four bores and four journals, vertical then horizontal, governor end first."""
    return {f"bore_{place}": size for place, size in zip(PLACES, bore, strict=True)} | {
        f"journal_{place}": size for place, size in zip(PLACES, journal, strict=True)
    }


def inches(bore, journal):
    return sizes([size * 25.4 for size in bore], [size * 25.4 for size in journal])


def wrong(name, readings, dims=NOMINAL):
    return METHOD.work_one(readings, dims, instead=next(slip for slip in METHOD.slips if slip.name == name).rules)


TABLE_3_2 = [(3.0040, 2.9990, 2.50), (3.0070, 2.9990, 4.00), (3.0040, 3.0000, 2.00)]


@pytest.mark.parametrize(("bore", "journal", "radial_mils"), TABLE_3_2)
def test_the_published_table_halves_our_clearance(bore, journal, radial_mils):
    readings = inches([bore] * 4, [journal] * 4)

    assert METHOD.work_one(readings, NOMINAL)["least_clearance"] / MIL == pytest.approx(2 * radial_mils, abs=1e-6)
    assert wrong("halved", readings)["least_clearance"] / MIL == pytest.approx(radial_mils, abs=1e-6)


def test_the_table_s_worst_cases_are_the_tightest_and_the_loosest_place():
    # The same table: bore 3.0040 to 3.0070 in, journal 2.9990 to 3.0000 in, on the diameter 4.0 and 8.0 mils.
    worked = METHOD.work_one(inches([3.0070, 3.0040, 3.0055, 3.0050], [2.9995, 3.0000, 2.9990, 2.9992]), NOMINAL)

    assert worked["least_clearance"] / MIL == pytest.approx(4.0, abs=1e-6)
    assert worked["greatest_clearance"] / MIL == pytest.approx(8.0, abs=1e-6)


def test_a_bearing_is_tight_in_one_place_though_its_mean_is_inside():
    readings = sizes([50.09, 50.13, 50.10, 50.13], [50.0, 50.02, 50.0, 50.01])
    worked = METHOD.work_one(readings, NOMINAL)

    assert LIMITS["clearance"].holds(worked["mean_clearance"])
    assert judge(worked, LIMITS, METHOD.held) == (Verdict.LOW,)


def test_a_bearing_is_loose_in_one_place_though_its_mean_is_inside():
    readings = sizes([50.12, 50.15, 50.12, 50.15], [50.0, 50.02, 50.0, 50.01])
    worked = METHOD.work_one(readings, NOMINAL)

    assert LIMITS["clearance"].holds(worked["mean_clearance"])
    assert judge(worked, LIMITS, METHOD.held) == (Verdict.HIGH,)


def test_out_of_round_is_across_a_plane_and_taper_between_the_planes():
    # Numbers by hand: bore 0.03 across the coupling plane, 0.04 between planes horizontally.
    worked = METHOD.work_one(sizes([50.10, 50.11, 50.12, 50.15], [50.00, 49.98, 49.99, 49.98]), NOMINAL)

    assert worked["bore_out_of_round"] == pytest.approx(0.03)
    assert worked["bore_taper"] == pytest.approx(0.04)
    assert worked["journal_out_of_round"] == pytest.approx(0.02)
    assert worked["journal_taper"] == pytest.approx(0.01)


def test_an_oval_journal_is_out_of_shape_at_the_right_size():
    limits = {"clearance": Limit.between(0.02, 0.3, source="test"), **ROUND}
    worked = METHOD.work_one(sizes([50.15] * 4, [50.0, 49.94, 50.0, 49.95]), NOMINAL)

    assert judge(worked, limits, METHOD.held) == (Verdict.FORM,)


BORE, JOURNAL = [50.11, 50.13, 50.10, 50.14], [50.00, 49.98, 50.01, 49.99]


@pytest.mark.parametrize(
    ("slip", "result", "number"),
    [
        ("halved", "greatest_clearance", 0.08),  # half of 50.14 - 49.98
        ("least_journal", "least_clearance", 0.12),  # 50.10 - 49.98
        ("least_journal", "greatest_clearance", 0.13),  # 50.14 - 50.01
        ("greatest_bore", "least_clearance", 0.13),  # 50.14 - 50.01
        ("greatest_bore", "greatest_clearance", 0.12),  # 50.10 - 49.98
        ("places_exchanged", "least_clearance", 0.16),  # 50.14 - 49.98
        ("places_exchanged", "greatest_clearance", 0.09),  # 50.10 - 50.01
        ("mean_taken", "least_clearance", 0.125),  # 50.12 - 49.995
        ("subtracted_backwards", "least_clearance", -0.09),
        ("subtracted_backwards", "mean_clearance", -0.125),
        ("sheet_journal", "least_clearance", 0.10),  # 50.10 - 50.00
        ("form_exchanged", "bore_taper", 0.04),  # 50.14 - 50.10
        ("form_exchanged", "journal_out_of_round", 0.01),  # 50.01 - 50.00
        # One turn of the thimble: 0.5 mm or 0.025 in (US Army TM 9-243 p. 7-5, 7-6; metric misprint corrected).
        ("bore_turn_short_mm", "least_clearance", 0.09 - 0.5),
        ("bore_turn_long_mm", "greatest_clearance", 0.16 + 0.5),
        ("journal_turn_short_mm", "greatest_clearance", 0.16 + 0.5),
        ("journal_turn_long_mm", "least_clearance", 0.09 - 0.5),
        ("bore_turn_short_in", "least_clearance", 0.09 - 0.635),
        ("bore_turn_long_in", "greatest_clearance", 0.16 + 0.635),
        ("journal_turn_short_in", "greatest_clearance", 0.16 + 0.635),
        ("journal_turn_long_in", "least_clearance", 0.09 - 0.635),
        ("bore_turn_short_mm", "mean_clearance", 0.125 - 0.125),
        ("journal_turn_short_mm", "mean_clearance", 0.125 + 0.125),
    ],
)
def test_a_slip_gives_the_number_worked_by_hand(slip, result, number):
    assert wrong(slip, sizes(BORE, JOURNAL))[result] == pytest.approx(number, abs=1e-9)


@pytest.mark.parametrize(
    ("part", "place", "turn"), [("bore", "coupling_vertical", -0.5), ("journal", "coupling_vertical", 0.5)]
)
def test_a_missed_turn_is_what_that_reading_a_turn_out_would_give(part, place, turn):
    readings = sizes(BORE, JOURNAL)
    misread = METHOD.work_one({**readings, f"{part}_{place}": readings[f"{part}_{place}"] + turn}, NOMINAL)
    slip = wrong(f"{part}_turn_{'short' if turn < 0 else 'long'}_mm", readings)

    assert slip["least_clearance"] == pytest.approx(misread["least_clearance"])
    assert slip["mean_clearance"] == pytest.approx(misread["mean_clearance"])


numbers = st.floats(0, 1, exclude_max=True)


@given(
    st.fixed_dictionaries(
        {
            "clearance": st.floats(-0.05, 0.4),
            "bore_out_of_round": st.floats(0, 0.1),
            "journal_out_of_round": st.floats(0, 0.1),
            "bore_taper": st.floats(0, 0.1),
            "journal_taper": st.floats(0, 0.1),
        }
    ),
    st.lists(numbers, min_size=METHOD.chances, max_size=METHOD.chances),
    st.floats(20, 200),
)
def test_drawn_diameters_have_the_clearance_and_shape_aimed_at(aims, chance, nominal):
    dims = {"nominal": nominal}

    readings = METHOD.simulate(aims, dims, chance)
    worked = METHOD.work_one(readings, dims)

    assert worked["mean_clearance"] == pytest.approx(aims["clearance"], abs=1e-9)
    for name in ("bore_out_of_round", "journal_out_of_round", "bore_taper", "journal_taper"):
        assert worked[name] == pytest.approx(aims[name], abs=1e-9)
    assert worked["least_clearance"] <= worked["mean_clearance"] + 1e-9
    assert worked["greatest_clearance"] >= worked["mean_clearance"] - 1e-9
    METHOD.check(readings, dims)


@given(st.lists(st.floats(49, 51), min_size=8, max_size=8), st.integers(0, 7), st.floats(0, 0.5))
def test_no_wider_bore_is_tighter_and_no_thicker_journal_looser(diameters, index, more):
    readings = sizes(diameters[:4], diameters[4:])
    name = list(readings)[index]
    before, after = (
        METHOD.work_one(readings, NOMINAL),
        METHOD.work_one({**readings, name: readings[name] + more}, NOMINAL),
    )

    way = 1 if name.startswith("bore") else -1
    for clearance in ("least_clearance", "greatest_clearance", "mean_clearance"):
        assert way * after[clearance] >= way * before[clearance] - 1e-9


def test_a_pinched_liner_is_a_finding_not_a_refusal():
    readings = sizes([49.95] * 4, [50.0] * 4)

    METHOD.check(readings, NOMINAL)

    assert judge(METHOD.work_one(readings, NOMINAL), LIMITS, METHOD.held) == (Verdict.LOW,)


@pytest.mark.parametrize("size", [0.0, -50.0, math.nan, math.inf, -math.inf, 1e9])
def test_a_size_no_machine_has_is_refused(size):
    with pytest.raises(ImpossibleReadingError) as refused:
        METHOD.check({**sizes(BORE, JOURNAL), "journal_coupling_vertical": size}, NOMINAL)

    assert refused.value.name == "journal_coupling_vertical"
    with pytest.raises(ImpossibleReadingError):
        METHOD.check(sizes(BORE, JOURNAL), {"nominal": size})


def test_draws_behave(drawn, assert_floats_and_arrays_agree, assert_every_slip_shows, assert_lengths_scale):
    form = (0.0, 0.06)
    aims, readings = drawn(
        METHOD,
        aims={
            "clearance": (0.05, 0.2),
            "bore_out_of_round": form,
            "journal_out_of_round": form,
            "bore_taper": form,
            "journal_taper": form,
        },
        dims=NOMINAL,
    )

    assert METHOD.work(readings, NOMINAL)["bore_taper"] == pytest.approx(aims["bore_taper"])
    assert_floats_and_arrays_agree(METHOD, readings, NOMINAL)
    assert_every_slip_shows(METHOD, readings, NOMINAL)
    assert_lengths_scale(METHOD, readings, NOMINAL)


def test_cases_have_the_verdict_they_are_named_for(assert_cases_have_the_verdict_they_are_named_for):
    # A micrometer with vernier, 0.0001 in; limits of the size of the thumb rules of a 60 mm journal.
    assert_cases_have_the_verdict_they_are_named_for(
        METHOD,
        {
            "good": Verdict.INSIDE,
            "tight": Verdict.LOW,
            "loose": Verdict.HIGH,
            "tight_place": Verdict.LOW,
            "loose_place": Verdict.HIGH,
            "oval_bore": Verdict.FORM,
            "oval_journal": Verdict.FORM,
            "tapered_bore": Verdict.FORM,
            "tapered_journal": Verdict.FORM,
        },
        dims={"nominal": 60.0},
        limits={
            "clearance": Limit.between(0.10, 0.18, source="test"),
            "out_of_round": Limit.at_most(0.025, source="test"),
            "taper": Limit.at_most(0.02, source="test"),
        },
        step=0.00254,
    )
