"""The signatures that have a page, each with its words, its roles and its service."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.utils.timezone import localdate

from assessments.ledger.models import Meaning
from assessments.standing import services
from assessments.standing.signers import SIGNERS
from courses.people.roles import Role

if TYPE_CHECKING:
    from collections.abc import Callable

    from assessments.ledger.models import Event

SUPERVISOR = (Role.SUPERVISOR,)


@dataclass(frozen=True, slots=True)
class ActPage:
    """One kind of signature as a page. ``about``: it answers an event that is named in the address;
    ``may_be_dated_back``: what stops somebody may take effect on an earlier day than that of signing;
    ``lead_of_two``: what is said instead of ``lead`` where the rule asks for a second signature.
    """

    name: str
    title: str
    lead: str
    button: str
    service: Callable[..., Event]
    roles: tuple[Role, ...] = SUPERVISOR
    meaning: Meaning = Meaning.AUTHORISED
    until_label: str = ""
    asks_restriction: bool = False
    may_be_dated_back: bool = False
    about: str = ""
    lead_of_two: str = ""
    is_grave: bool = False

    def sign(self, *, event: Event | None, **said: Any) -> Event:
        """Call the service with what was said."""
        if not self.may_be_dated_back:
            said["on"] = localdate(said["at"])
        if self.about == "event":
            for named in ("person", "task", "on"):
                del said[named]
        return self.service(**said, **({self.about: event} if self.about else {}))


ACTS = {
    act.name: act
    for act in (
        ActPage(
            "grant", "Grant", "From today on the person may do this task alone.", "Sign the grant",
            services.grant, roles=SIGNERS, until_label="Only up to",
            lead_of_two="Two people sign for this task. Your grant lets nobody do it yet: it counts only once a second "
            "person has countersigned.",
        ),
        ActPage(
            "renew", "Renew", "A new term begins today.", "Sign the renewal",
            services.renew, roles=SIGNERS, until_label="Only up to",
            lead_of_two="Two people sign for this task. Your renewal counts only once a second person has countersigned; "
            "until then the old term runs on to its own end.",
        ),
        ActPage(
            "countersign", "Countersign", "This task takes two signatures. Yours is the second; the grant counts from then on.",
            "Sign as the second", services.countersign, roles=SIGNERS, meaning=Meaning.APPROVED,
        ),
        ActPage(
            "suspend", "Suspend", "From that day on the person may not do this task. It ends only by a reinstatement.",
            "Sign the suspension", services.suspend, until_label="Look at it again by", may_be_dated_back=True, is_grave=True,
        ),
        ActPage("reinstate", "Reinstate", "The suspension ends today.", "Sign the reinstatement", services.reinstate),
        ActPage(
            "restrict", "Restrict", "The task is held under a condition until a supervisor lifts it.", "Sign the restriction",
            services.restrict, until_label="Look at it again by", asks_restriction=True, may_be_dated_back=True, is_grave=True,
        ),
        ActPage(
            "lift", "Lift a restriction", "The condition ends today.", "Sign the lifting",
            services.lift_restriction, about="about",
        ),
        ActPage(
            "withdraw", "Withdraw", "The grant is taken back. It takes fresh evidence and a new grant to hold the task again.",
            "Sign the withdrawal", services.withdraw, may_be_dated_back=True, is_grave=True,
        ),
        ActPage(
            "correct", "Correct an entry",
            "The entry was a mistake and is to count for nothing. It stays in the record, and so does this correction.",
            "Sign the correction", services.correct, about="event", is_grave=True,
        ),
    )
}  # fmt: skip
