"""Drawing scenarios: one fair case for a learner, or ten thousand for an instructor's preview.

A draw is decided by the scenario's name and a seed alone. Each seed owns MOST_TRIES tries; a draw
takes the first fair one. True sizes come first, are read as the instruments give them, and every
result and verdict is worked from those readings: what a learner can see decides, not what was aimed at.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray

from assessments.engine.carrying import corners
from assessments.engine.chance import Words, key_of, uniforms
from assessments.engine.errors import ImpossibleReadingError, OutOfRangeError, UnfairScenarioError
from assessments.engine.instrument import Instrument
from assessments.engine.instruments import all_instruments
from assessments.engine.kinds import Array, Values
from assessments.engine.method import Band, Condition
from assessments.engine.scenario import Scenario
from assessments.engine.verdicts import CODE, ORDER, Verdict, judge, judge_many, overrule

MOST_TRIES = 64
LEAST_FAIR_SHARE = 0.6
MOST_OF_ONE_VERDICT = 0.75
LEAST_AS_MEANT = 0.5
_ENOUGH = 20  # draws of a condition, under which nothing is said of it
_SLOTS = 1000  # shares are kept to a thousandth
_REACHES = (0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0, 1.5, 2.0, 3.0)
_CHUNK = 16384  # arrays of this length stay in the processor's own cache


@dataclass(frozen=True, slots=True, kw_only=True)
class Draw:
    """One case as it is put before a learner. Readings are what the instruments show, inner units."""

    scenario: str
    seed: int
    tries: int
    condition: str
    oddity: str
    readings: Mapping[str, float]

    def document(self) -> dict[str, Any]:
        """The draw as plain data, to be stored with the answer and shown again for ever."""
        return {
            "scenario": self.scenario,
            "seed": self.seed,
            "tries": self.tries,
            "condition": self.condition,
            "oddity": self.oddity,
            "readings": dict(self.readings),
        }

    @classmethod
    def of_document(cls, document: Mapping[str, Any]) -> Self:
        return cls(**document)


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """Many draws, kept in chunks as they were drawn and joined only when asked for.

    Of the numbers only the readings are kept: the lines follow from them, and ten thousand of each would take
    longer to store than to work again.
    """

    scenario: Scenario
    condition_chunks: list[NDArray[np.int8]]
    reading_chunks: list[dict[str, Values]]
    code_chunks: list[NDArray[np.int8]]

    @property
    def conditions(self) -> NDArray[np.int8]:
        """For each draw, the index into the method's conditions."""
        return np.concatenate(self.condition_chunks)

    @property
    def codes(self) -> NDArray[np.int8]:
        """For each draw, its verdict as an index into verdicts.ORDER."""
        return np.concatenate(self.code_chunks)

    def value(self, name: str) -> Array:
        """For each draw, a reading, dim or line, inner unit."""
        readings = {
            reading.name: np.concatenate([np.asarray(chunk[reading.name]) for chunk in self.reading_chunks])
            for reading in self.scenario.method.readings
        }
        values = readings if name in readings else self.scenario.method.work(readings, self.scenario.dims)
        return np.array(np.broadcast_to(values[name], self.codes.shape))


@dataclass(frozen=True, slots=True)
class _Plan:
    """What can be worked out before any number is drawn: a slot of each share, bands by slot."""

    key: int
    condition_of_slot: NDArray[np.int8]
    start_of_slot: list[Array]
    width_of_slot: list[Array]
    is_void: NDArray[np.bool_]


def _plan(scenario: Scenario) -> _Plan:
    method = scenario.method
    shares = np.array([scenario.shares.get(condition.name, 0.0) for condition in method.conditions])
    edges = np.rint(np.cumsum(shares) / shares.sum() * _SLOTS).astype(np.intp)
    condition_of_slot = np.searchsorted(edges, np.arange(_SLOTS), side="right").astype(np.int8)
    starts, widths = [], []
    for aim in method.aims:
        bands = [
            scenario.band(aim.limit, condition.bands.get(aim.name, Band.INSIDE)) if share > 0 else (0.0, 0.0)
            for condition, share in zip(method.conditions, shares, strict=True)
        ]
        starts.append(np.array([low for low, _ in bands])[condition_of_slot])
        widths.append(np.array([high - low for low, high in bands])[condition_of_slot])
    is_void = np.array([bool(condition.oddity) for condition in method.conditions])
    return _Plan(key_of(scenario.name), condition_of_slot, starts, widths, is_void)


