"""From what counts and when it ends to the state, with its reasons and how long the answer is good."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from assessments.standing.calendar import add_days, add_months, in_words
from assessments.standing.rules.counting import (
    Term,
    counting_term,
    in_force,
    inherited_restrictions,
    open_restrictions,
    seen_by,
    suspension,
)
from assessments.standing.rules.deadlines import Deadline, end_of
from assessments.standing.rules.missing import lessons_missing, missing_for_grant, tasks_missing
from assessments.standing.rules.values import Act, Event, Evidence, Kind, Rule, Standing, State


def standing(rule: Rule, events: Sequence[Event], evidence: Evidence, on: date) -> Standing:
    """Where the person stands with the rule's task on a day, past or coming."""
    valid = in_force(events)
    happened = [event for event in valid if event.effective_on <= on]
    seen = seen_by(evidence, on)
    term, remarks, pending = counting_term(rule, happened, seen)
    end = end_of(rule, term.event, seen) if term else None
    answer = _state(rule, happened, seen, on, term, end, pending)
    answer = replace(
        answer,
        reasons=answer.reasons + tuple(remarks),
        restrictions=tuple(event.restriction for event in open_restrictions(happened))
        + inherited_restrictions(rule, seen),
        renew_from=add_months(end.last_day, -rule.renewal.months_before) if end and rule.renewal else None,
        renew_by=add_months(end.last_day, rule.renewal.months_after) if end and rule.renewal else None,
    )
    return replace(answer, steady_until=_steady_until(rule, valid, evidence, on, end, answer))


def without_rule(task: str) -> Standing:
    """Where everybody stands with a task for which no rule is in force."""
    return Standing(State.NOT_STARTED, (f"No rule is in force for {task}, so nobody can hold it.",))


def _state(
    rule: Rule,
    happened: Sequence[Event],
    seen: Evidence,
    on: date,
    term: Term | None,
    end: Deadline | None,
    pending: Event | None,
) -> Standing:
    last_day = end.last_day if end else None
    if stopped := suspension(happened, on):
        look = f" To be looked at again by {in_words(stopped.until_on)}." if stopped.until_on else ""
        return Standing(
            State.SUSPENDED,
            (f"Suspended from {in_words(stopped.effective_on)}: {stopped.reason}{look}",),
            until=last_day,
            next_act=Act.REINSTATE,
        )
    if term is None:
        withdrawn = [event for event in happened if event.kind is Kind.WITHDRAWN]
        return _withdrawn(rule, withdrawn, seen, pending) if withdrawn else _learning(rule, seen, pending)
    if end and end.last_day < on:
        return _lapsed(rule, seen, on, end, pending)
    fallen = [
        (code, seen.other_tasks.get(code))
        for code in rule.tasks_first
        if not (code in seen.other_tasks and seen.other_tasks[code].state.holds)
    ]
    if fallen:
        return Standing(
            State.LAPSED,
            tuple(
                f"{code} must be held first and is: {other.state if other else 'unknown'}." for code, other in fallen
            ),
            until=last_day,
            missing=tuple(f"{code} held again" for code, _other in fallen),
        )
    until = _until(rule, seen, last_day)
    why = f"{term.event.kind.capitalize()} on {in_words(term.event.effective_on)} by {signer_of(term.event)}."
    reasons = [why]
    if end:
        reasons.append(f"Ends: {end.why}.")
    if until and until != last_day:
        reasons.append(f"Ends on {in_words(until)} with a task that must be held first.")
    if pending:
        reasons.append(_waits(pending))
    is_due = until is not None and on > add_days(until, -rule.notice_days)
    return Standing(
        State.DUE if is_due else State.QUALIFIED,
        tuple(reasons),
        until=until,
        missing=tuple(lessons_missing(rule, seen, None)),
        next_act=Act.COUNTERSIGN if pending else Act.RENEW if is_due else None,
        awaits_countersign=pending.sequence if pending else None,
        first_signer=pending.by if pending else None,
    )


def _until(rule: Rule, seen: Evidence, last_day: date | None) -> date | None:
    ends = [seen.other_tasks[code].until for code in rule.tasks_first]
    return min((day for day in [last_day, *ends] if day is not None), default=None)


