from __future__ import annotations

import inspect

from assessments.standing import errors


def test_every_refusal_of_a_signature_is_a_standing_error():
    found = [each for _name, each in inspect.getmembers(errors, inspect.isclass) if issubclass(each, Exception)]
    assert len(found) > 10
    assert all(issubclass(each, errors.StandingError) and each.__name__.endswith("Error") for each in found)