def _readings(scenario: Scenario, plan: _Plan, tries: Words) -> tuple[NDArray[np.int8], dict[str, Values]]:
    """Conditions, and readings as the instruments give them, for each try."""
    conditions, true = _simulated(scenario, plan, tries)
    return conditions, {name: scenario.instruments[name].read(size) for name, size in true.items()}


def _simulated(scenario: Scenario, plan: _Plan, tries: Words) -> tuple[NDArray[np.int8], dict[str, Values]]:
    """Conditions and true sizes, before any instrument reads them."""
    method = scenario.method
    numbers = uniforms(plan.key, tries, 1 + len(method.aims) + method.chances)
    slots = (numbers[0] * _SLOTS).astype(np.intp)
    aims: dict[str, Values] = {}
    for aim, start, width, number in zip(
        method.aims, plan.start_of_slot, plan.width_of_slot, numbers[1:], strict=False
    ):
        aims[aim.name] = start.take(slots) + number * width.take(slots)
    true = method.simulate(aims, scenario.dims, numbers[1 + len(method.aims) :])
    return plan.condition_of_slot.take(slots), true


def _judged(scenario: Scenario, readings: Mapping[str, Values], is_void: NDArray[np.bool_]) -> NDArray[np.int8]:
    with np.errstate(invalid="ignore"):  # what cannot be worked is no number, and judged as that: never inside
        values = scenario.method.work(readings, scenario.dims)
    codes = judge_many(values, scenario.limits, scenario.method.held, len(is_void))
    overrule(codes, is_void, Verdict.VOID)
    return codes


def draw_many(scenario: Scenario, count: int) -> Batch:
    """The first tries of seeds 0 to count - 1, fair or not. Raises OutOfRangeError."""
    plan = _plan(scenario)
    batch = Batch(scenario=scenario, condition_chunks=[], reading_chunks=[], code_chunks=[])
    for start in range(0, count, _CHUNK):
        seeds = np.arange(start, min(start + _CHUNK, count), dtype=np.uint64)
        conditions, readings = _readings(scenario, plan, seeds * np.uint64(MOST_TRIES))
        batch.condition_chunks.append(conditions)
        batch.reading_chunks.append(readings)
        batch.code_chunks.append(_judged(scenario, readings, plan.is_void.take(conditions)))
    return batch


def fair(scenario: Scenario, readings: Mapping[str, Values], codes: NDArray[np.int8]) -> NDArray[np.bool_]:
    """For each set of readings: none that would still count as right has another verdict.

    What counts as right is half a step, or a whole one where the scenario says so. That the corners of that box
    are enough is shown in `carrying`. Where several things are wrong at once it is the worst that has to stand.
    """
    if not scenario.method.held:
        return np.ones(len(codes), dtype=np.bool_)
    # With nine readings there are 513 corners to a draw: taken a few draws at a time they stay in the cache.
    few = max(1, _CHUNK >> len(readings))
    parts = [
        _fair(scenario, {name: np.asarray(value)[start : start + few] for name, value in readings.items()}, here)
        for start in range(0, len(codes), few)
        for here in (codes[start : start + few],)
    ]
    return np.concatenate(parts) if parts else np.zeros(0, dtype=np.bool_)


def _fair(scenario: Scenario, readings: Mapping[str, Values], codes: NDArray[np.int8]) -> NDArray[np.bool_]:
    moved, rows = corners(scenario, readings)
    with np.errstate(invalid="ignore"):
        values = scenario.method.work(moved, scenario.dims)
    around = judge_many(values, scenario.limits, scenario.method.held, len(codes) * rows).reshape(rows, -1)
    is_steady = np.logical_and.reduce(np.equal(around, around[0]), axis=0)
    # What is void by how it looks is void whatever its numbers are.
    is_fair: NDArray[np.bool_] = np.logical_or(is_steady, codes != around[0])
    return is_fair


