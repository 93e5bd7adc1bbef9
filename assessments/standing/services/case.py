"""What is known while a person's line is held, and the checks that every signature shares."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from django.utils.timezone import localdate

from assessments.ledger import services as ledger
from assessments.ledger.models import Event
from assessments.standing import errors
from assessments.standing.dossiers import standings
from assessments.standing.loading import load_book, load_dossiers, rule_event
from assessments.standing.rules import Rule, Standing, State, in_force, latest_last_day, mastery_progress
from assessments.standing.services.table import keep
from assessments.standing.signers import Signer, named_for
from courses.people.roles import Role

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date, datetime
    from uuid import UUID

    from assessments.ledger.chain import Json
    from assessments.ledger.models import Kind
    from assessments.standing.dossiers import Dossier, Rulebook
    from courses.people.models import Person
    from courses.tasks.models import Task


@dataclass(slots=True)
class Case:
    """What is known of person, signer and task while the person's line is held."""

    person: Person
    task: Task
    by: Person
    on: date
    at: datetime
    book: Rulebook
    dossier: Dossier
    signer: Dossier
    right: str = field(default="", init=False)

    @property
    def rule(self) -> Rule:
        found = self.book.rule_on(self.task.code, self.on)
        if found is None:
            raise errors.NoRuleError(self.task.code, self.on)
        return found

    def standing(self) -> Standing:
        return standings(self.book, self.dossier, self.on)[self.task.code]

    @property
    def today(self) -> date:
        return localdate(self.at)

    def check_day(self) -> None:
        """The day has come, and nothing that counts was entered for a later one."""
        if self.on > self.today:
            raise errors.NotYetError(self.on)
        last = max((event.effective_on for event in in_force(self.dossier.events[self.task.code])), default=None)
        if last is not None and self.on < last:
            raise errors.OutOfOrderError(last)

    def check_on_the_day(self) -> None:
        """It takes effect on the day of signing. Dated back it would be judged by what was known or asked then."""
        if self.on < self.today:
            raise errors.OnTheDayError(self.on, self.today)
        self.check_day()

    def check_last_day(self, until_on: date | None) -> None:
        """A day named on the signature does not lie before it, nor beyond what anybody can mean."""
        latest = latest_last_day(self.on)
        if until_on is not None and not self.on <= until_on <= latest:
            raise errors.LastDayError(self.on, latest)

    def check_signer(self) -> None:
        """The signer may sign for the task now: holds it or is named for it, and is not the person."""
        signer = Signer(self.by, standings(self.book, self.signer, self.today), named_for(self.by, self.today))
        refused = signer.refusal(self.rule, self.person.pk)
        if refused:
            raise errors.NotAuthorisedError(refused)
        self.right = signer.right(self.task.code)

    def check_supervisor(self) -> None:
        """The signer is a supervisor and not the person."""
        if self.by.pk == self.person.pk:
            raise errors.NotAuthorisedError("Nobody signs for themself.")
        if not self.by.has_role(Role.SUPERVISOR):
            raise errors.NotAuthorisedError("This is for a supervisor to sign.")

    def check_not_suspended(self) -> None:
        state = self.standing()
        if state.state is State.SUSPENDED:
            raise errors.SuspendedError(state.reasons)

    def seen(self, before: Standing) -> dict[str, Json]:
        """What stood behind the signature, to be signed with it."""
        issue = self.book.issue_on(self.task.code, self.on)
        progress = mastery_progress(self.rule, self.dossier.results[self.task.code])
        return {
            "signed_by_right": self.right,
            "state_before": str(before.state),
            "missing": list(before.missing),
            "rule_revision": issue.number if issue else None,
            "lessons_read": [
                f"{each.lesson} on {each.read_on.isoformat()}" for each in self.dossier.readings[self.task.code]
            ],
            "drills": {
                "series": len(progress.series),
                "right": progress.last.right,
                "answers": len(progress.last.answers),
                "scenarios": progress.last.scenarios,
                "decision": str(progress.last.decision),
            }
            if progress
            else None,
        }

    def append(
        self,
        kind: Kind,
        *,
        meaning: str,
        reason: str,
        evidence: Mapping[str, Json] | None = None,
        about: Event | None = None,
        restriction: str = "",
        until_on: date | None = None,
        token: UUID | None = None,
    ) -> Event:
        event = ledger.append(
            person=self.person, task=self.task, kind=kind, effective_on=self.on, by=self.by, meaning=meaning, reason=reason,
            at=self.at, evidence=evidence, about=about, restriction=restriction, until_on=until_on, token=token,
        )  # fmt: skip
        self.dossier.events[self.task.code].append(rule_event(event))
        keep(self.book, [self.dossier], self.at)
        return event


def open_case(person: Person, task: Task, by: Person, on: date, at: datetime) -> Case:
    """Hold the person's line and gather what is known. Call inside a transaction."""
    ledger.lock_line(person)
    dossiers = load_dossiers({person.pk: person, by.pk: by}.values())
    return Case(person, task, by, on, at, load_book(), dossiers[person.pk], dossiers[by.pk])


def entered_before(token: UUID | None, person: Person, task: Task, by: Person, kind: Kind) -> Event | None:
    """The event that this form made already, if any. Call while the line is held."""
    earlier = Event.objects.filter(token=token).first() if token else None
    if earlier and (earlier.person_id, earlier.task_id, earlier.entered_by_id, earlier.kind) != (
        person.pk,
        task.pk,
        by.pk,
        kind,
    ):
        raise ledger.TokenUsedError(earlier)
    return earlier
