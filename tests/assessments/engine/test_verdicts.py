"""Outside: a sheet that says "0.09 to 0.15" allows both: common practice, no source."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.engine.sheets import Limit
from assessments.engine.verdicts import CODE, ORDER, Held, Verdict, judge, judge_many

LIMITS = {
    "clearance": Limit.between(0.09, 0.15, source="invented"),
    "taper": Limit.at_most(0.02, source="invented"),
    "return": Limit.at_most(0.01, source="invented"),
    "lift": Limit.at_least(5.0, source="invented"),
}
HELD = (
    Held(result="tight", limit="clearance"),
    Held(result="loose", limit="clearance"),
    Held(result="taper", limit="taper", above=Verdict.FORM),
    Held(result="return", limit="return", above=Verdict.VOID),
    Held(result="lift", limit="lift"),
)
GOOD = {"tight": 0.1, "loose": 0.12, "taper": 0.01, "return": 0.0, "lift": 6.0}


def verdicts(**changed):
    return judge({**GOOD, **changed}, LIMITS, HELD)


def test_a_fit_with_nothing_wrong_is_inside():
    assert verdicts() == (Verdict.INSIDE,)
    assert judge({}, {}, ()) == (Verdict.INSIDE,)


@pytest.mark.parametrize(
    ("changed", "found"),
    [
        ({"tight": 0.0899}, (Verdict.LOW,)),
        ({"loose": 0.1501}, (Verdict.HIGH,)),
        ({"taper": 0.0201}, (Verdict.FORM,)),
        ({"lift": 4.99}, (Verdict.LOW,)),
        ({"tight": 0.08, "loose": 0.16, "taper": 0.08}, (Verdict.LOW, Verdict.HIGH, Verdict.FORM)),
        ({"tight": 0.08, "lift": 4.0}, (Verdict.LOW,)),
        ({"loose": 0.16, "taper": 0.03}, (Verdict.HIGH, Verdict.FORM)),
        ({"return": 0.02}, (Verdict.VOID,)),
        ({"return": 0.02, "tight": 0.0, "taper": 1.0}, (Verdict.VOID,)),
    ],
)
def test_all_that_is_wrong_is_found_worst_first_and_void_is_nothing_but_void(changed, found):
    assert verdicts(**changed) == found


@pytest.mark.parametrize(
    ("changed", "is_inside"),
    [
        ({"tight": 0.09}, True),
        ({"loose": 0.15}, True),
        ({"taper": 0.02}, True),
        ({"lift": 5.0}, True),
        ({"tight": 50.89 - 50.8}, True),  # 0.09000000000000341 as floats have it
        ({"loose": 0.1 + 0.05}, True),  # 0.15000000000000002
        ({"taper": 0.12 - 0.1}, True),  # 0.01999999999999999
        ({"tight": 0.09 - 1e-6}, False),
        ({"loose": 0.15 + 1e-6}, False),
    ],
)
def test_what_lies_on_a_limit_is_inside_and_a_thousandth_of_a_micrometre_beyond_it_is_not(changed, is_inside):
    assert (verdicts(**changed) == (Verdict.INSIDE,)) is is_inside


@pytest.mark.parametrize("name", GOOD)
@pytest.mark.parametrize("nothing", [math.nan])
def test_what_is_no_number_is_never_inside(name, nothing):
    assert Verdict.INSIDE not in verdicts(**{name: nothing})
    codes = judge_many(
        {key: np.full(3, nothing if key == name else value) for key, value in GOOD.items()}, LIMITS, HELD, 3
    )
    assert CODE[Verdict.INSIDE] not in codes


@pytest.mark.parametrize("name", ["tight", "loose", "taper", "return"])
def test_the_endless_is_never_inside(name):
    assert Verdict.INSIDE not in verdicts(**{name: math.inf})


numbers = st.one_of(
    st.sampled_from([0.09, 0.15, 0.02, 0.01, 5.0, 0.0, math.nan, math.inf, -math.inf]), st.floats(-1, 8)
)


@given(st.lists(st.fixed_dictionaries(dict.fromkeys(GOOD, numbers)), min_size=1, max_size=12))
def test_many_are_judged_as_each_alone(rows):
    codes = judge_many({name: np.array([row[name] for row in rows]) for name in GOOD}, LIMITS, HELD, len(rows))

    assert [ORDER[code] for code in codes] == [judge(row, LIMITS, HELD)[0] for row in rows]


def test_a_result_that_is_the_same_in_every_draw_is_judged_in_every_draw():
    values = {**{name: np.full(4, value) for name, value in GOOD.items()}, "lift": 4.0}

    assert judge_many(values, LIMITS, HELD, 4).tolist() == [CODE[Verdict.LOW]] * 4
    assert judge_many({}, {}, (), 2).tolist() == [CODE[Verdict.INSIDE]] * 2


def test_the_order_is_void_before_size_before_shape_before_inside():
    assert ORDER == (Verdict.VOID, Verdict.LOW, Verdict.HIGH, Verdict.FORM, Verdict.INSIDE)


# --- A size that is known to lie between two, and no nearer -----------------------------------------------

SPAN_LIMITS = {
    "gap": Limit.between(0.4, 0.6, source="invented"),
    "least": Limit.at_least(0.4, source="invented"),
    "most": Limit.at_most(0.6, source="invented"),
}
GAP = (Held(result="middle", limit="gap", either_side="half"),)


def between(least, most):
    return {"middle": (least + most) / 2, "half": (most - least) / 2}


@pytest.mark.parametrize(
    ("least", "most", "verdict"),
    [
        (0.45, 0.55, Verdict.INSIDE),
        (0.40, 0.60, Verdict.INSIDE),
        (0.20, 0.39, Verdict.LOW),
        (0.20, 0.40, Verdict.VOID),  # on the limit it would be inside
        (0.35, 0.45, Verdict.VOID),
        (0.55, 0.65, Verdict.VOID),
        (0.60, 0.70, Verdict.VOID),
        (0.61, 0.70, Verdict.HIGH),
        (0.30, 0.70, Verdict.VOID),
        (0.60, 0.40, Verdict.INSIDE),
        (0.70, 0.30, Verdict.VOID),  # the wrong way about it is no narrower
    ],
)
def test_what_lies_between_two_sizes_is_told_only_where_both_say_the_same(least, most, verdict):
    assert judge(between(least, most), SPAN_LIMITS, GAP) == (verdict,)


@pytest.mark.parametrize(("limit", "least", "most"), [("least", 0.35, 0.45), ("most", 0.55, 0.65)])
def test_one_bound_alone_can_leave_it_open_too(limit, least, most):
    held = (Held(result="middle", limit=limit, either_side="half"),)

    assert judge(between(least, most), SPAN_LIMITS, held) == (Verdict.VOID,)
    assert judge_many({k: np.array([v]) for k, v in between(least, most).items()}, SPAN_LIMITS, held, 1) == [0]


@given(st.lists(st.fixed_dictionaries({"middle": numbers, "half": numbers}), min_size=1, max_size=12))
def test_many_spans_are_judged_as_each_alone(rows):
    many = {name: np.array([row[name] for row in rows]) for name in ("middle", "half")}
    with np.errstate(invalid="ignore"):
        codes = judge_many(many, SPAN_LIMITS, GAP, len(rows))

    assert [ORDER[code] for code in codes] == [judge(row, SPAN_LIMITS, GAP)[0] for row in rows]


@given(st.floats(0, 1), st.floats(0, 0.5), st.floats(0, 1))
def test_no_place_in_a_span_that_is_told_has_another_verdict(middle, half, part):
    # Every size between the two ends, as if it were known.
    told = judge({"middle": middle, "half": half}, SPAN_LIMITS, GAP)[0]
    known = judge({"middle": middle + (2 * part - 1) * half}, SPAN_LIMITS, (Held(result="middle", limit="gap"),))[0]

    assert told in {known, Verdict.VOID}
