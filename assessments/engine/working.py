"""The worked solution: every line as formula, numbers and result, as a good hand would write it."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass

from assessments.engine.kinds import MM_PER_INCH, Kind
from assessments.engine.method import Line
from assessments.engine.quantities import number, show, show_fraction, units_of
from assessments.engine.scenario import Scenario

_SYSTEM: dict[Kind, tuple[str, str]] = {
    Kind.LENGTH: ("mm", "in"),
    Kind.AREA: ("mm²", "in²"),
    Kind.TEMPERATURE: ("°C", "°F"),
    Kind.TEMPERATURE_STEP: ("°C difference", "°F difference"),
    Kind.PRESSURE: ("bar", "psi"),
    Kind.FORCE: ("N", "lbf"),
    Kind.TORQUE: ("N m", "lbf ft"),
    Kind.MASS: ("kg", "lb"),
    Kind.UNBALANCE: ("g mm", "oz in"),
    Kind.EXPANSION: ("1/K", "1/°F"),
}
"""Kinds that the metric and the inch shop write in different units: metric first."""


@dataclass(frozen=True, slots=True)
class WorkedLine:
    """One line of the working as text. formula and numbers are empty for what was read or given."""

    name: str
    symbol: str
    label: str
    formula: str
    numbers: str
    value: str
    is_result: bool


def unit_for(kind: Kind, system: str) -> str:
    """The unit of a kind in a system, "mm" or "in"."""
    if kind in _SYSTEM:
        return _SYSTEM[kind][system == "in"]
    return units_of(kind)[0]


def unit_of(line: Line, system: str) -> str:
    """The unit a line is written in: its own, or that of its kind."""
    return line.unit or unit_for(line.kind, system)


def shown_step(scenario: Scenario, allowed: float) -> float:
    """To what step a result is written: fine enough for its tolerance and its instruments, and no finer.

    A power of ten, inner unit, for results of the kind the instruments read.
    """
    finest = min(instrument.step for instrument in scenario.instruments.values()) / 2
    return 10.0 ** math.floor(math.log10(max(min(allowed, finest), 1e-6)) + 1e-9)


def reading_text(scenario: Scenario, name: str, value: float) -> str:
    """A reading as its instrument gives it, in the instrument's own unit; a rule of 64ths in fractions."""
    instrument = scenario.instruments[name]
    if is_of_64ths(scenario, name):
        return show_fraction(value)
    return show(value, instrument.unit, instrument.step)


def result_text(scenario: Scenario, value: float, kind: Kind, system: str, step: float | None, unit: str = "") -> str:
    """A worked number: in fractions where every instrument is a rule of 64ths and it is a whole number of them.

    unit: the line's own, if it has one.
    """
    if kind is Kind.LENGTH and system == "in" and all(is_of_64ths(scenario, name) for name in scenario.instruments):
        parts = value / MM_PER_INCH * 64
        if math.isclose(parts, round(parts), abs_tol=1e-6):
            return show_fraction(value)
    return show(value, unit or unit_for(kind, system), step)


def is_of_64ths(scenario: Scenario, name: str) -> bool:
    """True for an instrument marked in fractions of an inch."""
    instrument = scenario.instruments[name]
    return instrument.unit == "in" and math.isclose(instrument.step, MM_PER_INCH / 64)


def worked(
    scenario: Scenario, values: Mapping[str, float], steps: Mapping[str, float], system: str
) -> tuple[WorkedLine, ...]:
    """The working of a draw. values: as Method.work gives them. steps: by length asked, as `shown_step` has them.

    system: "mm" or "in", the units it is written in. Dims that only steer the draw are left out.
    """
    method = scenario.method
    finest = min(steps.values(), default=min(one.step for one in scenario.instruments.values()) / 10)
    written: dict[str, str] = {}
    lines: list[WorkedLine] = []
    for dim in method.dims:
        unit = unit_for(dim.kind, system)
        if not dim.is_shown:
            continue
        written[dim.symbol] = number(values[dim.name], unit)
        lines.append(WorkedLine(dim.name, dim.symbol, dim.label, "", "", show(values[dim.name], unit), is_result=False))
    for reading in method.readings:
        unit = unit_for(reading.kind, system)
        step = scenario.instruments[reading.name].step
        written[reading.symbol] = number(values[reading.name], unit, step)
        text = show(values[reading.name], unit, step)
        if is_of_64ths(scenario, reading.name) and system == "in":
            text = show_fraction(values[reading.name])
            written[reading.symbol] = text.removesuffix(" in")
        lines.append(WorkedLine(reading.name, reading.symbol, reading.label, "", "", text, is_result=False))
    for line in method.lines:
        unit = unit_of(line, system)
        # Lines of another kind than the readings (an area, a count) are written to six figures.
        step_or_none = steps.get(line.name, finest) if line.kind is Kind.LENGTH else None
        numbers = put_in(line.formula, written)
        value = result_text(scenario, values[line.name], line.kind, system, step_or_none, line.unit)
        written[line.symbol] = value.removesuffix(f" {unit}")
        lines.append(
            WorkedLine(
                line.name,
                line.symbol,
                line.label,
                line.formula,
                numbers if numbers != line.formula else "",
                value,
                is_result=line.is_result,
            )
        )
    return tuple(lines)


def put_in(formula: str, written: Mapping[str, str]) -> str:
    """The formula with each symbol that has a number replaced by it; negative numbers in brackets."""
    if not written:
        return formula
    symbols = "|".join(re.escape(symbol) for symbol in sorted(written, key=len, reverse=True))

    def number_for(found: re.Match[str]) -> str:
        text = written[found.group()]
        return f"({text})" if text.startswith("\N{MINUS SIGN}") else text

    # Letters and figures as ASCII has them: the square in d² is no part of the symbol.
    return re.sub(rf"(?<![\w.])(?:{symbols})(?!\w)", number_for, formula, flags=re.ASCII)
