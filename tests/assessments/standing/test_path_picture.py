"""The drawing: from its own points the path and the lines are read back."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.standing.mastery import Answer, SequentialTest, walk
from assessments.standing.path_picture import BOTTOM, FEWEST_SHOWN, LEFT, RIGHT, TOP, draw_path

TEST = SequentialTest(0.60, 0.85, 0.05, 0.10, 40)
ANSWERS = st.lists(st.builds(Answer, st.booleans(), st.booleans()), max_size=60)


def points(text):
    return [tuple(map(float, pair.split(","))) for pair in text.split()]


def picture_of(answers, test=TEST):
    series = walk(test, answers).last
    return draw_path(test, series), series


@given(ANSWERS)
def test_nothing_lies_outside_the_box(answers):
    picture, _ = picture_of(answers)
    drawn = [picture.path, picture.pass_line, picture.fail_line, picture.pass_area, picture.fail_area, picture.axes]
    for x, y in (point for text in drawn for point in points(text)):
        assert LEFT - 0.06 <= x <= RIGHT + 0.06
        assert TOP - 0.06 <= y <= BOTTOM + 0.06


@given(ANSWERS)
def test_the_path_reads_back_as_the_answers(answers):
    picture, series = picture_of(answers)
    path = points(picture.path)
    most = min(TEST.most, max(FEWEST_SHOWN, len(series.answers) + 4, TEST.fewest_to_pass + 4))
    step = (RIGHT - LEFT) / most
    assert len(path) == len(series.answers) + 1
    for (x, y), (then_x, then_y), answer in zip(path, path[1:], series.answers, strict=False):
        assert then_x - x == pytest.approx(step, abs=0.11)
        assert (then_y < y) is (answer.is_right and not answer.is_unsafe)
    assert [dot.is_right for dot in picture.dots] == [
        answer.is_right and not answer.is_unsafe for answer in series.answers
    ]


def test_the_lines_read_back_as_those_of_the_test():
    picture, _ = picture_of([])
    most = TEST.fewest_to_pass + 4
    for text, intercept in ((picture.pass_line, TEST.pass_intercept), (picture.fail_line, TEST.fail_intercept)):
        for x, y in points(text):
            answers = (x - LEFT) / (RIGHT - LEFT) * most
            right = (BOTTOM - y) / (BOTTOM - TOP) * most
            assert right == pytest.approx(intercept + TEST.slope * answers, abs=0.02)


def test_a_path_that_passed_ends_above_the_upper_line():
    picture, _ = picture_of([Answer(True)] * 9)
    x, y = points(picture.path)[-1]
    most = 13
    on_line = TEST.pass_intercept + TEST.slope * (x - LEFT) / (RIGHT - LEFT) * most
    assert (BOTTOM - y) / (BOTTOM - TOP) * most > on_line
    assert picture.words == "9 right of 9 drills. The path has crossed the upper line: passed."


def test_what_the_picture_says_in_words():
    assert (
        picture_of([Answer(True)] * 2)[0].words
        == "2 right of 2 drills. Between the lines: go on. 7 more right in a row would pass."
    )
    failed = draw_path(TEST, walk(TEST, [Answer(False)] * 3).series[0])
    assert failed.words == "0 right of 3 drills. This series has ended without a pass."


@pytest.mark.parametrize(("most", "every", "stops"), [(10, "2", True), (40, "2", False)])
def test_the_stop_is_drawn_only_where_it_lies_in_the_picture(most, every, stops):
    picture, _ = picture_of([], SequentialTest(0.60, 0.85, 0.05, 0.10, most))
    assert picture.across[0].label == every
    assert bool(picture.stop_line) is stops


@pytest.mark.parametrize(("count", "every"), [(0, "1"), (30, "5"), (44, "10")])
def test_the_scale_thins_out_as_the_path_grows(count, every):
    test = SequentialTest(0.40, 0.85, 0.025, 0.025, 8 if count == 0 else 100)
    pattern = [Answer(number % 3 != 0) for number in range(count)]
    series = walk(SequentialTest(0.001, 0.999, 1e-300, 1e-300, 10**6), pattern).last
    assert draw_path(test, series).across[0].label == every


@pytest.mark.parametrize(
    ("right", "short", "words"),
    [
        (9, 1, "9 right of 9 drills. Above the upper line, but from too few scenarios: go on, with right drills from 1 more scenario."),
        (3, 2, "3 right of 3 drills. Between the lines: go on. 6 more right in a row would pass, with right drills from 2 more scenarios."),
    ],
)  # fmt: skip
def test_the_words_say_from_how_many_more_scenarios(right, short, words):
    series = walk(TEST, [Answer(True)] * right, scenarios_least=3).last
    assert draw_path(TEST, series, short).words == words
