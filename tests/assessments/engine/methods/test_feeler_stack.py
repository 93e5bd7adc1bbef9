"""Outside: US Army TM 9-243 p. 16-2 and TM 1-1500-204 (leaves summed); the rule of ISO 14253-1 in its own words."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.draws import Draw
from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.marked import document
from assessments.engine.methods.feeler_stack import METHOD, SKIPPED
from assessments.engine.scenario import Scenario
from assessments.engine.scoring import Answer, Mark, key_to, score
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict, judge

INCH = 25.4
LEAF = {"leaf": 0.05}
LIMITS = {"gap": Limit.between(0.40, 0.60, source="test")}


def wrong(name, readings):
    return METHOD.work_one(readings, LEAF, instead=next(slip for slip in METHOD.slips if slip.name == name).rules)


def test_leaves_of_four_and_one_and_a_half_thousandths_make_five_and_a_half():
    # US Army TM 9-243 p. 16-2: .004 + .0015 -> .0055 in.
    readings = {"go": (0.004 + 0.0015) * INCH, "no_go": 0.006 * INCH}
    worked = METHOD.work_one(readings, {"leaf": 0.0015 * INCH})

    assert worked["at_least"] / INCH == pytest.approx(0.0055)
    assert worked["less_than"] / INCH == pytest.approx(0.006)
    assert worked["middle"] / INCH == pytest.approx(0.00575)


@pytest.mark.parametrize(
    ("go", "no_go", "verdict"),
    [
        (0.45, 0.50, Verdict.INSIDE),
        (0.40, 0.60, Verdict.INSIDE),  # the leaf of the low limit goes, that of the high one does not
        (0.30, 0.35, Verdict.LOW),
        (0.35, 0.45, Verdict.VOID),
        (0.35, 0.40, Verdict.VOID),
        (0.58, 0.63, Verdict.VOID),
        (0.65, 0.70, Verdict.HIGH),
        (0.30, 0.70, Verdict.VOID),
    ],
)
def test_it_is_told_only_where_both_stacks_say_the_same(go, no_go, verdict):
    assert judge(METHOD.work_one({"go": go, "no_go": no_go}, LEAF), LIMITS, METHOD.held) == (verdict,)


@given(st.floats(0.05, 1.0), st.floats(0.01, 0.3), st.floats(0, 1))
def test_whatever_the_gap_is_between_the_stacks_the_verdict_is_true_of_it(go, apart, part):
    gap = go + part * apart
    told = judge(METHOD.work_one({"go": go, "no_go": go + apart}, LEAF), LIMITS, METHOD.held)[0]

    if told is Verdict.INSIDE:
        assert 0.40 - 1e-6 <= gap <= 0.60 + 1e-6
    if told is Verdict.LOW:
        assert gap <= 0.40 + 1e-6
    if told is Verdict.HIGH:
        assert gap >= 0.60 - 1e-6


@pytest.mark.parametrize(
    ("slip", "result", "number"),
    [
        ("no_go_as_gap", "at_least", 0.508),
        ("no_go_as_gap", "middle", 0.508),
        ("stacks_exchanged", "at_least", 0.508),
        ("stacks_exchanged", "less_than", 0.254),
        ("go_as_gap", "middle", 0.254),
        ("go_as_gap", "less_than", 0.254),
        ("middle_alone_held", "open", 0.0),
        ("inch_leaf_as_metric", "at_least", 0.10),  # .010 in taken for 0.10 mm
        ("inch_leaf_as_metric", "less_than", 0.20),
        ("metric_leaf_as_inch", "at_least", 0.254 * 2.54),
    ],
)
def test_a_slip_gives_the_number_worked_by_hand(slip, result, number):
    readings = {"go": 0.254, "no_go": 0.508}

    assert METHOD.work_one(readings, LEAF)["middle"] == pytest.approx(0.381)
    assert METHOD.work_one(readings, LEAF)["open"] == pytest.approx(0.127)
    assert wrong(slip, readings)[result] == pytest.approx(number)


def test_holding_the_middle_alone_accepts_what_cannot_be_told():
    # The gravest of them: midway 0.42 lies inside, and the gap may be 0.36.
    assert judge(wrong("middle_alone_held", {"go": 0.36, "no_go": 0.48}), LIMITS, METHOD.held) == (Verdict.INSIDE,)
    assert judge(METHOD.work_one({"go": 0.36, "no_go": 0.48}, LEAF), LIMITS, METHOD.held) == (Verdict.VOID,)


numbers = st.floats(0, 1, exclude_max=True)


@given(st.floats(0.2, 1.0), st.tuples(numbers, numbers))
def test_a_drawn_gap_lies_between_its_stacks(gap, chance):
    readings = METHOD.simulate({"gap": gap}, LEAF, chance)

    assert readings["go"] <= gap <= readings["no_go"]
    assert readings["no_go"] - readings["go"] == pytest.approx(0.10 if chance[1] < SKIPPED else 0.05)


@pytest.mark.parametrize(("go", "no_go"), [(0.5, 0.5), (0.6, 0.5)])
def test_a_stack_that_goes_is_thinner_than_one_that_does_not(go, no_go):
    with pytest.raises(ImpossibleReadingError) as refused:
        METHOD.check({"go": go, "no_go": no_go}, LEAF)

    assert refused.value.name == "no_go"
    METHOD.check({"go": 0.4, "no_go": 0.5}, LEAF)
    METHOD.check({}, LEAF)


@pytest.mark.parametrize("size", [0.0, -0.1, math.nan, math.inf])
@pytest.mark.parametrize("name", ["go", "no_go"])
def test_a_stack_of_no_thickness_is_refused(name, size):
    with pytest.raises(ImpossibleReadingError) as refused:
        METHOD.check({"go": 0.4, "no_go": 0.5, name: size}, LEAF)

    assert refused.value.name == name


def test_draws_behave(drawn, assert_floats_and_arrays_agree, assert_every_slip_shows, assert_lengths_scale):
    _, readings = drawn(METHOD, aims={"gap": (0.3, 0.8)}, dims=LEAF)

    assert_floats_and_arrays_agree(METHOD, readings, LEAF)
    assert_every_slip_shows(METHOD, readings, LEAF)
    assert_lengths_scale(METHOD, readings, LEAF)


def test_cases_have_the_verdict_they_are_named_for(assert_cases_have_the_verdict_they_are_named_for):
    # Thin leaves tell nearly everything but what lies within a leaf of a limit.
    assert_cases_have_the_verdict_they_are_named_for(
        METHOD,
        {
            "good": Verdict.INSIDE,
            "narrow": Verdict.LOW,
            "wide": Verdict.HIGH,
            "edge_low": Verdict.INSIDE,
            "edge_high": Verdict.INSIDE,
        },
        dims={"leaf": 0.002},
        limits=LIMITS,
        step=0.001,
    )


def test_near_a_limit_thick_leaves_mostly_cannot_tell(drawn):
    for low, high in ((0.404, 0.44), (0.56, 0.596)):
        _, readings = drawn(METHOD, aims={"gap": (low, high)}, dims={"leaf": 0.1})
        verdicts = [
            judge(METHOD.work_one({"go": float(go), "no_go": float(no_go)}, LEAF), LIMITS, METHOD.held)[0]
            for go, no_go in zip(readings["go"], readings["no_go"], strict=True)
        ]
        assert verdicts.count(Verdict.VOID) / len(verdicts) > 0.6
        assert set(verdicts) <= {Verdict.VOID, Verdict.INSIDE}


@pytest.fixture
def key_of(faceless):
    def key(go, no_go):
        scenario = Scenario(
            name="stack",
            method=METHOD,
            dims=LEAF,
            limits=LIMITS,
            instruments={reading.name: faceless(reading, step=0.01) for reading in METHOD.readings},
            shares={"good": 1.0},
            asked=METHOD.asked,
        )
        readings = {"go": go, "no_go": no_go}
        return key_to(scenario, Draw(scenario="stack", seed=0, tries=0, condition="good", oddity="", readings=readings))

    return key


def test_what_the_stacks_leave_open_is_kept_for_the_drawing_of_it(key_of):
    key = key_of(0.36, 0.46)
    kept = document(key, score(key, Answer(readings={}, results={})), {}, "mm")["held"]

    assert [(one["value"], one["allowed"]) for one in kept] == [(pytest.approx(0.41), pytest.approx(0.05))]
    assert kept[0]["is_inside"] is False  # though midway lies inside


@pytest.mark.parametrize(("verdict", "action"), [(Verdict.INSIDE, "leave"), (Verdict.LOW, "correct")])
def test_who_makes_up_his_mind_where_leaves_cannot_tell_is_wrong_and_who_accepts_is_unsafe(key_of, verdict, action):
    key = key_of(0.36, 0.46)
    answer = Answer(readings=key.draw.readings, results={}, verdict=verdict, action=action)
    honest = Answer(readings=key.draw.readings, results={}, verdict=Verdict.VOID, action="measure_otherwise")
    expected = Mark.UNSAFE if verdict is Verdict.INSIDE else Mark.WRONG

    assert [part.mark for part in score(key, answer).parts[-2:]] == [expected, expected]
    assert score(key, honest).is_right


def test_who_calls_it_untold_where_both_stacks_say_the_same_is_wrong(key_of):
    key = key_of(0.45, 0.50)
    right = {name: key.values[name] for name in METHOD.asked}
    answer = Answer(readings=key.draw.readings, results=right, verdict=Verdict.VOID, action="measure_otherwise")

    assert [part.mark for part in score(key, answer).parts[-2:]] == [Mark.WRONG, Mark.WRONG]
