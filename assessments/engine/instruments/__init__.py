"""Every instrument, found by being there: a file in this folder with a tuple `INSTRUMENTS`."""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache

from assessments.engine.errors import UnknownNameError
from assessments.engine.instrument import Instrument


@cache
def all_instruments() -> dict[str, Instrument]:
    """Name to instrument, in the order of files and of their tuples."""
    found: dict[str, Instrument] = {}
    for module in sorted(pkgutil.iter_modules(__path__), key=lambda one: one.name):
        for instrument in importlib.import_module(f"{__name__}.{module.name}").INSTRUMENTS:
            found[instrument.name] = instrument
    return found


def find_instrument(name: str) -> Instrument:
    """The instrument of that name. Raises UnknownNameError."""
    try:
        return all_instruments()[name]
    except KeyError:
        raise UnknownNameError(what="instrument", name=name) from None
