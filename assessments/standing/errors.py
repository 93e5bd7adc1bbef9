"""Why a signature was refused. Each error is a sentence for the person who wanted to sign."""

from __future__ import annotations

from typing import TYPE_CHECKING

from assessments.standing.calendar import in_words

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from assessments.standing.rules import State


class StandingError(ValueError):
    """A signature that cannot be. Nothing was entered."""


class NotAuthorisedError(StandingError):
    """The signer may not sign this, for this person."""


class NoRuleError(StandingError):
    def __init__(self, code: str, on: date) -> None:
        super().__init__(f"No rule is in force for {code} on {in_words(on)}.")


class NotYetError(StandingError):
    def __init__(self, on: date) -> None:
        self.on = on
        super().__init__(f"{in_words(on)} has not come yet. Enter it on the day.")


class OnTheDayError(StandingError):
    """A signature that lets somebody work takes effect on the day on which it is given, and on no other."""

    def __init__(self, on: date, today: date) -> None:
        self.on = on
        super().__init__(f"This takes effect on the day of signing, {in_words(today)}, and not on {in_words(on)}.")


class LastDayError(StandingError):
    def __init__(self, on: date, latest: date) -> None:
        super().__init__(f"The last day lies between {in_words(on)} and {in_words(latest)}.")


class OutOfOrderError(StandingError):
    """Something later was already entered for this person and task."""

    def __init__(self, last: date) -> None:
        self.last = last
        super().__init__(f"The last entry took effect on {in_words(last)}; this one cannot take effect before it.")


class SuspendedError(StandingError):
    def __init__(self, reasons: Sequence[str]) -> None:
        super().__init__(f"{' '.join(reasons)} It takes a reinstatement first.")


class NotSuspendedError(StandingError):
    def __init__(self, state: State) -> None:
        super().__init__(f"There is no suspension to end: the state is {state}.")


class AlreadySuspendedError(StandingError):
    def __init__(self, reasons: Sequence[str]) -> None:
        super().__init__(" ".join(reasons))


class AlreadyHeldError(StandingError):
    def __init__(self, state: State) -> None:
        super().__init__(f"The task is held already ({state}). Renew it instead.")


class RenewInsteadError(StandingError):
    def __init__(self, reasons: Sequence[str]) -> None:
        super().__init__(f"{' '.join(reasons)} Renew it instead of granting it anew.")


class NotHeldError(StandingError):
    def __init__(self, state: State) -> None:
        super().__init__(f"There is no grant to act on: the state is {state}.")


class NotReadyError(StandingError):
    """The rule asks for evidence that is not there. ``missing`` lists it."""

    def __init__(self, missing: Sequence[str]) -> None:
        self.missing = tuple(missing)
        super().__init__(f"Still missing: {'; '.join(missing)}.")


class OutsideWindowError(StandingError):
    def __init__(self, opens: date, closes: date) -> None:
        super().__init__(f"A renewal counts from {in_words(opens)} to {in_words(closes)}.")


class StartAgainError(StandingError):
    def __init__(self, reasons: Sequence[str]) -> None:
        super().__init__(f"{' '.join(reasons)} It takes a new grant.")


class WaitsForSecondError(StandingError):
    def __init__(self) -> None:
        super().__init__("A signature already waits for a second one. Countersign or correct that first.")


class NothingWaitsError(StandingError):
    def __init__(self) -> None:
        super().__init__("No signature waits for a second one.")


class NoSuchRestrictionError(StandingError):
    def __init__(self) -> None:
        super().__init__("That restriction is not in force.")


class AlreadyCorrectedError(StandingError):
    def __init__(self) -> None:
        super().__init__("That entry has been corrected already.")


class DoesNotHelpError(StandingError):
    """The signature would count for nothing: the task would still not be held."""

    def __init__(self, reasons: Sequence[str]) -> None:
        super().__init__(f"With this signature the task would still not be held. {' '.join(reasons)}")
