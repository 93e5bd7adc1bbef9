"""The values that the rules work with: what a task asks, what was signed, what is known, and the answer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from assessments.standing.mastery import SequentialTest


class State(StrEnum):
    NOT_STARTED = "not started"
    IN_TRAINING = "in training"
    READY = "ready for sign-off"
    QUALIFIED = "qualified"
    DUE = "due"
    LAPSED = "lapsed"
    SUSPENDED = "suspended"
    WITHDRAWN = "withdrawn"

    @property
    def holds(self) -> bool:
        """May do the task that day."""
        return self in {State.QUALIFIED, State.DUE}


class Act(StrEnum):
    """The next signature that a standing waits for."""

    GRANT = "a grant"
    COUNTERSIGN = "a second signature"
    RENEW = "a renewal"
    REINSTATE = "a reinstatement"


class Kind(StrEnum):
    """The kinds of event, in the ledger's words (a test holds the two lists together)."""

    GRANTED = "granted"
    COUNTERSIGNED = "countersigned"
    RENEWED = "renewed"
    RESTRICTED = "restricted"
    RESTRICTION_LIFTED = "restriction lifted"
    SUSPENDED = "suspended"
    REINSTATED = "reinstated"
    WITHDRAWN = "withdrawn"
    CORRECTION = "correction"


@dataclass(frozen=True, slots=True)
class Interruption:
    """Away too long: over ``stretch_months`` at once, or two or more spells of over ``total_days`` together.

    Spells shorter than ``ignore_under_days`` are left out (ISO 9712, 2005 text: 1 year, 2 years, 30 days).
    """

    stretch_months: int = 12
    total_days: int = 730
    ignore_under_days: int = 30


@dataclass(frozen=True, slots=True)
class RenewalWindow:
    """A renewal counts from so many months before the end to so many after it (ISO 9712 practice: 6 and 12)."""

    months_before: int = 6
    months_after: int = 12


@dataclass(frozen=True, slots=True)
class Rule:
    """What a task asks, in one revision of its rule. None means: not asked.

    ``scenarios_least``: the right answers of the series that passes come from at least so many different scenarios, so
    that nobody gets through on the easiest one alone.
    """

    task: str
    valid_months: int | None = None
    notice_days: int = 0
    practised_every_months: int | None = None
    tasks_first: tuple[str, ...] = ()
    lessons: tuple[str, ...] = ()
    mastery: SequentialTest | None = None
    scenarios_least: int | None = None
    revision_grace_days: int | None = None
    interruption: Interruption | None = None
    renewal: RenewalWindow | None = None
    refresher_days: int | None = None
    second_signature: bool = False
    signed_by_roles: tuple[str, ...] = ("assessor", "supervisor")


@dataclass(frozen=True, slots=True)
class Event:
    """One event of the person's line that concerns the task."""

    sequence: int
    kind: Kind
    effective_on: date
    by: int
    about: int | None = None
    restriction: str = ""
    until_on: date | None = None
    reason: str = ""
    signed_name: str = ""


@dataclass(frozen=True, slots=True)
class Reading:
    """A lesson read. ``is_current``: nothing major changed in it since."""

    lesson: str
    read_on: date
    is_current: bool


@dataclass(frozen=True, slots=True)
class Result:
    """A drill handed in, and the scenario that it drew."""

    on: date
    is_right: bool
    is_unsafe: bool = False
    scenario: str = ""


@dataclass(frozen=True, slots=True)
class Absence:
    """Away from the work from one day to another, both counted; ``to_on`` None: not back yet."""

    from_on: date
    to_on: date | None = None


@dataclass(frozen=True, slots=True)
class Occurrence:
    """Something seen that calls for a refresher."""

    on: date
    what: str


@dataclass(frozen=True, slots=True)
class MajorRevision:
    """A revision of the task's procedure that was marked major."""

    number: int
    issued_on: date


@dataclass(frozen=True, slots=True)
class Evidence:
    """What is known of the person, apart from the signed events. Results stand in the order of handing in."""

    person: int
    work_done: tuple[date, ...] = ()
    readings: tuple[Reading, ...] = ()
    results: tuple[Result, ...] = ()
    absences: tuple[Absence, ...] = ()
    occurrences: tuple[Occurrence, ...] = ()
    major_revisions: tuple[MajorRevision, ...] = ()
    other_tasks: Mapping[str, Standing] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Standing:
    """The answer. ``until`` is the last day on which it holds or held, None where no end is known or it never held.

    ``next_act`` is the signature that comes next, if any; ``missing`` is the evidence that it still waits for.
    A renewal asks that the lessons are read as they now are and the tasks that come first are held; a grant also asks
    for drill mastery. ``renew_from`` and ``renew_by`` bound the days on which a renewal
    would count. ``steady_until`` is the last day on which this answer stays true if nothing new is entered; None: for good.
    ``awaits_countersign`` is the event that waits for its second signature, ``first_signer`` who signed it.
    """

    state: State
    reasons: tuple[str, ...]
    until: date | None = None
    restrictions: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    next_act: Act | None = None
    renew_from: date | None = None
    renew_by: date | None = None
    steady_until: date | None = None
    awaits_countersign: int | None = None
    first_signer: int | None = None
