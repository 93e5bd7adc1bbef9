from __future__ import annotations

import inspect

import pytest

from assessments.engine import errors
from assessments.engine.errors import (
    BadLimitError,
    BadOrderError,
    BadScenarioError,
    CircularOrderError,
    EngineError,
    ImpossibleReadingError,
    OutOfRangeError,
    UnfairScenarioError,
    UnknownNameError,
    UnreadableQuantityError,
)

SAID = [
    (
        UnreadableQuantityError(text="x mm", reason="There is no number in it.", hint="Write it like 0.06 mm."),
        "There is no number in it. Write it like 0.06 mm.",
    ),
    (
        ImpossibleReadingError(name="w1", value=0.2, reason="A strip cannot be narrower than it was."),
        "A strip cannot be narrower than it was.",
    ),
    (
        OutOfRangeError(instrument="Outside micrometer", value=51.2, low=25.0, high=50.0, unit="mm"),
        "Outside micrometer reads from 25 to 50 mm; 51.2 mm is beyond it.",
    ),
    (BadLimitError(low=2.0, high=1.0, reason="Low above high."), "Low above high."),
    (BadScenarioError(scenario="s", reason="The strip is missing."), "The strip is missing."),
    (
        UnfairScenarioError(scenario="s", tried=200, remedy="Take the finer micrometer."),
        "None of 200 draws was fair: the verdict hangs on the last line of the instrument. Take the finer micrometer.",
    ),
    (BadOrderError(step="lift", reason="This step was left out: lift."), "This step was left out: lift."),
    (CircularOrderError(circle=("a", "b", "a")), "The order goes round in a circle: a before b before a."),
    (UnknownNameError(what="method", name="guess"), "There is no method called 'guess'."),
]


@pytest.mark.parametrize(("error", "sentence"), SAID, ids=lambda case: type(case).__name__)
def test_an_error_says_itself_in_a_sentence(error, sentence):
    assert str(error) == sentence


@pytest.mark.parametrize("error", [error for error, _ in SAID], ids=lambda error: type(error).__name__)
def test_an_error_carries_its_data_and_is_one_of_the_engine(error):
    names = list(inspect.signature(type(error).__init__).parameters)[1:]

    assert isinstance(error, EngineError)
    assert error.args == tuple(getattr(error, name) for name in names)


def test_every_error_of_the_engine_is_checked_here():
    written = {
        error
        for error in vars(errors).values()
        if inspect.isclass(error) and issubclass(error, EngineError) and error is not EngineError
    }

    assert {type(error) for error, _ in SAID} == written


def test_a_quantity_error_can_be_caught_as_an_error_of_the_engine():
    with pytest.raises(EngineError):
        raise UnreadableQuantityError(text="", reason="Nothing was typed.", hint="")
