"""Who wants to sign, what they hold themself, and what they are named for: one answer for the pages and the services."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db.models import Q

from assessments.standing.models import Signatory
from assessments.standing.rules import Act, Rule, Standing, State, refusal_to_sign
from courses.people.roles import Role

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from courses.people.models import Person

SIGNERS = (Role.SUPERVISOR, Role.ASSESSOR)
SECOND_IS_ANOTHER = "The second signature takes another person than the first."


def named_for(person: Person, on: date) -> frozenset[str]:
    """The codes of the tasks for which a person is named in writing on a day. One query."""
    named = Signatory.objects.filter(person=person, named_on__lte=on).filter(Q(ended_on=None) | Q(ended_on__gt=on))
    return frozenset(named.values_list("task__code", flat=True))


@dataclass(frozen=True, slots=True)
class Signer:
    """``own``: where the signer stands by task code on the day; a task that is not there was never held."""

    person: Person
    own: Mapping[str, Standing]
    named: frozenset[str]

    def holds(self, code: str) -> bool:
        return code in self.own and self.own[code].state.holds

    def right(self, code: str) -> str:
        """By which right the signer signs, as it goes into what is signed."""
        return "holds the task" if self.holds(code) else "named for the task"

    def refusal(self, rule: Rule, person_pk: int, answer: Standing | None = None) -> str | None:
        """Why this signer may not grant, renew or countersign for a person, as a sentence; None if they may.

        ``answer``: where that person stands; who signed first cannot be the second.
        """
        refused = refusal_to_sign(
            rule,
            signer=self.person.pk,
            person=person_pk,
            roles=self.person.roles if self.person.is_active else (),
            own=self.own.get(rule.task, Standing(State.NOT_STARTED, ())),
            is_named=rule.task in self.named,
        )
        if refused is None and answer and answer.next_act is Act.COUNTERSIGN and answer.first_signer == self.person.pk:
            return SECOND_IS_ANOTHER
        return refused
