"""Every signature about a person and a task, and the table that is kept in step with them.

Each service takes the signer (``by``), the reason, the day it takes effect (``on``) and the instant of signing (``at``);
locks the person's line; checks authority and state at that moment; appends one event; and works out the person's
standing anew in the same transaction. The same ``token`` twice enters nothing twice. All raise ``StandingError``s.
"""

from assessments.standing.services.evidence import record_occurrence, record_work
from assessments.standing.services.rulebook import issue_rule, name_signatory
from assessments.standing.services.signatures import (
    correct,
    countersign,
    grant,
    lift_restriction,
    reinstate,
    renew,
    restrict,
    suspend,
    withdraw,
)
from assessments.standing.services.table import rebuild, refresh, refresh_people

__all__ = [
    "correct",
    "countersign",
    "grant",
    "issue_rule",
    "lift_restriction",
    "name_signatory",
    "rebuild",
    "record_occurrence",
    "record_work",
    "refresh",
    "refresh_people",
    "reinstate",
    "renew",
    "restrict",
    "suspend",
    "withdraw",
]
