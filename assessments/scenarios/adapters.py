"""The one place where rows become engine values."""

from __future__ import annotations

from decimal import Decimal
from uuid import UUID

from assessments.engine.errors import BadScenarioError, UnreadableQuantityError
from assessments.engine.instruments import find_instrument
from assessments.engine.kinds import Kind
from assessments.engine.method import Method
from assessments.engine.methods import find_method
from assessments.engine.quantities import read
from assessments.engine.scenario import Carry, Scenario
from assessments.engine.sheets import Limit
from assessments.engine.working import unit_for
from assessments.scenarios.models import ScenarioRevision
from courses.machines.models import SheetEntry

_remembered: dict[UUID, Scenario] = {}


def engine_scenario(revision: ScenarioRevision) -> Scenario:
    """The revision as the engine sees it. Raises an EngineError if it does not fit its method or its sheet.

    Remembered by the revision's uid once it is issued: a revision and its sheet never change then.
    """
    if not revision.is_issued:
        return _built(revision)
    scenario = _remembered.get(revision.uid)
    if scenario is None:
        scenario = _remembered[revision.uid] = _built(revision)
    return scenario


def is_of_kind(unit: str, kind: Kind) -> bool:
    """True if a sheet's unit measures that kind. A few measure two: pounds are a mass and a force."""
    try:
        read(f"1 {unit}", kind, unit_for(kind, "mm"))
    except UnreadableQuantityError:
        return False
    return True


def _built(revision: ScenarioRevision) -> Scenario:
    method = find_method(revision.method)
    entries = {entry.code: entry for entry in revision.sheet.entries.all()}
    return Scenario(
        name=revision.stream,
        method=method,
        dims={
            dim.name: _dimension(revision, entries, revision.dims[dim.name], dim.kind)
            for dim in method.dims
            if dim.name in revision.dims
        },
        limits={
            name: _limit(_entry(revision, entries, code), kind_of_limit(method, name), revision.sheet.number)
            for name, code in revision.limits.items()
        },
        instruments={name: find_instrument(instrument) for name, instrument in revision.instruments.items()},
        shares=revision.shares,
        asked=tuple(revision.asked),
        reach=revision.reach,
        reading_steps=revision.reading_steps,
        carry=Carry(revision.carrying),
    )


def _entry(revision: ScenarioRevision, entries: dict[str, SheetEntry], code: str) -> SheetEntry:
    if code not in entries:
        raise BadScenarioError(scenario=revision.stream, reason=f"The sheet has no entry called {code}.")
    return entries[code]


def kind_of_limit(method: Method, limit: str) -> Kind:
    """What a limit of a method measures: the kind of what is held against it."""
    return next((method.line(hold.result).kind for hold in method.held if hold.limit == limit), Kind.LENGTH)


def _dimension(revision: ScenarioRevision, entries: dict[str, SheetEntry], given: dict[str, str], kind: Kind) -> float:
    if "value" in given:
        return read(str(given["value"]), kind, given["unit"]).value
    entry = _entry(revision, entries, given["entry"])
    if entry.nominal is None or entry.tolerance is not None:
        raise BadScenarioError(
            scenario=revision.stream, reason=f"{entry.label} is a limit; a dimension is needed here."
        )
    return _inner(entry.nominal, entry.unit, kind)


def _inner(figure: Decimal, unit: str, kind: Kind) -> float:
    # Read like typed text: sheets spell their units in plain letters, and the reader knows them all.
    return read(f"{figure:f} {unit}", kind, unit_for(kind, "mm")).value


def _limit(entry: SheetEntry, kind: Kind, sheet_number: int) -> Limit:
    source = f"sheet revision {sheet_number}: {entry.source}"
    if entry.nominal is not None:
        if entry.tolerance is None:
            raise BadScenarioError(scenario=entry.code, reason=f"{entry.label} is a dimension; a limit is needed here.")
        nominal, tolerance = _inner(entry.nominal, entry.unit, kind), _inner(entry.tolerance, entry.unit, kind)
        return Limit.plus_minus(nominal, tolerance, source=source, outside=entry.outside)
    low = None if entry.low is None else _inner(entry.low, entry.unit, kind)
    high = None if entry.high is None else _inner(entry.high, entry.unit, kind)
    return Limit(low=low, high=high, source=source, outside=entry.outside)
