"""Passwords that are refused although they are long enough, with the reason in words.

NIST SP 800-63B-4, 3.1.1.2: a blocklist of common, expected and context-specific passwords, and the reason told;
no rules about kinds of characters, no forced change. The length and the list of common passwords are Django's
own validators (see AUTH_PASSWORD_VALIDATORS).
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from django.conf import settings
from django.core.exceptions import ValidationError

from courses.people.models import Person

_TRADE = (
    "turbine turbines bearing bearings journal liner rotor casing governor nozzle packing carbon coupling clearance"
    " alignment overspeed trip valve lever linkage spindle stem micrometer gauge feeler steam plant crew shift workshop"
    " maintenance mechanic apprentice fitter fitting instructor assessor supervisor school lesson drill"
)
_EVERYDAY = (
    "password passwort passw0rd pa55word letmein welcome qwerty qwertyuiop asdfghjkl zxcvbnm iloveyou admin"
    " administrator changeme secret monday tuesday wednesday thursday friday saturday sunday january february march"
    " april june july august september october november december spring summer autumn winter football"
)
TRADE_WORDS = frozenset(_TRADE.split())
EVERYDAY_WORDS = frozenset(_EVERYDAY.split())
ROWS = ("abcdefghijklmnopqrstuvwxyz", "01234567890123456789", "qwertyuiop", "asdfghjkl", "zxcvbnm")
SHORTEST_WORD = 4  # shorter words are left in the password: they stand inside too many others
OWN_PART = 8  # characters that must remain when every expected word is taken out
LONGEST_PIECE = 14  # a longer piece would do as a password by itself
RUN = 4  # neighbours on the keyboard, in the alphabet or in counting


class PlantWordsValidator:
    """Refuses what somebody who knows the plant and the person would try first."""

    def validate(self, password: str, user: object = None) -> None:
        """Raise ValidationError, saying what was expected about the password."""
        plain = _without_spaces(password)
        piece = _repeated_piece(plain)
        if piece:
            raise ValidationError(
                f"This is a short piece repeated ({piece[:12]}). Choose words that do not repeat.",
                code="piece_repeated",
            )
        words = TRADE_WORDS | EVERYDAY_WORDS | _words_about(user)
        rest = _without_runs(_without(plain, words))
        if len(rest) < OWN_PART:
            raise ValidationError(
                "This is made of words that anyone here would try: names, the crew, the site, words of the trade, "
                "or keys in a row. Add something that only you would think of.",
                code="plant_words",
            )

    def get_help_text(self) -> str:
        return (
            "Not made of your own name, your crew, the site's name or words of the trade alone. "
            "Three or four words that have nothing to do with each other are good. Spaces are allowed."
        )


def _without_spaces(text: str) -> str:
    """The text in small letters, run together."""
    return "".join(text.casefold().split())


def _words_about(user: object) -> frozenset[str]:
    said: list[str] = [settings.SITE_NAME]
    if isinstance(user, Person):
        said += [user.username, user.full_name, user.job_title]
        if user.crew is not None:
            said += [user.crew.name, user.crew.shift]
    words = {word for text in said for word in re.findall(r"\w+", text.casefold())}
    words |= {_without_spaces(text) for text in said}
    return frozenset(word for word in words if len(word) >= SHORTEST_WORD)


def _without(text: str, words: Iterable[str]) -> str:
    for word in sorted(words, key=len, reverse=True):
        text = text.replace(word, " ")
    return text.replace(" ", "")


def _repeated_piece(text: str) -> str:
    """The short piece that makes up the whole text when said over and over, twice at least; empty if there is none."""
    for length in range(1, min(len(text) // 2, LONGEST_PIECE) + 1):
        if text[length:] == text[:-length]:
            return text[:length]
    return ""


def _without_runs(text: str) -> str:
    """The text without runs of one character or of neighbours, forwards or backwards."""
    text = re.sub(r"(.)\1{3,}", "", text)
    kept, at = [], 0
    while at < len(text):
        length = max(_run_at(text, at, row) for way in ROWS for row in (way, way[::-1]))
        if length >= RUN:
            at += length
        else:
            kept.append(text[at])
            at += 1
    return "".join(kept)


def _run_at(text: str, at: int, row: str) -> int:
    length = 0
    while at + length < len(text) and text[at : at + length + 1] in row:
        length += 1
    return length
