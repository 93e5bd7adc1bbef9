"""What the drill pages are given to show."""

from __future__ import annotations

import pytest

from assessments.drills import pages
from assessments.drills.forms import AnswerForm
from assessments.engine.answers import understand
from assessments.engine.methods import find_method
from assessments.scenarios.adapters import engine_scenario
from fixtures_demo.learners import typed_accepting, typed_with_slip
from tests.factories.drills import AttemptFactory, handed_in, right_text
from tests.factories.machines import SheetEntryFactory, SheetRevisionFactory
from tests.factories.people import PersonFactory
from tests.factories.scenarios import ScenarioFactory, ScenarioRevisionFactory

pytestmark = pytest.mark.django_db


def swapped(*drawn):
    return typed_with_slip(*drawn, "ends_swapped")


def shown(attempt):
    return pages.result_page(attempt, 3, attempt.person)


@pytest.fixture
def tapered(db):
    """A scenario of tapered bearings, whose swapped ends show."""
    return ScenarioFactory(revision__shares={"tapered": 1.0})


@pytest.fixture
def dials(db):
    """Nine readings, and nothing is given but limits."""
    sheet = SheetRevisionFactory()
    for code, high in (("run-out", "0.05"), ("return", "0.02")):
        SheetEntryFactory(revision=sheet, code=code, form="at most", low=None, high=high)
    readings = [reading.name for reading in find_method("run_out").readings]
    return ScenarioFactory(
        revision__sheet=sheet,
        revision__method="run_out",
        revision__dims={},
        revision__limits={"run_out": "run-out", "return": "return"},
        revision__instruments=dict.fromkeys(readings, "dial_indicator_balanced_metric"),
        revision__shares={"good": 3.0, "out": 3.0, "loose_dial": 1.0},
        revision__asked=["total"],
        revision__reach=2.0,
    )


def test_each_picture_stands_with_the_field_for_its_reading(attempt):
    scenario = engine_scenario(attempt.revision)

    page = pages.answer_page(attempt, AnswerForm(scenario, "mm", {}), 3, "token")

    assert [(one.picture.label, one.field.name) for one in page["seen"]] == [
        ("Width of the print, governor end", "reading-w_governor"),
        ("Width of the print, coupling end", "reading-w_coupling"),
    ]
    assert [one.picture.reading for one in page["seen"]] == list(attempt.draw["readings"].values())
    assert len({one.picture.ident for one in page["seen"]}) == 2
    assert page["instruments"] == ["Squashed strip on its card, millimetre scale"]
    assert page["layout"] == "two-faces"
    assert [field.name for field in page["worked_fields"]] == ["result-c_governor", "result-c_coupling", "result-taper"]
    assert [field.name for field in page["choice_fields"]] == ["verdict", "action"]
    assert page["caution"] == scenario.method.caution


def test_nine_dials_are_laid_out_as_many(dials):
    attempt = AttemptFactory(scenario=dials)

    page = pages.answer_page(attempt, AnswerForm(engine_scenario(attempt.revision), "mm", {}), 1, "token")

    assert (len(page["seen"]), page["layout"]) == (9, "many-faces")


def test_the_page_never_says_what_is_read_before_it_is_handed_in(attempt):
    assert [picture.reads for picture in pages.pictures(attempt)] == ["", ""]


def test_given_sizes_and_limits_come_with_their_source(attempt):
    lines = pages.given(engine_scenario(attempt.revision), "mm")

    assert [(line.label, line.text) for line in lines] == [
        ("Diameter of the round strip", "0.60 mm (0.024 in)"),
        ("Clearance on the diameter", "0.09 to 0.15 mm"),
        ("Taper along the liner", "at most 0.02 mm"),
    ]
    assert [line.source for line in lines] == ["", *["sheet revision 1: invented for practice"] * 2]


def test_a_strip_that_was_disturbed_is_drawn_so():
    assert {picture.oddity for picture in pages.pictures(AttemptFactory(case="disturbed"))} == {"disturbed"}
    assert {picture.oddity for picture in pages.pictures(AttemptFactory(case="good"))} == {""}


