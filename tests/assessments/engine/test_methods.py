from __future__ import annotations

import pytest

from assessments.engine.errors import UnknownNameError
from assessments.engine.methods import all_methods, find_method


def test_methods_come_in_the_order_of_their_numbers():
    numbers = [method.number for method in all_methods().values()]

    assert numbers == sorted(set(numbers))


def test_a_method_is_found_by_its_name():
    for name, method in all_methods().items():
        assert find_method(name) is method
        assert method.name == name


def test_an_unknown_method_is_said_to_be_unknown():
    with pytest.raises(UnknownNameError, match="There is no method called 'guesswork'"):
        find_method("guesswork")
