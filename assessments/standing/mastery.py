"""Drill mastery by Wald's sequential test: enough right answers, soon enough, and no more drills than needed. Pure.

Each right answer adds ln(p_M / p_N) to a sum and each wrong one adds ln((1-p_M) / (1-p_N)), where p_M is the chance of a
right answer for one who has the task and p_N for one who has not. The sum passes at ln((1-b)/a) and fails at ln(b/(1-a)),
a being the wanted chance of passing one who has not, b of failing one who has. (A. Wald, Sequential Analysis, 1947, ch. 5;
for mastery: T. W. Frick, 1989; R. E. Welch and T. W. Frick, 1993.)

An untruncated test can run very long, so it stops at a stated number of answers, and whoever has not passed by then
has failed: that can only make the false-pass rate smaller. `exact` gives the true rates by convolution.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

HAIR = 1e-9  # sums of logarithms: closer than this to a line is on it


class Decision(StrEnum):
    PASS = "pass"  # noqa: S105  (a decision, not a secret)
    FAIL = "fail"
    GO_ON = "go on"


@dataclass(frozen=True, slots=True)
class SequentialTest:
    """The test's terms. ``most`` is the number of answers at which it stops.

    Raises ``ValueError`` unless 0 < p_non_master < p_master < 1, both error chances are above 0 and add up to less than 1,
    and ``most`` leaves room for a pass.
    """

    p_non_master: float
    p_master: float
    false_pass: float
    false_fail: float
    most: int

    def __post_init__(self) -> None:
        if not 0 < self.p_non_master < self.p_master < 1:
            raise ValueError(
                "A right answer must be likelier for one who has the task than for one who has not, both between 0 and 1."
            )
        if not (self.false_pass > 0 and self.false_fail > 0 and self.false_pass + self.false_fail < 1):
            raise ValueError("Both error chances must be above 0 and together below 1.")
        if self.most < self.fewest_to_pass:
            raise ValueError(
                f"The test stops at {self.most} answers, but even all right answers need {self.fewest_to_pass}."
            )

    @property
    def step_right(self) -> float:
        return math.log(self.p_master / self.p_non_master)

    @property
    def step_wrong(self) -> float:
        return math.log((1 - self.p_master) / (1 - self.p_non_master))

    @property
    def upper(self) -> float:
        return math.log((1 - self.false_fail) / self.false_pass)

    @property
    def lower(self) -> float:
        return math.log(self.false_fail / (1 - self.false_pass))

    @property
    def slope(self) -> float:
        """How many right answers a further answer must bring to stay level, between the two lines."""
        return -self.step_wrong / (self.step_right - self.step_wrong)

    @property
    def pass_intercept(self) -> float:
        return self.upper / (self.step_right - self.step_wrong)

    @property
    def fail_intercept(self) -> float:
        return self.lower / (self.step_right - self.step_wrong)

    @property
    def fewest_to_pass(self) -> int:
        """Right answers in a row, from the start, that pass."""
        return math.ceil(self.upper / self.step_right - HAIR)

    @property
    def fewest_to_fail(self) -> int:
        """Wrong answers in a row, from the start, that fail."""
        return math.ceil(self.lower / self.step_wrong - HAIR)

    def sum_of(self, right: int, answers: int) -> float:
        return right * self.step_right + (answers - right) * self.step_wrong

    def decide(self, right: int, answers: int) -> Decision:
        """What so many right of so many answers say."""
        total = self.sum_of(right, answers)
        if total >= self.upper - HAIR:
            return Decision.PASS
        if total <= self.lower + HAIR or answers >= self.most:
            return Decision.FAIL
        return Decision.GO_ON

    def right_still_needed(self, right: int, answers: int) -> int:
        """Right answers in a row that would pass from here (whether the stop leaves room or not)."""
        return max(0, math.ceil((self.upper - self.sum_of(right, answers)) / self.step_right - HAIR))

    def mean_answers(self, p: float) -> float:
        """Wald's approximation of the mean number of answers of one who is right with chance ``p``, untruncated.

        It leaves the overshoot out and so comes out low; ``exact`` does not.
        """
        drift = p * self.step_right + (1 - p) * self.step_wrong
        if math.isclose(drift, 0, abs_tol=1e-9):
            return -self.upper * self.lower / -(self.step_right * self.step_wrong)
        passes = self._wald_pass_chance(p)
        return (passes * self.upper + (1 - passes) * self.lower) / drift

    def _wald_pass_chance(self, p: float) -> float:
        """L(p): with h the root other than 0 of p r^h + (1-p) w^h = 1, (1 - e^(h lower)) / (e^(h upper) - e^(h lower))."""

        def excess(h: float) -> float:
            return p * math.exp(h * self.step_right) + (1 - p) * math.exp(h * self.step_wrong) - 1

        drift = p * self.step_right + (1 - p) * self.step_wrong
        near, far = (-1e-6, -1.0) if drift > 0 else (1e-6, 1.0)
        while excess(far) < 0:
            far *= 2
        for _ in range(200):
            middle = (near + far) / 2
            near, far = (middle, far) if excess(middle) < 0 else (near, middle)
        below, above = math.exp(near * self.lower), math.exp(near * self.upper)
        return (1 - below) / (above - below)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What becomes of one who is right with a given chance: the chance to pass, to fail, and the mean number of answers."""

    passes: float
    fails: float
    mean_answers: float


