"""Which events count: corrections, suspensions, withdrawals, second signatures, and the grant or renewal that counts last."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from assessments.standing.calendar import add_months, in_words
from assessments.standing.rules.deadlines import end_of
from assessments.standing.rules.values import Event, Evidence, Kind, Rule


def voided(events: Iterable[Event]) -> set[int]:
    """The sequence numbers of the events that a standing correction voids."""
    void: set[int] = set()
    for event in sorted(events, key=lambda each: -each.sequence):
        if (
            event.kind is Kind.CORRECTION
            and event.sequence not in void
            and event.about is not None
            and event.about < event.sequence
        ):
            void.add(event.about)
    return void


def in_force(events: Sequence[Event]) -> list[Event]:
    """The events that no standing correction voids, in the order in which they were entered; corrections left out."""
    void = voided(events)
    kept = (event for event in events if event.sequence not in void and event.kind is not Kind.CORRECTION)
    return sorted(kept, key=lambda each: each.sequence)


def suspension(events: Sequence[Event], on: date) -> Event | None:
    """The suspension that holds on a day, among events in force."""
    reinstated = [event for event in events if event.kind is Kind.REINSTATED and event.effective_on <= on]
    for event in events:
        if event.kind is Kind.SUSPENDED and event.effective_on <= on:
            ended = any(
                back.sequence > event.sequence and back.effective_on >= event.effective_on for back in reinstated
            )
            if not ended:
                return event
    return None


def open_restrictions(events: Sequence[Event]) -> list[Event]:
    """Restrictions among these events that none of them lifts."""
    lifted = {event.about for event in events if event.kind is Kind.RESTRICTION_LIFTED}
    return [event for event in events if event.kind is Kind.RESTRICTED and event.sequence not in lifted]


def was_granted(events: Sequence[Event]) -> bool:
    """Among events in force, something was granted and not withdrawn since (lapsed or not)."""
    signed = [event.kind for event in events if event.kind in {Kind.GRANTED, Kind.RENEWED, Kind.WITHDRAWN}]
    return bool(signed) and signed[-1] is not Kind.WITHDRAWN


def seen_by(evidence: Evidence, on: date) -> Evidence:
    """What was known to have happened by a day; work and absences in the order of their days."""
    return replace(
        evidence,
        work_done=tuple(sorted(day for day in evidence.work_done if day <= on)),
        readings=tuple(each for each in evidence.readings if each.read_on <= on),
        results=tuple(each for each in evidence.results if each.on <= on),
        absences=tuple(
            sorted((each for each in evidence.absences if each.from_on <= on), key=lambda each: each.from_on)
        ),
        occurrences=tuple(each for each in evidence.occurrences if each.on <= on),
        major_revisions=tuple(each for each in evidence.major_revisions if each.issued_on <= on),
    )


@dataclass(frozen=True, slots=True)
class Term:
    """A grant or renewal that counts."""

    event: Event
    counts_from: date


def counting_term(rule: Rule, happened: Sequence[Event], seen: Evidence) -> tuple[Term | None, list[str], Event | None]:
    """The grant or renewal that counts last, remarks on those that do not, and one that waits for its second signature."""
    withdrawals = [event for event in happened if event.kind is Kind.WITHDRAWN]
    term: Term | None = None
    remarks: list[str] = []
    pending: Event | None = None
    signed = [event for event in happened if event.kind in {Kind.GRANTED, Kind.RENEWED}]
    for event in sorted(signed, key=lambda each: (each.effective_on, each.sequence)):
        if any(_ends(withdrawal, event) for withdrawal in withdrawals):
            continue
        day = in_words(event.effective_on)
        if event.by == seen.person:
            remarks.append(f"What was {event.kind} on {day} does not count: nobody signs for themself.")
            continue
        if event.kind is Kind.RENEWED and (fault := _fault_of_renewal(rule, term, seen, event)):
            remarks.append(f"The renewal of {day} does not count: {fault}.")
            continue
        counts_from = _counts_from(rule, event, happened, seen.person)
        if counts_from is None:
            pending = event
            continue
        pending = None
        term = Term(event, counts_from)
    return term, remarks, pending


def _ends(withdrawal: Event, event: Event) -> bool:
    return event.effective_on < withdrawal.effective_on or event.sequence < withdrawal.sequence


def _fault_of_renewal(rule: Rule, term: Term | None, seen: Evidence, renewal: Event) -> str | None:
    if term is None:
        return "there was nothing to renew"
    end = end_of(rule, term.event, seen_by(seen, renewal.effective_on))
    if end is None or rule.renewal is None:
        return None
    if renewal.effective_on < (opens := add_months(end.last_day, -rule.renewal.months_before)):
        return f"renewing began only on {in_words(opens)}"
    if renewal.effective_on > (closes := add_months(end.last_day, rule.renewal.months_after)):
        return f"renewing ended on {in_words(closes)}, later means starting again"
    return None


def _counts_from(rule: Rule, event: Event, happened: Sequence[Event], person: int) -> date | None:
    if not rule.second_signature:
        return event.effective_on
    seconds = [
        max(second.effective_on, event.effective_on)
        for second in happened
        if second.kind is Kind.COUNTERSIGNED and second.about == event.sequence and second.by not in {event.by, person}
    ]
    return min(seconds, default=None)


def inherited_restrictions(rule: Rule, seen: Evidence) -> tuple[str, ...]:
    """Restrictions on a task that comes first go with this one too."""
    return tuple(
        text if text.startswith("from ") else f"from {code}: {text}"
        for code in rule.tasks_first
        if code in seen.other_tasks
        for text in seen.other_tasks[code].restrictions
    )