def _lapsed(rule: Rule, seen: Evidence, on: date, end: Deadline, pending: Event | None) -> Standing:
    reasons = [f"Lapsed after {in_words(end.last_day)}: {end.why}."]
    closes = add_months(end.last_day, rule.renewal.months_after) if rule.renewal else None
    if closes is not None and on > closes:
        act = Act.GRANT
        missing = missing_for_grant(rule, seen, end.last_day)
        reasons.append(
            f"Renewing ended on {in_words(closes)}: starting again, with evidence from after {in_words(end.last_day)}."
        )
    else:
        act = Act.RENEW
        missing = (*tasks_missing(rule, seen), *lessons_missing(rule, seen, None))
        if closes:
            reasons.append(f"A renewal counts up to {in_words(closes)}.")
    lapsed = Standing(State.LAPSED, tuple(reasons), until=end.last_day, missing=missing, next_act=act)
    return _waiting(lapsed, pending) if pending else lapsed


def _withdrawn(rule: Rule, withdrawals: Sequence[Event], seen: Evidence, pending: Event | None) -> Standing:
    last = max(withdrawals, key=lambda event: (event.effective_on, event.sequence))
    withdrawn = Standing(
        State.WITHDRAWN,
        (f"Withdrawn on {in_words(last.effective_on)}: {last.reason}",),
        missing=missing_for_grant(rule, seen, last.effective_on),
        next_act=Act.GRANT,
    )
    return _waiting(withdrawn, pending) if pending else withdrawn


def _why_ready(rule: Rule) -> str:
    if rule.lessons or rule.mastery:
        return "Everything the rule asks for is there; the signature is not."
    # Said plainly: who signs here has nothing to go by but what they saw themselves.
    return "The rule asks for no lesson and no drill: nothing but a signature is wanted, by somebody who has seen the work."


def _learning(rule: Rule, seen: Evidence, pending: Event | None) -> Standing:
    if pending:
        return _waiting(Standing(State.READY, ()), pending)
    missing = missing_for_grant(rule, seen, None)
    if not missing:
        return Standing(State.READY, (_why_ready(rule),), next_act=Act.GRANT)
    begun = [reading.read_on for reading in seen.readings] + [result.on for result in seen.results]
    if begun:
        return Standing(
            State.IN_TRAINING, (f"Started on {in_words(min(begun))}.",), missing=missing, next_act=Act.GRANT
        )
    nothing = "No lesson read and no drill handed in for this task."
    return Standing(State.NOT_STARTED, (nothing,), missing=missing, next_act=Act.GRANT)


def _waiting(answer: Standing, pending: Event) -> Standing:
    """The same answer, with a signature that waits for a second one."""
    return replace(
        answer,
        reasons=(*answer.reasons, _waits(pending)),
        missing=(),
        next_act=Act.COUNTERSIGN,
        awaits_countersign=pending.sequence,
        first_signer=pending.by,
    )


def _waits(event: Event) -> str:
    return f"Waits for a second signature: {event.kind} on {in_words(event.effective_on)} by {signer_of(event)}."


def signer_of(event: Event) -> str:
    return event.signed_name or f"person {event.by}"


def _steady_until(
    rule: Rule, valid: Sequence[Event], evidence: Evidence, on: date, end: Deadline | None, answer: Standing
) -> date | None:
    """The day before the next one on which anything could change. Too early is harmless, too late is not."""
    days = [event.effective_on for event in valid]
    days += evidence.work_done
    days += [each.read_on for each in evidence.readings]
    days += [each.on for each in evidence.results]
    days += [each.on for each in evidence.occurrences]
    days += [each.from_on for each in evidence.absences]
    days += [each.issued_on for each in evidence.major_revisions]
    for other in evidence.other_tasks.values():
        if other.steady_until:
            days.append(add_days(other.steady_until, 1))
    ends = [end.last_day if end else None, answer.until, answer.renew_by]
    for last in [each for each in ends if each is not None]:
        days += [add_days(last, 1), add_days(last, 1 - rule.notice_days)]
    after = min((day for day in days if day > on), default=None)
    return add_days(after, -1) if after else None
