"""The chain of a line. Check against the world: hashlib's SHA-256 on bytes written out by hand (FIPS 180-4)."""

from __future__ import annotations

import dataclasses
import datetime as dt
import hashlib
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.ledger.chain import START, Link, NotCanonicalError, canonical, first_break, instant, link

JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(st.characters(exclude_characters="\x00")),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.text(st.characters(exclude_characters="\x00")), inner, max_size=3)
    ),
    max_leaves=8,
)


def line_of(count):
    links, before = [], START
    for number in range(1, count + 1):
        facts = {"sequence": number, "kind": "granted", "reason": f"no. {number}"}
        links.append(Link(number, before, facts, link(before, facts)))
        before = links[-1].hash
    return links


def test_the_canonical_form_is_the_bytes_that_the_docstring_says():
    assert canonical({"b": [1, None, True], "a": "Ø é"}) == b'{"a":"\\u00d8 \\u00e9","b":[1,null,true]}'


def test_the_hash_is_sha_256_of_bytes_written_out_by_hand():
    by_hand = b'{"facts":{"kind":"granted","sequence":1},"previous_hash":"' + b"0" * 64 + b'"}'
    assert link(START, {"sequence": 1, "kind": "granted"}) == hashlib.sha256(by_hand).hexdigest()


def test_sha_256_itself_gives_the_published_digest_of_abc():
    # FIPS 180-4, example SHA-256 of "abc"; ours hashes through the same function.
    assert hashlib.sha256(b"abc").hexdigest() == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_an_instant_is_written_in_utc_to_the_microsecond():
    summer = dt.datetime(2026, 7, 1, 9, 0, 0, 5, tzinfo=dt.timezone(dt.timedelta(hours=1)))
    assert instant(summer) == "2026-07-01T08:00:00.000005Z"


@given(JSON)
def test_the_canonical_form_reads_back_as_what_was_written(value):
    assert json.loads(canonical(value)) == value


@given(st.dictionaries(st.text(st.characters(exclude_characters="\x00")), st.integers(), max_size=6))
def test_the_order_in_which_members_were_written_does_not_matter(facts):
    assert canonical(facts) == canonical(dict(reversed(facts.items())))


@pytest.mark.parametrize(
    ("value", "where"),
    [
        ({"a": 0.5}, "the document.a"),
        ({"a": [1, {"b": 2.0}]}, "the document.a[1].b"),
        ({"a": "x\x00"}, "the document.a"),
        ({1: "a"}, "the document"),
        ({"a": dt.date(2026, 1, 1)}, "the document.a"),
    ],
)
def test_what_has_no_one_spelling_is_refused_and_named(value, where):
    with pytest.raises(NotCanonicalError) as caught:
        canonical(value)
    assert caught.value.path == where


@pytest.mark.parametrize("count", [0, 1, 7])
def test_a_line_as_it_was_entered_is_whole(count):
    line = line_of(count)
    assert first_break(line, length=count, head=line[-1].hash if line else START) is None


def test_a_changed_word_breaks_the_line_where_it_stands():
    line = line_of(5)
    line[2] = dataclasses.replace(line[2], facts={**line[2].facts, "reason": "another"})
    found = first_break(line)
    assert (found.sequence, found.what) == (3, "event 3 does not say what was signed")


def test_a_changed_word_with_its_hash_made_to_fit_breaks_the_line_at_the_next_event():
    line = line_of(5)
    facts = {**line[2].facts, "reason": "another"}
    line[2] = Link(3, line[2].previous_hash, facts, link(line[2].previous_hash, facts))
    assert first_break(line).sequence == 4
    assert "does not follow" in first_break(line).what


def test_the_last_event_forged_whole_is_found_by_the_head_noted_apart():
    line = line_of(3)
    head = line[-1].hash
    facts = {**line[2].facts, "reason": "another"}
    line[2] = Link(3, line[2].previous_hash, facts, link(line[2].previous_hash, facts))
    assert first_break(line, length=3) is None
    assert first_break(line, length=3, head=head).what == "event 3 is not the one that was entered last"


def test_a_dropped_event_is_missed():
    line = line_of(4)
    del line[1]
    assert first_break(line).what == "event 2 is missing; event 3 stands in its place"


def test_a_cut_tail_is_found_by_the_length_noted_apart():
    assert first_break(line_of(4)[:3], length=4).sequence == 4
    assert "4 were entered" in first_break(line_of(4)[:3], length=4).what


def test_an_event_too_many_is_found_by_the_length_noted_apart():
    assert first_break(line_of(5), length=4).sequence == 5


def test_facts_that_cannot_have_been_signed_are_a_break_and_not_a_crash():
    line = line_of(2)
    line[1] = dataclasses.replace(line[1], facts={"fraction": 0.1})
    assert first_break(line).sequence == 2
    assert "cannot have been signed" in first_break(line).what


@given(st.integers(2, 6), st.data())
def test_two_events_that_changed_places_break_the_line(count, data):
    line = line_of(count)
    one = data.draw(st.integers(0, count - 2))
    other = data.draw(st.integers(one + 1, count - 1))
    line[one], line[other] = line[other], line[one]
    assert first_break(line).sequence == one + 1


@given(st.integers(1, 5), st.data())
def test_any_fact_changed_is_found_at_its_own_event(count, data):
    line = line_of(count)
    at = data.draw(st.integers(0, count - 1))
    name = data.draw(st.sampled_from(sorted(line[at].facts)))
    line[at] = dataclasses.replace(line[at], facts={**line[at].facts, name: "changed"})
    assert first_break(line).sequence == at + 1
