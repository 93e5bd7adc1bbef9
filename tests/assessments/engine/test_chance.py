"""Outside: published outputs of the generator, big whole numbers of Python for its arithmetic, scipy for evenness."""

from __future__ import annotations

import hashlib

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import chisquare

from assessments.engine.chance import WORDS_A_TRY, key_of, mix, stream, uniforms
from assessments.engine.methods import all_methods

MASK = 2**64 - 1
# First outputs by seed. 1234567: the Rosetta Code task "Pseudo-random numbers/Splitmix64". 0: known-answer tests of
# several published implementations of the same generator. Both read on public pages.
PUBLISHED = {
    1234567: [
        6457827717110365317,
        3203168211198807973,
        9817491932198370423,
        4593380528125082431,
        16408922859458223821,
    ],
    0: [16294208416658607535, 7960286522194355700, 487617019471545679, 17909611376780542444],
}


def outputs(seed, count):
    """The generator as its authors wrote it, one output after the other, in whole numbers without bounds."""
    state, found = seed, []
    for _ in range(count):
        state = (state + 0x9E3779B97F4A7C15) & MASK
        mixed = ((state ^ (state >> 30)) * 0xBF58476D1CE4E5B9) & MASK
        mixed = ((mixed ^ (mixed >> 27)) * 0x94D049BB133111EB) & MASK
        found.append(mixed ^ (mixed >> 31))
    return found


def words(*numbers):
    return np.array(numbers, dtype=np.uint64)


@pytest.mark.parametrize("seed", PUBLISHED)
def test_the_stream_is_the_published_one(seed):
    expected = PUBLISHED[seed]

    assert stream(seed, np.arange(len(expected), dtype=np.uint64)).tolist() == expected
    assert outputs(seed, len(expected)) == expected


@given(st.integers(0, MASK), st.integers(1, 40))
def test_the_stream_is_that_of_big_whole_numbers(seed, count):
    assert stream(seed, np.arange(count, dtype=np.uint64)).tolist() == outputs(seed, count)


@given(st.integers(0, MASK), st.integers(0, 2**60 - 1), st.integers(1, 4 * WORDS_A_TRY))
def test_a_try_owns_its_slice_of_the_stream_four_numbers_a_word(seed, number, count):
    first = number * WORDS_A_TRY
    whole = [
        word
        for index in range(WORDS_A_TRY)
        for word in outputs((seed + (first + index) * 0x9E3779B97F4A7C15) & MASK, 1)
    ]
    expected = [((word >> 16 * part & 0xFFFF) + 0.5) / 65536 for word in whole for part in range(4)]

    assert [float(one[0]) for one in uniforms(seed, words(number), count)] == expected[:count]


@given(st.integers(0, MASK), st.integers(0, 9_999), st.integers(1, 20))
def test_a_try_is_the_same_alone_and_among_ten_thousand(seed, number, count):
    together = uniforms(seed, np.arange(10_000, dtype=np.uint64), count)
    alone = uniforms(seed, words(number), count)

    assert [float(one[number]) for one in together] == [float(one[0]) for one in alone]


def test_mixing_leaves_what_it_is_given_alone():
    given_words = words(1, 2, 3)

    mix(given_words)

    assert given_words.tolist() == [1, 2, 3]


def test_numbers_lie_evenly_between_nought_and_one():
    columns = uniforms(key_of("evenness"), np.arange(40_000, dtype=np.uint64), 16)

    for column in columns:
        assert 0 < column.min() < 0.001
        assert 0.999 < column.max() < 1
        # A fixed seed makes a fixed answer: this is no test that fails now and then.
        assert chisquare(np.bincount((column * 64).astype(int), minlength=64)).pvalue > 0.001


def test_the_numbers_of_a_try_know_nothing_of_one_another():
    first, second, third, fourth, fifth = uniforms(key_of("pairs"), np.arange(40_000, dtype=np.uint64), 5)

    for one, other in ((first, second), (second, third), (third, fourth), (fourth, fifth), (first[:-1], first[1:])):
        cells = (one * 12).astype(int) * 12 + (other * 12).astype(int)
        assert chisquare(np.bincount(cells, minlength=144)).pvalue > 0.001


def test_a_name_keeps_its_key_for_ever():
    assert key_of("abc") == int(hashlib.sha256(b"abc").hexdigest()[:16], 16)
    # FIPS 180-2, appendix B.1: the digest of "abc" begins ba7816bf 8f01cfea.
    assert key_of("abc") == 0xBA7816BF8F01CFEA


def test_no_method_asks_for_more_numbers_than_a_try_owns():
    for method in all_methods().values():
        assert 1 + len(method.aims) + method.chances <= 4 * WORDS_A_TRY, method.name