def test_what_is_kept_is_answered_with_how_it_was_understood(attempt):
    attempt.typed = {"reading-w_governor": "2.4", "result-taper": "3600 rpm"}

    said = pages.kept_answer(attempt, engine_scenario(attempt.revision), "token")

    assert (said["is_handed_in"], said["token"], said["kept"]) == (False, "token", attempt.typed)
    assert said["echoes"]["reading-w_governor"].startswith("2.4 mm")
    assert list(said["errors"]) == ["result-taper"]


def test_after_handing_in_the_answer_says_only_that():
    row = handed_in()

    assert pages.kept_answer(row, engine_scenario(row.revision), "token") == {"is_handed_in": True}


def test_the_look_over_page_shows_every_answer_as_it_was_understood(attempt):
    attempt.typed = right_text(attempt)

    page = pages.review_page(attempt, 3, "token")

    assert page["blanks"] == 0
    rows = {row.label: row.text for row in page["rows"]}
    assert rows["Width of the print, governor end"].endswith("in)")
    assert rows["Held against the sheet, it is"] == "inside the sheet"
    assert rows["So you would"] == "remove the strip, oil the journal and close the cap"


def test_the_look_over_page_says_what_was_left_blank(attempt):
    page = pages.review_page(attempt, 3, "token")

    assert page["blanks"] == 7
    assert {row.text for row in page["rows"]} == {""}


def test_what_cannot_be_read_cannot_be_looked_over(attempt):
    attempt.typed = {"result-taper": "3600 rpm"}

    assert pages.review_page(attempt, 3, "token") is None


def test_a_method_that_judges_nothing_has_no_rows_for_it():
    revision = ScenarioRevisionFactory(
        method="instrument_reading",
        dims={"low": {"value": "52", "unit": "mm"}, "high": {"value": "74", "unit": "mm"}},
        limits={},
        asked=[],
        instruments={"reading": "outside_micrometer_metric_50"},
        shares={"anywhere": 1.0},
    )
    scenario = engine_scenario(revision)

    assert len(pages.review_rows(scenario, "mm", understand(scenario, "mm", {}))) == 1
    attempt = AttemptFactory(scenario=revision.scenario, case="anywhere")
    page = pages.answer_page(attempt, AnswerForm(scenario, "mm", {}), 1, "")
    assert (page["layout"], page["worked_fields"], page["choice_fields"]) == ("one-face", [], [])


# --- the marked answer ------------------------------------------------------------------------------------------


def test_a_right_answer_says_so():
    page = shown(handed_in())

    assert page["summary"] == "Every part is right."
    assert {part.mark for part in page["parts"]} == {"right"}
    assert {part.tag for part in page["parts"]} == {"firm"}
    assert page["notes"] == []
    assert page["verdict"] == "inside the sheet"


def test_an_unsafe_answer_says_so_before_all_else():
    page = shown(handed_in(case="tight", typed=typed_accepting))

    assert page["summary"].startswith("A fit that is not inside the sheet was accepted. That is unsafe")
    assert page["verdict"] == "too tight"
    assert [part.mark for part in page["parts"]][-2:] == ["unsafe", "unsafe"]
    assert any(note.startswith("Unsafe:") for note in page["notes"])


def test_the_line_where_the_ways_part_is_marked_with_what_stood_there_instead(tapered):
    row = handed_in(scenario=tapered, case="tapered", typed=swapped)

    page = shown(row)

    parting = [line for line in page["working"] if line.is_parting]
    assert [line.label for line in parting] == ["Clearance, governor end"]
    yours = next(part.yours for part in page["parts"] if part.label == "Clearance, governor end")
    assert parting[0].yours == yours != ""
    assert {line.yours for line in page["working"] if not line.is_parting} == {""}


def test_a_slip_that_cannot_be_told_from_another_marks_no_line(tapered):
    row = handed_in(scenario=tapered, case="tapered", typed=swapped)
    row.marked["slips"][0]["is_certain"] = False

    assert not any(line.is_parting for line in pages.work_rows(row.marked))


def test_what_follows_from_an_earlier_wrong_number_is_explained(attempt):
    """A print read one line too wide, and worked rightly from there."""
    scenario = engine_scenario(attempt.revision)
    readings = {**attempt.draw["readings"]}
    readings["w_governor"] += 0.1
    values = scenario.method.work_one(readings, scenario.dims)
    typed = right_text(attempt) | {
        "reading-w_governor": f"{readings['w_governor']:.1f} mm",
        "result-c_governor": f"{values['c_governor']:.4f}",
        "result-taper": f"{values['taper']:.4f}",
    }

    page = shown(handed_in(attempt, typed=typed))

    assert "carried forward" in {part.mark for part in page["parts"]}
    assert page["notes"] == [pages.MARK_NOTES["carried forward"]]
    assert page["summary"] == "6 of 7 parts earned their mark."