@functools.lru_cache(maxsize=256)
def exact(test: SequentialTest, p: float) -> Outcome:
    """The true chances of the truncated test, by carrying the whole distribution from answer to answer."""
    passes = fails = mean = 0.0
    going = {0: 1.0}  # right answers so far -> chance of standing there, undecided
    for answers in range(1, test.most + 1):
        after: dict[int, float] = {}
        for right, chance in going.items():
            after[right + 1] = after.get(right + 1, 0.0) + chance * p
            after[right] = after.get(right, 0.0) + chance * (1 - p)
        going = {}
        for right, chance in after.items():
            decision = test.decide(right, answers)
            if decision is Decision.GO_ON:
                going[right] = chance
                continue
            mean += answers * chance
            if decision is Decision.PASS:
                passes += chance
            else:
                fails += chance
    return Outcome(passes, fails, mean)


@dataclass(frozen=True, slots=True)
class Answer:
    """One handed-in drill: right or not, whether it let an unsafe fit through, and the scenario that it drew."""

    is_right: bool
    is_unsafe: bool = False
    scenario: str = ""

    @property
    def counts(self) -> bool:
        return self.is_right and not self.is_unsafe


@dataclass(frozen=True, slots=True)
class Series:
    """The answers of one run of the test, and what they came to."""

    answers: tuple[Answer, ...]
    decision: Decision

    @property
    def right(self) -> int:
        return sum(answer.counts for answer in self.answers)

    @property
    def scenarios(self) -> int:
        """From how many different scenarios the right answers come."""
        return len({answer.scenario for answer in self.answers if answer.counts})

    @property
    def ended_unsafe(self) -> bool:
        return bool(self.answers) and self.answers[-1].is_unsafe


@dataclass(frozen=True, slots=True)
class Progress:
    """Every series of a learner, oldest first; the last one may still go on."""

    series: tuple[Series, ...]

    @property
    def last(self) -> Series:
        return self.series[-1]

    @property
    def has_passed(self) -> bool:
        return self.last.decision is Decision.PASS

    @property
    def runs(self) -> int:
        """How many series were begun."""
        return sum(bool(each.answers) for each in self.series)


def walk(test: SequentialTest, answers: Iterable[Answer], scenarios_least: int = 1) -> Progress:
    """Sort a learner's answers into series.

    A failed series is followed by a new one. An unsafe answer ends a series as failed whatever the sum, also one that
    had passed: whoever lets an unsafe fit through starts again. After a pass further answers change nothing else.

    A sum past the upper line passes only once the right answers come from ``scenarios_least`` scenarios. Until then the
    series goes on, and every further answer counts. Whoever gets through so had crossed the line before in any case, so
    ``exact`` remains an upper bound of the false-pass rate.
    """
    done: list[Series] = []
    going: list[Answer] = []
    passed = False
    for answer in answers:
        if passed and not answer.is_unsafe:
            continue
        if passed:
            going = list(done.pop().answers)
        going.append(answer)
        decision = _decide(test, Series(tuple(going), Decision.GO_ON), scenarios_least)
        passed = decision is Decision.PASS
        if decision is not Decision.GO_ON:
            done.append(Series(tuple(going), decision))
            going = []
    if not passed:
        done.append(Series(tuple(going), Decision.GO_ON))
    return Progress(tuple(done))


def _decide(test: SequentialTest, series: Series, scenarios_least: int) -> Decision:
    if series.ended_unsafe:
        return Decision.FAIL
    decision = test.decide(series.right, len(series.answers))
    if decision is Decision.PASS and series.scenarios < scenarios_least:
        return Decision.FAIL if len(series.answers) >= test.most else Decision.GO_ON
    return decision


def chance_over(runs: int, once: float) -> float:
    """The chance that at least one of several runs passes, each passing with chance ``once``."""
    return 1 - (1 - once) ** runs
