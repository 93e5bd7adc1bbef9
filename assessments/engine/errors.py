"""Everything the engine can refuse. Each error carries its data and says itself in one sentence."""

from __future__ import annotations


class EngineError(Exception):
    """Base of all refusals of the engine."""


class UnreadableQuantityError(EngineError):
    """Typed text that is no quantity of the kind asked for.

    `reason` is a sentence for the person who typed it; `hint` says what would be read.
    """

    def __init__(self, *, text: str, reason: str, hint: str) -> None:
        super().__init__(text, reason, hint)
        self.text = text
        self.reason = reason
        self.hint = hint

    def __str__(self) -> str:
        return f"{self.reason} {self.hint}"


class ImpossibleReadingError(EngineError):
    """A reading, or a set of readings, that no machine could give."""

    def __init__(self, *, name: str, value: float, reason: str) -> None:
        super().__init__(name, value, reason)
        self.name = name
        self.value = value
        self.reason = reason

    def __str__(self) -> str:
        return self.reason


class OutOfRangeError(EngineError):
    """A size that the instrument cannot read."""

    def __init__(self, *, instrument: str, value: float, low: float, high: float, unit: str) -> None:
        super().__init__(instrument, value, low, high, unit)
        self.instrument = instrument
        self.value = value
        self.low = low
        self.high = high
        self.unit = unit

    def __str__(self) -> str:
        return (
            f"{self.instrument} reads from {self.low:g} to {self.high:g} {self.unit}; "
            f"{self.value:g} {self.unit} is beyond it."
        )


class BadLimitError(EngineError):
    """A limit that cannot be one: low above high, not a number, or with neither side."""

    def __init__(self, *, low: float | None, high: float | None, reason: str) -> None:
        super().__init__(low, high, reason)
        self.low = low
        self.high = high
        self.reason = reason

    def __str__(self) -> str:
        return self.reason


class BadScenarioError(EngineError):
    """A scenario that does not fit its method: something is missing, unknown or of the wrong kind."""

    def __init__(self, *, scenario: str, reason: str) -> None:
        super().__init__(scenario, reason)
        self.scenario = scenario
        self.reason = reason

    def __str__(self) -> str:
        return self.reason


class UnfairScenarioError(EngineError):
    """Too few draws are fair: in the others the verdict hangs on the last line of the instrument."""

    def __init__(self, *, scenario: str, tried: int, remedy: str, fair_share: float = 0.0) -> None:
        super().__init__(scenario, tried, remedy, fair_share)
        self.scenario = scenario
        self.tried = tried
        self.remedy = remedy
        self.fair_share = fair_share

    def __str__(self) -> str:
        if self.fair_share > 0:
            return (
                f"Only {self.fair_share * 100:.0f} % of {self.tried} draws are fair: in the others the verdict hangs on the "
                f"last line of the instrument. {self.remedy}"
            )
        return (
            f"None of {self.tried} draws was fair: the verdict hangs on the last line of the instrument. {self.remedy}"
        )


class UnknownNameError(EngineError):
    """No method or instrument of that name."""

    def __init__(self, *, what: str, name: str) -> None:
        super().__init__(what, name)
        self.what = what
        self.name = name

    def __str__(self) -> str:
        return f"There is no {self.what} called {self.name!r}."


class BadOrderError(EngineError):
    """Steps or screws that are no order: one is missing, there twice, or not known. step: which one."""

    def __init__(self, *, step: str, reason: str) -> None:
        super().__init__(step, reason)
        self.step = step
        self.reason = reason

    def __str__(self) -> str:
        return self.reason


class CircularOrderError(EngineError):
    """Steps that would have to come before themselves. circle: begins and ends with the same step."""

    def __init__(self, *, circle: tuple[str, ...]) -> None:
        super().__init__(circle)
        self.circle = circle

    def __str__(self) -> str:
        return f"The order goes round in a circle: {' before '.join(self.circle)}."