@pytest.mark.parametrize(
    ("points", "out_of", "sentence"),
    [
        (1, 7, "1 of 7 parts earned its mark."),
        (0, 7, "0 of 7 parts earned their mark."),
        (7, 7, "All 7 parts earned their mark, but not every figure is right: some follow from a wrong one."),
    ],
)
def test_the_summary_counts_the_parts(points, out_of, sentence):
    assert pages.summary({"points": points, "out_of": out_of, "is_unsafe": False, "is_right": False}) == sentence


def test_a_disturbed_measurement_shows_no_figures():
    page = shown(handed_in(case="disturbed"))

    assert page["summary"] == "Every part is right."
    assert page["working"] == ()
    assert {part.right for part in page["parts"] if part.is_number} == {"none"}
    assert {picture.reads for picture in page["pictures"]} == {"disturbed: no figure to be read"}
    assert page["notes"] == [pages.MARK_NOTES["not counted"]]


def test_a_void_measurement_still_shows_the_working_that_makes_it_void(dials):
    page = shown(handed_in(scenario=dials, case="loose_dial"))

    assert page["verdict"] == "void: the dial did not come back"
    assert page["working"]
    assert {part.right for part in page["parts"] if part.label == "Total run-out"} == {"none"}


def test_every_picture_is_told_what_it_reads():
    row = handed_in()

    reads = [picture.reads for picture in shown(row)["pictures"]]

    assert reads == [part["right"][0] for part in row.marked["parts"][:2]]
    assert all(text.endswith("mm") for text in reads)


def test_figures_in_the_parts_carry_their_units():
    numbers = [part for part in shown(handed_in())["parts"] if part.is_number]

    assert len(numbers) == 5
    assert all("mm" in part.yours and part.right.endswith("mm") and part.allowed.endswith("mm") for part in numbers)


def test_a_newer_revision_changes_neither_pictures_nor_marks():
    row = handed_in()
    before = shown(row)
    ScenarioRevisionFactory(
        scenario=row.scenario,
        title="Something else",
        instruments={"w_governor": "squashed_strip_inch", "w_coupling": "squashed_strip_inch"},
    )
    row.refresh_from_db()

    after = shown(row)

    assert [one.instrument.face(one.reading, ident=one.ident).svg for one in after["pictures"]] == [
        one.instrument.face(one.reading, ident=one.ident).svg for one in before["pictures"]
    ]
    assert {name: after[name] for name in ("marked", "parts", "working", "title_block", "summary")} == {
        name: before[name] for name in ("marked", "parts", "working", "title_block", "summary")
    }


def test_a_past_attempt_shows_even_if_the_engine_no_longer_takes_its_revision():
    row = handed_in()
    row.revision.shares = {"a case that is gone": 1.0}

    assert shown(row)["pictures"]


def test_the_title_block_says_which_draw_of_whose_drills():
    row = handed_in()
    supervisor = PersonFactory()

    own = dict(pages.title_block(row, 3, row.person))
    theirs = dict(pages.title_block(row, 3, supervisor))

    assert own["Draw"] == "number 3 of your drills"
    assert theirs["Draw"] == f"number 3 of {row.person}'s drills"
    assert own["Sheet"] == "revision 1, invented"
    assert own["Scenario"] == f"{row.scenario.slug}, revision 1"
    assert own["Handed in"] == "2 March 2026, 09:00"


def test_a_real_machine_is_not_called_invented():
    attempt = AttemptFactory()
    attempt.revision.sheet.machine.is_invented = False

    block = dict(pages.title_block(attempt, 1))

    assert block["Sheet"] == "revision 1"
    assert "Handed in" not in block


def test_another_draw_is_offered_to_its_owner_while_the_scenario_is_open():
    row = handed_in()

    assert shown(row)["may_draw"]
    assert not pages.result_page(row, 1, PersonFactory())["may_draw"]
    row.revision.scenario.is_open = False
    assert not shown(row)["may_draw"]
