"""A person's facts and the plant's rules, side by side, and the standings that follow from them. Pure: no query is made here."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from assessments.standing.calendar import add_days
from assessments.standing.rules import (
    Absence,
    Event,
    Evidence,
    MajorRevision,
    Occurrence,
    Reading,
    Result,
    Rule,
    Standing,
    standing,
    without_rule,
)

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date


@dataclass(frozen=True, slots=True)
class IssuedRule:
    """One revision of a task's rule and the day from which it is in force."""

    number: int
    effective_on: date
    rule: Rule


@dataclass(slots=True)
class Rulebook:
    """Every task's rule revisions by number, and the major revisions of its procedure."""

    codes: tuple[str, ...]
    issued: dict[str, list[IssuedRule]] = field(default_factory=lambda: defaultdict(list))
    major_revisions: dict[str, tuple[MajorRevision, ...]] = field(default_factory=dict)

    def issue_on(self, code: str, on: date) -> IssuedRule | None:
        """The revision in force on a day: the latest one that has taken effect."""
        return max(
            (each for each in self.issued[code] if each.effective_on <= on), key=lambda each: each.number, default=None
        )

    def rule_on(self, code: str, on: date) -> Rule | None:
        found = self.issue_on(code, on)
        return found.rule if found else None

    def steady_until(self, code: str, on: date) -> date | None:
        """The last day before another revision of the rule takes effect."""
        after = min((each.effective_on for each in self.issued[code] if each.effective_on > on), default=None)
        return add_days(after, -1) if after else None


@dataclass(slots=True)
class Dossier:
    """What is known of one person, sorted by task code. What stands under None concerns every task."""

    person: int
    events: dict[str, list[Event]] = field(default_factory=lambda: defaultdict(list))
    work_done: dict[str, list[date]] = field(default_factory=lambda: defaultdict(list))
    readings: dict[str, list[Reading]] = field(default_factory=lambda: defaultdict(list))
    results: dict[str, list[Result]] = field(default_factory=lambda: defaultdict(list))
    occurrences: dict[str | None, list[Occurrence]] = field(default_factory=lambda: defaultdict(list))
    absences: dict[str | None, list[Absence]] = field(default_factory=lambda: defaultdict(list))

    def evidence(self, code: str, book: Rulebook, first: dict[str, Standing]) -> Evidence:
        return Evidence(
            person=self.person,
            work_done=tuple(self.work_done.get(code, ())),
            readings=tuple(self.readings.get(code, ())),
            results=tuple(self.results.get(code, ())),
            absences=tuple(self._of(self.absences, code)),
            occurrences=tuple(self._of(self.occurrences, code)),
            major_revisions=book.major_revisions.get(code, ()),
            other_tasks=first,
        )

    @staticmethod
    def _of(rows: dict[str | None, list[Absence]] | dict[str | None, list[Occurrence]], code: str) -> Iterable:  # type: ignore[type-arg]
        return [*rows.get(code, ()), *rows.get(None, ())]


class RuleLoopError(ValueError):
    """Tasks ask for each other first, so none of them could ever be held."""

    def __init__(self, codes: tuple[str, ...]) -> None:
        self.codes = codes
        super().__init__(f"These tasks each ask for the other first: {', '.join(codes)}.")


def standings(book: Rulebook, dossier: Dossier, on: date) -> dict[str, Standing]:
    """Where the person stands with every task on a day. Raises ``RuleLoopError``."""
    found: dict[str, Standing] = {}
    for code in in_order(book, on):
        rule = book.rule_on(code, on)
        if rule is None:
            answer = without_rule(code)
        else:
            first = {other: found[other] for other in rule.tasks_first if other in found}
            answer = standing(rule, dossier.events.get(code, ()), dossier.evidence(code, book, first), on)
        ends = [day for day in (answer.steady_until, book.steady_until(code, on)) if day is not None]
        found[code] = replace(answer, steady_until=min(ends, default=None))
    return {code: found[code] for code in book.codes}


def in_order(book: Rulebook, on: date) -> list[str]:
    """The task codes, each after those that its rule asks for first. Raises ``RuleLoopError``."""
    done: dict[str, None] = {}
    going: list[str] = []

    def visit(code: str) -> None:
        if code in done:
            return
        if code in going:
            raise RuleLoopError(tuple(going[going.index(code) :]))
        going.append(code)
        rule = book.rule_on(code, on)
        for first in rule.tasks_first if rule else ():
            if first in book.codes:
                visit(first)
        going.pop()
        done[code] = None

    for code in book.codes:
        visit(code)
    return list(done)
