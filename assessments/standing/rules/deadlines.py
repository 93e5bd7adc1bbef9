"""The days on which a grant ends by itself, each with its reason."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from assessments.standing.calendar import add_days, add_months, days_of, in_words
from assessments.standing.rules.values import Absence, Event, Evidence, Interruption, Rule


@dataclass(frozen=True, slots=True)
class Deadline:
    """The last day up to which something lets a grant hold, and why it ends there."""

    last_day: date
    why: str


def end_of(rule: Rule, signed: Event, seen: Evidence) -> Deadline | None:
    """The first of all the days on which a signed grant or renewal ends by itself; None if none is known."""
    return min(_deadlines(rule, signed, seen), key=lambda deadline: deadline.last_day, default=None)


def _deadlines(rule: Rule, signed: Event, seen: Evidence) -> Iterable[Deadline]:
    start = signed.effective_on
    if rule.valid_months is not None:
        last = add_months(start, rule.valid_months)
        yield Deadline(last, f"{signed.kind} on {in_words(start)} for {rule.valid_months} months, to {in_words(last)}")
    if signed.until_on is not None:
        yield Deadline(signed.until_on, f"{signed.kind} on {in_words(start)} only to {in_words(signed.until_on)}")
    if rule.practised_every_months is not None:
        yield _practice_deadline(rule.practised_every_months, start, seen.work_done)
    if rule.interruption is not None and (gone := _interruption_deadline(rule.interruption, start, seen.absences)):
        yield gone
    yield from _calls(rule, start, seen)


def _calls(rule: Rule, start: date, seen: Evidence) -> Iterable[Deadline]:
    """A changed procedure and whatever calls for a refresher: only a renewal on a later day answers them."""
    if rule.revision_grace_days is not None:
        for revision in seen.major_revisions:
            if revision.issued_on >= start:
                last = add_days(revision.issued_on, rule.revision_grace_days + rule.notice_days)
                why = f"the procedure changed: major revision {revision.number} of {in_words(revision.issued_on)}"
                yield Deadline(last, f"{why}, to be taken up by a renewal before the end of {in_words(last)}")
    if rule.refresher_days is not None:
        for call in seen.occurrences:
            if call.on >= start:
                last = add_days(call.on, rule.refresher_days - 1)
                why = f"{call.what} on {in_words(call.on)}: a refresher and a renewal on a later day are asked for"
                yield Deadline(last, f"{why}, {rule.refresher_days} days allowed")


def _practice_deadline(months: int, start: date, work_done: Sequence[date]) -> Deadline:
    """Each time the task is done in time moves the day on; work after a missed day brings nothing back."""
    done = start
    for day in work_done:
        if done < day <= add_months(done, months):
            done = day
    last = add_months(done, months)
    # A signature starts the clock; it does not say that the task was done that day.
    since = f"last done on {in_words(done)}" if done != start else f"not done since it was signed on {in_words(start)}"
    return Deadline(last, f"{since}, the rule says at least every {months} months, so by {in_words(last)}")


def _interruption_deadline(rule: Interruption, start: date, absences: Sequence[Absence]) -> Deadline | None:
    """The day before the absence since ``start`` becomes a long interruption; None if it does not."""
    found: list[Deadline] = []
    total = 0
    spells = 0
    for absence in absences:
        first = max(absence.from_on, start)
        last = absence.to_on
        if last is not None and (last < first or days_of(first, last) < rule.ignore_under_days):
            continue
        since = in_words(first)
        spells += 1
        stretch_end = add_days(add_months(first, rule.stretch_months), -1)
        if last is None or last > stretch_end:
            found.append(
                Deadline(
                    stretch_end,
                    f"away since {since}, over {rule.stretch_months} months at a stretch after {in_words(stretch_end)}",
                )
            )
        left = rule.total_days - total
        if spells > 1 and (last is None or days_of(first, last) > left):
            over = add_days(first, max(left, 0) - 1)
            found.append(
                Deadline(over, f"away for more than {rule.total_days} days in {spells} spells, the last since {since}")
            )
        if last is not None:
            total += days_of(first, last)
    return min(found, key=lambda deadline: deadline.last_day, default=None)