def draw(scenario: Scenario, seed: int) -> Draw:
    """The first fair draw of a seed, from 0 to 2**54 - 1: beyond it seeds begin again.

    A try that an instrument cannot read, or with readings that no machine could give, is passed over as an unfair
    one is. Raises UnfairScenarioError if none of the tries is fair, OutOfRangeError if the last could not be read.
    """
    plan = _plan(scenario)
    first = seed * MOST_TRIES
    beyond: OutOfRangeError | None = None
    for tries in range(MOST_TRIES):
        numbers = np.array([(first + tries) % 2**64], dtype=np.uint64)
        try:
            conditions, readings = _readings(scenario, plan, numbers)
        except OutOfRangeError as error:
            beyond = error
            continue
        beyond = None
        codes = _judged(scenario, readings, plan.is_void.take(conditions))
        shown = {name: float(np.asarray(value)[0]) for name, value in readings.items()}
        if fair(scenario, readings, codes)[0] and _can_be(scenario, shown):
            condition = scenario.method.conditions[int(conditions[0])]
            return Draw(
                scenario=scenario.name,
                seed=seed,
                tries=tries,
                condition=condition.name,
                oddity=condition.oddity,
                readings=shown,
            )
    if beyond:
        raise beyond
    raise UnfairScenarioError(scenario=scenario.name, tried=MOST_TRIES, remedy=remedy(scenario))


def _can_be(scenario: Scenario, readings: Mapping[str, float]) -> bool:
    """Whether a machine could give these readings: rounding can make a strip narrower than it was when round."""
    try:
        scenario.method.check(readings, scenario.dims)
    except ImpossibleReadingError:
        return False
    return True


def truth(scenario: Scenario, draw: Draw) -> tuple[Verdict, ...]:
    """The verdicts that are right for a draw, the one that goes before the others first."""
    if draw.oddity:
        return (Verdict.VOID,)
    return judge(scenario.method.work_one(draw.readings, scenario.dims), scenario.limits, scenario.method.held)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """What an instructor sees of a scenario before anyone meets it, from `count` seeds.

    fair_share: part of the first tries that is fair. All else is of the fair ones.
    verdicts, conditions: share of each. as_meant: for each condition that has to be inside, or has to be anything
      else, the part of its draws that is.
    readings: the least and the greatest of each, inner unit.
    results: for each asked or held result, its values.
    """

    count: int
    fair_share: float
    verdicts: Mapping[Verdict, float]
    conditions: Mapping[str, float]
    as_meant: Mapping[str, float]
    readings: Mapping[str, tuple[float, float]]
    results: Mapping[str, Array]

    @property
    def is_fair(self) -> bool:
        """Enough first tries are fair, and every condition comes out as it is meant."""
        return self.fair_share >= LEAST_FAIR_SHARE and not self.astray

    @property
    def commonest(self) -> Verdict:
        """The verdict that is right most often."""
        return max(self.verdicts, key=lambda verdict: self.verdicts[verdict])

    @property
    def is_given_away(self) -> bool:
        """One verdict is right so often that whoever always gives it needs to look at nothing."""
        return self.verdicts[self.commonest] > MOST_OF_ONE_VERDICT

    @property
    def astray(self) -> tuple[str, ...]:
        """Conditions whose draws too seldom have the verdict they are meant for."""
        return tuple(name for name, share in self.as_meant.items() if share < LEAST_AS_MEANT)


def spread(scenario: Scenario, count: int = 2000) -> Spread:
    """Draw many and say how they lie. Raises OutOfRangeError if an instrument cannot read them all."""
    batch = draw_many(scenario, count)
    readings = {reading.name: batch.value(reading.name) for reading in scenario.method.readings}
    is_fair = fair(scenario, readings, batch.codes)
    names = [condition.name for condition in scenario.method.conditions]
    drawn = np.bincount(batch.conditions, minlength=len(names))
    kept = np.bincount(batch.conditions[is_fair], minlength=len(names))
    inside = np.bincount(batch.conditions[is_fair & (batch.codes == CODE[Verdict.INSIDE])], minlength=len(names))
    many = max(int(kept.sum()), 1)
    shown = dict.fromkeys((*scenario.asked, *(hold.result for hold in scenario.method.held)))
    return Spread(
        count=count,
        fair_share=float(is_fair.mean()),
        verdicts={
            verdict: int(number) / many
            for verdict, number in zip(ORDER, np.bincount(batch.codes[is_fair], minlength=len(ORDER)), strict=True)
        },
        conditions={name: int(number) / many for name, number in zip(names, kept, strict=True) if number},
        as_meant={
            condition.name: int(good if must_be_inside(condition) else fair_ones - good) / max(int(fair_ones), 1)
            for condition, good, fair_ones, all_ones in zip(
                scenario.method.conditions, inside, kept, drawn, strict=True
            )
            if all_ones >= _ENOUGH and must_be_inside(condition) is not None
        },
        readings={
            name: (float(values[is_fair].min()), float(values[is_fair].max()))
            for name, values in readings.items()
            if kept.any()
        },
        results={name: batch.value(name)[is_fair] for name in shown},
    )


