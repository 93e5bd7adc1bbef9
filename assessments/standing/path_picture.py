"""The learner's path between the two lines of the sequential test, worked out as points. The template holds the strokes.

Answers run to the right, right answers upwards. Drawn for a 300-wide box, so that its lettering keeps its size on a phone.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import TYPE_CHECKING

from assessments.standing.mastery import Decision

if TYPE_CHECKING:
    from assessments.standing.mastery import SequentialTest, Series

WIDTH, HEIGHT = 300.0, 250.0
LEFT, RIGHT, TOP, BOTTOM = 30.0, 294.0, 12.0, 204.0
FEWEST_SHOWN = 12


@dataclass(frozen=True, slots=True)
class Tick:
    place: str
    label: str


@dataclass(frozen=True, slots=True)
class Dot:
    x: str
    y: str
    is_right: bool


@dataclass(frozen=True, slots=True)
class PathPicture:
    """Everything the drawing shows, as text ready for SVG attributes, and what it says in words."""

    view_box: str
    pass_line: str
    fail_line: str
    pass_area: str
    fail_area: str
    stop_line: str
    path: str
    dots: tuple[Dot, ...]
    across: tuple[Tick, ...]
    up: tuple[Tick, ...]
    axes: str
    words: str


def draw_path(test: SequentialTest, series: Series, scenarios_short: int = 0) -> PathPicture:
    """The picture of one series. Nothing is drawn beyond the stated number of answers.

    ``scenarios_short``: from how many further scenarios right drills are wanted before the series can pass.
    """
    count = len(series.answers)
    most = min(test.most, max(FEWEST_SHOWN, count + 4, test.fewest_to_pass + 4))

    def x(answers: float) -> float:
        return LEFT + (RIGHT - LEFT) * answers / most

    def y(right: float) -> float:
        return BOTTOM - (BOTTOM - TOP) * right / most

    def point(answers: float, right: float) -> str:
        return f"{x(answers):.1f},{y(right):.1f}"

    def right_on(intercept: float) -> list[tuple[float, float]]:
        """Where a line runs inside the box 0..most by 0..most."""
        first = max(0.0, -intercept / test.slope)
        last = min(float(most), (most - intercept) / test.slope)
        return [(first, intercept + test.slope * first), (last, intercept + test.slope * last)]

    above, below = right_on(test.pass_intercept), right_on(test.fail_intercept)
    steps = [(0, 0)]
    for answer in series.answers:
        steps.append((len(steps), steps[-1][1] + (answer.is_right and not answer.is_unsafe)))
    every = 1 if most <= 8 else 2 if most <= 16 else 5 if most <= 40 else 10
    return PathPicture(
        view_box=f"0 0 {WIDTH:.0f} {HEIGHT:.0f}",
        pass_line=" ".join(point(*each) for each in above),
        fail_line=" ".join(point(*each) for each in below),
        pass_area=" ".join([point(0, most), *(point(*each) for each in above), point(most, most)]),
        fail_area=" ".join([*(point(*each) for each in below), point(most, 0)]),
        stop_line=f"{point(most, 0)} {point(most, most)}" if most == test.most else "",
        path=" ".join(point(*each) for each in steps),
        dots=tuple(
            Dot(f"{x(after[0]):.1f}", f"{y(after[1]):.1f}", after[1] > before[1])
            for before, after in itertools.pairwise(steps)
        ),
        across=tuple(Tick(f"{x(n):.1f}", str(n)) for n in range(every, most + 1, every)),
        up=tuple(Tick(f"{y(n):.1f}", str(n)) for n in range(0, most + 1, every)),
        axes=f"{point(0, most)} {point(0, 0)} {point(most, 0)}",
        words=_words(test, series, scenarios_short),
    )


def _words(test: SequentialTest, series: Series, scenarios_short: int) -> str:
    said = f"{series.right} right of {len(series.answers)} drills."
    if series.decision is Decision.PASS:
        return f"{said} The path has crossed the upper line: passed."
    if series.decision is Decision.FAIL:
        return f"{said} This series has ended without a pass."
    needed = test.right_still_needed(series.right, len(series.answers))
    more = f"from {scenarios_short} more scenario{'' if scenarios_short == 1 else 's'}"
    if needed == 0:
        return f"{said} Above the upper line, but from too few scenarios: go on, with right drills {more}."
    varied = f", with right drills {more}" if scenarios_short else ""
    return f"{said} Between the lines: go on. {needed} more right in a row would pass{varied}."
