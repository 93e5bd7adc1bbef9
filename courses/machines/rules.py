"""The lines of a sheet: what makes one whole, how its figures are lettered, what changed between two sheets."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, fields
from decimal import Decimal
from typing import Final

from courses.machines.units import UNITS

FIGURES: Final[dict[str, tuple[str, ...]]] = {
    "dimension": ("nominal",),
    "between": ("low", "high"),
    "at least": ("low",),
    "at most": ("high",),
    "plus or minus": ("nominal", "tolerance"),
}
"""Which figures a line of each form has; it has no others."""

FIGURE_NAMES: Final = ("nominal", "tolerance", "low", "high")
MOST_DECIMALS: Final = 6
MOST_BEFORE_POINT: Final = 8
CODE: Final = re.compile(r"[a-z0-9]+([.-][a-z0-9]+)*")


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryDraft:
    """One line of a sheet as somebody means to issue it; the same shape reads an issued line back."""

    code: str
    label: str
    where: str
    form: str
    unit: str
    source: str
    nominal: Decimal | None = None
    tolerance: Decimal | None = None
    low: Decimal | None = None
    high: Decimal | None = None
    outside: str = ""

    @property
    def decimals(self) -> int:
        """How many decimals every figure of the line is lettered with: those of the finest one given."""
        return max((_decimals(figure) for figure in self._figures()), default=0)

    @property
    def figures(self) -> str:
        """The figures as lettered on the sheet, with the unit: "0.090 to 0.150 mm"."""
        return lettered(self)

    def _figures(self) -> list[Decimal]:
        return [figure for name in FIGURE_NAMES if (figure := getattr(self, name)) is not None]


@dataclass(frozen=True, slots=True)
class Mistake:
    """Something wrong with a line: the field it belongs to and what would be right."""

    field: str
    message: str


@dataclass(frozen=True, slots=True)
class Change:
    """One difference between two sheets. `what` is added, removed or changed."""

    what: str
    code: str
    label: str
    field: str
    before: str
    after: str


def mistakes(entry: EntryDraft) -> list[Mistake]:
    """What keeps a line from being issued; empty when it is whole."""
    found = [
        Mistake(name, "This has to be filled in.")
        for name in ("code", "label", "where", "source")
        if not getattr(entry, name).strip()
    ]
    if entry.code.strip() and not CODE.fullmatch(entry.code):
        found.append(
            Mistake("code", "Small letters, digits, dots and hyphens, for example bearing.governor.clearance.")
        )
    if entry.unit not in UNITS:
        found.append(Mistake("unit", f"“{entry.unit}” is not a unit of a sheet. Use one of: {', '.join(UNITS)}."))
    if entry.form not in FIGURES:
        found.append(Mistake("form", f"A line is one of: {', '.join(FIGURES)}."))
        return found
    return found + _figure_mistakes(entry)


def _figure_mistakes(entry: EntryDraft) -> list[Mistake]:
    found = []
    wanted = FIGURES[entry.form]
    for name in FIGURE_NAMES:
        figure: Decimal | None = getattr(entry, name)
        if figure is None:
            if name in wanted:
                found.append(Mistake(name, f"“{entry.form}” needs this figure."))
        elif name not in wanted:
            found.append(Mistake(name, f"“{entry.form}” has no such figure: leave it empty."))
        elif not figure.is_finite():
            found.append(Mistake(name, "This has to be a number."))
        elif _decimals(figure) > MOST_DECIMALS or figure.adjusted() >= MOST_BEFORE_POINT:
            found.append(
                Mistake(name, f"At most {MOST_BEFORE_POINT} digits before the point and {MOST_DECIMALS} after it.")
            )
    if found:
        return found
    if entry.low is not None and entry.high is not None and entry.low >= entry.high:
        found.append(Mistake("high", "The high limit has to be more than the low one."))
    if entry.tolerance is not None and entry.tolerance <= 0:
        found.append(Mistake("tolerance", "A tolerance has to be more than nothing."))
    return found


def repeated_codes(entries: Sequence[EntryDraft]) -> list[str]:
    """The codes that stand on more than one line, sorted."""
    codes = [entry.code for entry in entries]
    return sorted({code for code in codes if codes.count(code) > 1})


def with_decimals(figure: Decimal, decimals: int) -> Decimal:
    """The same figure lettered with so many decimals; none is ever cut off."""
    return figure.quantize(Decimal(1).scaleb(-max(decimals, _decimals(figure.normalize()))))


def lettered(entry: EntryDraft) -> str:
    """The figures of a line in words: "at most 0.02 mm", "9.50 ± 0.25 mm"."""
    shown = {
        name: format(with_decimals(figure, entry.decimals), "f")
        for name in FIGURE_NAMES
        if (figure := getattr(entry, name)) is not None
    }
    words = {
        "dimension": "{nominal}",
        "between": "{low} to {high}",
        "at least": "at least {low}",
        "at most": "at most {high}",
        "plus or minus": "{nominal} ± {tolerance}",
    }[entry.form].format(**shown)
    return f"{words} {entry.unit}"


def compare(old: Sequence[EntryDraft], new: Sequence[EntryDraft]) -> list[Change]:
    """What is different on the new sheet: its lines in order, each field apart, then the lines that are gone."""
    before = {entry.code: entry for entry in old}
    after = {entry.code: entry for entry in new}
    changes = []
    for code, entry in after.items():
        if code not in before:
            changes.append(Change("added", code, entry.label, "figures", "", entry.figures))
            continue
        changes += [
            Change("changed", code, entry.label, name, was, is_now)
            for name, was, is_now in _differences(before[code], entry)
        ]
    changes += [
        Change("removed", code, entry.label, "figures", entry.figures, "")
        for code, entry in before.items()
        if code not in after
    ]
    return changes


def _differences(old: EntryDraft, new: EntryDraft) -> list[tuple[str, str, str]]:
    found = [("figures", old.figures, new.figures)] if old.figures != new.figures else []
    apart = {*FIGURE_NAMES, "form", "unit", "code"}
    names = [field.name for field in fields(EntryDraft) if field.name not in apart]
    return found + [
        (name, getattr(old, name), getattr(new, name)) for name in names if getattr(old, name) != getattr(new, name)
    ]


def _decimals(figure: Decimal) -> int:
    exponent = figure.as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0
