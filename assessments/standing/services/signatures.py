"""The signatures: grant, renew, countersign, restrict, lift, suspend, reinstate, withdraw, correct.

What lets somebody work (grant, renew, countersign, lift, reinstate) takes effect on the day of signing and on no other, so
that it is judged by what is known and asked on that day. What stops somebody may be dated back to when it happened.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db import transaction
from django.utils.timezone import localdate

from assessments.ledger.models import Event, Kind, Meaning
from assessments.standing import errors
from assessments.standing.rules import Act, State, in_force, open_restrictions, voided, was_granted
from assessments.standing.services.case import Case, entered_before, open_case
from assessments.standing.signers import SECOND_IS_ANOTHER
from courses.people.roles import Role

if TYPE_CHECKING:
    from datetime import date, datetime
    from uuid import UUID

    from assessments.ledger.chain import Json
    from courses.people.models import Person
    from courses.tasks.models import Task


@transaction.atomic
def grant(
    *,
    person: Person,
    task: Task,
    by: Person,
    reason: str,
    on: date,
    at: datetime,
    meaning: str = Meaning.AUTHORISED,
    until_on: date | None = None,
    credits_earlier_training: bool = False,
    token: UUID | None = None,
) -> Event:
    """Let a person do a task. On a task with a second signature it counts once another person has countersigned.

    ``credits_earlier_training``: a supervisor takes training from elsewhere in place of the evidence that is missing
    (29 CFR 1910.178(l)(5)); what was missing is signed with the grant. Tasks that come first must be held all the same.
    """
    case = open_case(person, task, by, on, at)
    if earlier := entered_before(token, person, task, by, Kind.GRANTED):
        return earlier
    case.check_signer()
    case.check_on_the_day()
    case.check_last_day(until_on)
    case.check_not_suspended()
    before = case.standing()
    if before.awaits_countersign is not None:
        raise errors.WaitsForSecondError
    if before.state.holds:
        raise errors.AlreadyHeldError(before.state)
    if before.next_act is Act.RENEW:
        raise errors.RenewInsteadError(before.reasons)
    if before.missing and not credits_earlier_training:
        raise errors.NotReadyError(before.missing)
    if before.missing and not by.has_role(Role.SUPERVISOR):
        raise errors.NotAuthorisedError("Only a supervisor credits earlier training.")
    seen = {**case.seen(before), "credits_earlier_training": credits_earlier_training}
    event = case.append(Kind.GRANTED, meaning=meaning, reason=reason, evidence=seen, until_on=until_on, token=token)
    _check_it_helps(case)
    return event


@transaction.atomic
def renew(
    *,
    person: Person,
    task: Task,
    by: Person,
    reason: str,
    on: date,
    at: datetime,
    meaning: str = Meaning.AUTHORISED,
    until_on: date | None = None,
    token: UUID | None = None,
) -> Event:
    """Begin a new term for a task that is held, or lapsed no longer ago than the rule lets it be renewed.

    The new term runs from ``on``, not from the end of the old one.
    """
    case = open_case(person, task, by, on, at)
    if earlier := entered_before(token, person, task, by, Kind.RENEWED):
        return earlier
    case.check_signer()
    case.check_on_the_day()
    case.check_last_day(until_on)
    case.check_not_suspended()
    before = case.standing()
    if before.awaits_countersign is not None:
        raise errors.WaitsForSecondError
    if not before.state.holds and before.state is not State.LAPSED:
        raise errors.NotHeldError(before.state)
    if before.next_act is Act.GRANT:
        raise errors.StartAgainError(before.reasons)
    if before.renew_from and before.renew_by and on < before.renew_from:
        raise errors.OutsideWindowError(before.renew_from, before.renew_by)
    if before.missing:
        raise errors.NotReadyError(before.missing)
    event = case.append(
        Kind.RENEWED, meaning=meaning, reason=reason, evidence=case.seen(before), until_on=until_on, token=token
    )
    _check_it_helps(case)
    return event


@transaction.atomic
def countersign(
    *,
    person: Person,
    task: Task,
    by: Person,
    reason: str,
    on: date,
    at: datetime,
    meaning: str = Meaning.APPROVED,
    token: UUID | None = None,
) -> Event:
    """The second signature under a grant or a renewal that waits for it, by somebody other than the first signer."""
    case = open_case(person, task, by, on, at)
    if earlier := entered_before(token, person, task, by, Kind.COUNTERSIGNED):
        return earlier
    case.check_signer()
    case.check_on_the_day()
    case.check_not_suspended()
    before = case.standing()
    if before.awaits_countersign is None:
        raise errors.NothingWaitsError
    about = Event.objects.select_related("task").get(person=person, sequence=before.awaits_countersign)
    if about.entered_by_id == by.pk:
        raise errors.NotAuthorisedError(SECOND_IS_ANOTHER)
    signed: dict[str, Json] = {"countersigns": about.sequence, "hash": about.hash, "signed_by_right": case.right}
    event = case.append(Kind.COUNTERSIGNED, meaning=meaning, reason=reason, evidence=signed, about=about, token=token)
    _check_it_helps(case)
    return event


def _check_it_helps(case: Case) -> None:
    """After signing the task is held, or waits only for its second signature."""
    after = case.standing()
    if not after.state.holds and after.awaits_countersign is None:
        raise errors.DoesNotHelpError(after.reasons)


@transaction.atomic
def restrict(
    *,
    person: Person,
    task: Task,
    by: Person,
    reason: str,
    on: date,
    at: datetime,
    restriction: str,
    meaning: str = Meaning.AUTHORISED,
    until_on: date | None = None,
    token: UUID | None = None,
) -> Event:
    """Bind a held task to a condition in words. ``until_on``: the day to look again; it ends only when lifted."""
    case = open_case(person, task, by, on, at)
    if earlier := entered_before(token, person, task, by, Kind.RESTRICTED):
        return earlier
    case.check_supervisor()
    case.check_day()
    case.check_last_day(until_on)
    _check_was_granted(case)
    return case.append(
        Kind.RESTRICTED, meaning=meaning, reason=reason, restriction=restriction, until_on=until_on, token=token
    )


@transaction.atomic
def lift_restriction(
    *,
    person: Person,
    task: Task,
    by: Person,
    reason: str,
    on: date,
    at: datetime,
    about: Event,
    meaning: str = Meaning.AUTHORISED,
    token: UUID | None = None,
) -> Event:
    """End one restriction."""
    case = open_case(person, task, by, on, at)
    if earlier := entered_before(token, person, task, by, Kind.RESTRICTION_LIFTED):
        return earlier
    case.check_supervisor()
    case.check_on_the_day()
    open_ones = {event.sequence for event in open_restrictions(in_force(case.dossier.events[task.code]))}
    if about.person_id != person.pk or about.task_id != task.pk or about.sequence not in open_ones:
        raise errors.NoSuchRestrictionError
    return case.append(Kind.RESTRICTION_LIFTED, meaning=meaning, reason=reason, about=about, token=token)


@transaction.atomic
def suspend(
    *,
    person: Person,
    task: Task,
    by: Person,
    reason: str,
    on: date,
    at: datetime,
    meaning: str = Meaning.AUTHORISED,
    until_on: date | None = None,
    token: UUID | None = None,
) -> Event:
    """Stop a person from doing a task at once, whatever they hold. It ends only by a reinstatement."""
    case = open_case(person, task, by, on, at)
    if earlier := entered_before(token, person, task, by, Kind.SUSPENDED):
        return earlier
    case.check_supervisor()
    case.check_day()
    case.check_last_day(until_on)
    before = case.standing()
    if before.state is State.SUSPENDED:
        raise errors.AlreadySuspendedError(before.reasons)
    return case.append(Kind.SUSPENDED, meaning=meaning, reason=reason, until_on=until_on, token=token)


@transaction.atomic
def reinstate(
    *,
    person: Person,
    task: Task,
    by: Person,
    reason: str,
    on: date,
    at: datetime,
    meaning: str = Meaning.AUTHORISED,
    token: UUID | None = None,
) -> Event:
    """End a suspension. What the person then holds follows from their grant and its rule."""
    case = open_case(person, task, by, on, at)
    if earlier := entered_before(token, person, task, by, Kind.REINSTATED):
        return earlier
    case.check_supervisor()
    case.check_on_the_day()
    before = case.standing()
    if before.state is not State.SUSPENDED:
        raise errors.NotSuspendedError(before.state)
    return case.append(Kind.REINSTATED, meaning=meaning, reason=reason, token=token)


@transaction.atomic
def withdraw(
    *,
    person: Person,
    task: Task,
    by: Person,
    reason: str,
    on: date,
    at: datetime,
    meaning: str = Meaning.AUTHORISED,
    token: UUID | None = None,
) -> Event:
    """Take a grant back. It takes fresh evidence and a new grant to hold the task again."""
    case = open_case(person, task, by, on, at)
    if earlier := entered_before(token, person, task, by, Kind.WITHDRAWN):
        return earlier
    case.check_supervisor()
    case.check_day()
    _check_was_granted(case)
    return case.append(Kind.WITHDRAWN, meaning=meaning, reason=reason, token=token)


@transaction.atomic
def correct(
    *,
    event: Event,
    by: Person,
    reason: str,
    at: datetime,
    meaning: str = Meaning.AUTHORISED,
    token: UUID | None = None,
) -> Event:
    """Void an entry that was a mistake. The entry stays in the record, and so does the correction."""
    case = open_case(event.person, event.task, by, localdate(at), at)
    if earlier := entered_before(token, event.person, event.task, by, Kind.CORRECTION):
        return earlier
    case.check_supervisor()
    if event.sequence in voided(case.dossier.events[event.task.code]):
        raise errors.AlreadyCorrectedError
    signed: dict[str, Json] = {"corrects": event.sequence, "hash": event.hash}
    return case.append(Kind.CORRECTION, meaning=meaning, reason=reason, evidence=signed, about=event, token=token)


def _check_was_granted(case: Case) -> None:
    """Something was granted and not withdrawn since."""
    if not was_granted(in_force(case.dossier.events[case.task.code])):
        raise errors.NotHeldError(case.standing().state)