def must_be_inside(condition: Condition) -> bool | None:
    """Whether a condition is meant to be accepted; None for those only just inside, which go either way."""
    bands = set(condition.bands.values())
    if condition.oddity or bands & {Band.BELOW, Band.ABOVE}:
        return False
    return None if bands & {Band.JUST_INSIDE_LOW, Band.JUST_INSIDE_HIGH} else True


def remedy(scenario: Scenario) -> str:
    """What would make a scenario fair, or readable, in a sentence: something that was tried and does it.

    Every instrument of the families that the method allows is tried, over the same draws; of those that do,
    the one in the unit now used comes first, then the one that is nearest to the present step. If none does,
    other reaches of the bad cases are tried.
    """
    true = _true_sizes(scenario)
    present = max(scenario.instruments.values(), key=lambda one: one.step)
    choices = {(one.family, one.unit, one.step) for one in all_instruments().values()}
    for choice in sorted(
        choices, key=lambda choice: (choice[1] != present.unit, abs(math.log(choice[2] / present.step)), choice[0])
    ):
        trial = _with_instruments(scenario, choice, true)
        share = 0.0 if trial is None or trial.instruments == scenario.instruments else _fair_share(trial)
        if trial is not None and share >= LEAST_FAIR_SHARE:
            names = ", ".join(dict.fromkeys(one.title for one in trial.instruments.values()))
            step = step_words(next(iter(trial.instruments.values())))
            return f"Tried, and it would do: {names}, read to {step} ({math.floor(share * 100)} % of the draws fair)."
    for reach in sorted(_REACHES, key=lambda one: abs(math.log(one / scenario.reach))):
        share = 0.0 if reach == scenario.reach else _fair_share(replace(scenario, reach=reach))
        if share >= LEAST_FAIR_SHARE:
            return (
                f"No other instrument would do. Tried, and it would do: bad cases up to {reach:g} of the limit's width "
                f"beyond it ({math.floor(share * 100)} % of the draws fair)."
            )
    return "No other instrument would do, nor another reach of the bad cases: look at the size of the gauge, or at the limits."


def _fair_share(scenario: Scenario) -> float:
    """As `spread` finds it; nothing where an instrument cannot read the range, or cases come out other than meant."""
    try:
        lies = spread(scenario)
    except OutOfRangeError:
        return 0.0
    return lies.fair_share if lies.is_fair else 0.0


def step_words(instrument: Instrument) -> str:
    """What an instrument is read to, in its own unit: "0.01 mm", "1/64 in"."""
    step = instrument.step / instrument.unit_size
    parts = 1 / step
    is_binary = instrument.unit == "in" and math.isclose(parts, round(parts)) and round(parts).bit_count() == 1
    return f"1/{round(parts)} in" if is_binary else f"{step:.6g} {instrument.unit}"


def _true_sizes(scenario: Scenario) -> dict[str, tuple[float, float]]:
    """The least and the greatest true size behind each reading, over as many draws as `spread` makes."""
    _, true = _simulated(scenario, _plan(scenario), np.arange(2000, dtype=np.uint64) * np.uint64(MOST_TRIES))
    return {name: (float(np.min(sizes)), float(np.max(sizes))) for name, sizes in true.items()}


def _with_instruments(
    scenario: Scenario, choice: tuple[str, str, float], true: Mapping[str, tuple[float, float]]
) -> Scenario | None:
    """The scenario with instruments of one family, unit and step for all readings; None if any has none that reaches."""
    found: dict[str, Instrument] = {}
    for reading in scenario.method.readings:
        least, greatest = true[reading.name]
        for one in all_instruments().values():
            does_fit = (one.family, one.unit, one.step) == choice and reading.is_read_with(one)
            if does_fit and one.low <= least and greatest <= one.high:
                found[reading.name] = one
                break
        else:
            return None
    return replace(scenario, instruments=found)
