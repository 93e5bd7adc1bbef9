"""Every method, found by being there: a file in this folder with one `METHOD`."""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache

from assessments.engine.errors import UnknownNameError
from assessments.engine.method import Method


@cache
def all_methods() -> dict[str, Method]:
    """Name to method, in the order of their numbers."""
    modules = (importlib.import_module(f"{__name__}.{module.name}") for module in pkgutil.iter_modules(__path__))
    return {method.name: method for method in sorted((m.METHOD for m in modules), key=lambda one: one.number)}


def find_method(name: str) -> Method:
    """The method of that name. Raises UnknownNameError."""
    try:
        return all_methods()[name]
    except KeyError:
        raise UnknownNameError(what="method", name=name) from None
