"""Numbers by chance from a stream that is specified, so that a draw is the same on any machine, any year.

The generator is SplitMix64: output n of seed s is ``mix(s + n * GAMMA)`` on 64-bit words.
G. L. Steele, D. Lea and C. H. Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014,
figure 17 (the constants of variant 13 of D. Stafford's mixers). Any word of the stream can be had by its number alone, so a draw takes its own
slice of it, whether it is drawn alone or among ten thousand.
"""

from __future__ import annotations

import hashlib

import numpy as np
from numpy.typing import NDArray

from assessments.engine.kinds import Array

GAMMA = np.uint64(0x9E3779B97F4A7C15)
_FIRST = np.uint64(0xBF58476D1CE4E5B9)
_SECOND = np.uint64(0x94D049BB133111EB)
_PARTS = 4
_TO_UNIT = 2.0**-16

WORDS_A_TRY = 16
"""Words of the stream kept for one try at a draw: 64 numbers, more than any method asks for."""

Words = NDArray[np.uint64]


def key_of(name: str) -> int:
    """The seed of a scenario revision's stream: the first eight bytes of the SHA-256 of its name."""
    return int.from_bytes(hashlib.sha256(name.encode()).digest()[:8], "big")


def mix(words: Words) -> Words:
    """SplitMix64's mixing of 64-bit words; works on a fresh array."""
    mixed = words ^ (words >> np.uint64(30))
    mixed *= _FIRST
    mixed ^= mixed >> np.uint64(27)
    mixed *= _SECOND
    mixed ^= mixed >> np.uint64(31)
    return mixed


def stream(key: int, numbers: Words) -> Words:
    """The outputs of the given numbers (from 0) of the stream of a seed."""
    return mix(np.uint64(key) + (numbers + np.uint64(1)) * GAMMA)


def uniforms(key: int, tries: Words, count: int) -> list[Array]:
    """`count` arrays of numbers between 0 and 1 (never either), one entry for each try.

    tries: the numbers of the tries; each owns WORDS_A_TRY words of the stream, so `count` is at most four
    times that. Each word gives four numbers of 16 bits, the lowest first: 65,536 places in a range, finer than
    any shop instrument divides it. The stream has 2**60 tries; the numbers of tries wrap round there.
    """
    first = tries * np.uint64(WORDS_A_TRY)
    found: list[Array] = []
    for index in range(-(-count // _PARTS)):
        words = stream(key, first + np.uint64(index)).astype("<u8", copy=False)
        parts = words.view("<u2").reshape(-1, _PARTS).T.astype(np.float64)
        parts += 0.5
        parts *= _TO_UNIT
        found.extend(parts)
    return found[:count]
