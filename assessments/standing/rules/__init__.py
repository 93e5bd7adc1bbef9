"""Where a person stands with a task on a day: worked out from the rule, the events and the evidence, nothing else.

Pure: no Django, no database, no clock. Days are days of the plant's own calendar. What holds throughout:

- What took effect, was done or was seen after the day asked about does not count.
- A correction voids what it corrects, whenever it was entered; a corrected correction gives that back.
- Where the events leave two readings open, the one that lets fewer people work is taken. So a suspension ends only by
  a reinstatement entered after it, a withdrawal ends every grant entered or effective before it, and a day named on a
  suspension or restriction ends neither.
- A grant or a renewal signed by the person themself does not count. Where the rule asks for a second signature it counts
  only from the countersignature of a third person on; its term runs from its own day all the same.
- Sentences name days, never "14 months ago", so that an answer stays true word for word until ``steady_until``.

Published rules behind the fields: valid for a time, 29 CFR 1910.178(l)(4)(iii), ISO 9712; practised or lost, ISO 9606-1 9.2,
ASME IX QW-322; long interruption, ISO 9712 (2005 text); renewal window, ISO 9712 practice; refresher calls, 29 CFR
1910.178(l)(4)(ii), 1910.147(c)(7)(iii); who decides took no part, ISO/IEC 17024. The reading of each is ours.
"""

from assessments.standing.rules.counting import in_force, open_restrictions, suspension, voided, was_granted
from assessments.standing.rules.missing import mastery_progress, scenarios_short
from assessments.standing.rules.signing import latest_last_day, refusal_to_sign
from assessments.standing.rules.states import standing, without_rule
from assessments.standing.rules.values import (
    Absence,
    Act,
    Event,
    Evidence,
    Interruption,
    Kind,
    MajorRevision,
    Occurrence,
    Reading,
    RenewalWindow,
    Result,
    Rule,
    Standing,
    State,
)

__all__ = [
    "Absence",
    "Act",
    "Event",
    "Evidence",
    "Interruption",
    "Kind",
    "MajorRevision",
    "Occurrence",
    "Reading",
    "RenewalWindow",
    "Result",
    "Rule",
    "Standing",
    "State",
    "in_force",
    "latest_last_day",
    "mastery_progress",
    "open_restrictions",
    "refusal_to_sign",
    "scenarios_short",
    "standing",
    "suspension",
    "voided",
    "was_granted",
    "without_rule",
]
