r"""The chain that ties each event of a person's line to the one before it. Pure: no Django, no clock.

The canonical form, byte for byte, so that a third party can check a printed line with ten lines of
code in any language:

- One JSON object with two members: ``facts`` (what was signed) and ``previous_hash``.
- Members sorted by name at every depth; separators ``,`` and ``:`` with no spaces.
- Only ASCII: every other character is written ``\uXXXX``, in lower-case hexadecimal.
- Values are objects, arrays, strings, whole numbers, true, false and null. No fractions: databases do not give
  back every fraction as it was written, so a measured value goes in as text.
- Days are ``2027-03-14``; instants are UTC to the microsecond, ``2027-03-14T09:26:53.589793Z``.

The hash is SHA-256 (FIPS 180-4) of those bytes, in lower-case hexadecimal. The first event of a line
follows ``START``. Since the previous hash is part of what is hashed, an event can be neither moved,
nor dropped from the middle, nor carried to another person's line, without the chain showing it. A cut
tail is found by holding the line's length and head against what was noted apart from it (``first_break``'s
``length`` and ``head``), or against the hash on a printed record.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TypeAlias

Json: TypeAlias = "Mapping[str, Json] | list[Json] | tuple[Json, ...] | str | int | bool | None"

START = "0" * 64


class NotCanonicalError(ValueError):
    """A value has no one agreed way of being written. ``path`` says where it stands."""

    def __init__(self, path: str, value: object) -> None:
        self.path = path
        super().__init__(
            f"{path} holds {value!r}: only text, whole numbers, yes/no, nothing, lists and objects can be signed."
        )


def instant(moment: datetime) -> str:
    """An instant as it stands in the canonical form: UTC, microseconds, ``Z``."""
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def canonical(value: Json) -> bytes:
    """The one agreed spelling of a document. Raises ``NotCanonicalError`` where there is none."""
    _check(value, "the document")
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=True).encode("ascii")


def link(previous_hash: str, facts: Mapping[str, Json]) -> str:
    """The hash of an event that follows ``previous_hash`` and says ``facts``."""
    return hashlib.sha256(canonical({"facts": facts, "previous_hash": previous_hash})).hexdigest()


@dataclass(frozen=True, slots=True)
class Link:
    """One event of a line as it is stored."""

    sequence: int
    previous_hash: str
    facts: Mapping[str, Json]
    hash: str


@dataclass(frozen=True, slots=True)
class Break:
    """The first place where a line does not hold: at which event, and what is wrong there."""

    sequence: int
    what: str


def first_break(line: Iterable[Link], *, length: int | None = None, head: str | None = None) -> Break | None:
    """Walk a line from its start and name the first thing that does not hold; None if it is whole.

    ``length`` and ``head``, where known from elsewhere, say where the line must end. Reads each link once.
    """
    before = START
    count = 0
    for count, each in enumerate(line, start=1):
        if what := _fault_of(each, count, before):
            return Break(count, what)
        before = each.hash
    if length is not None and count != length:
        return Break(min(count, length) + 1, f"the line has {count} events, {length} were entered")
    if head is not None and before != head:
        return Break(count, f"event {count} is not the one that was entered last")
    return None


def _fault_of(each: Link, count: int, before: str) -> str | None:
    if each.sequence != count:
        return f"event {count} is missing; event {each.sequence} stands in its place"
    if each.previous_hash != before:
        return f"event {count} does not follow the event before it"
    try:
        right = link(before, each.facts)
    except NotCanonicalError as error:
        return f"event {count} holds what cannot have been signed: {error}"
    return None if each.hash == right else f"event {count} does not say what was signed"


def _check(value: object, path: str) -> None:
    if isinstance(value, Mapping):
        for key, part in value.items():
            if not isinstance(key, str):
                raise NotCanonicalError(path, key)
            _check(part, f"{path}.{key}")
    elif isinstance(value, list | tuple):
        for place, part in enumerate(value):
            _check(part, f"{path}[{place}]")
    elif not isinstance(value, str | int | bool | None) or (isinstance(value, str) and "\x00" in value):
        raise NotCanonicalError(path, value)
