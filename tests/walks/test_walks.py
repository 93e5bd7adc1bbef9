"""Every address in every role, every link that is shown, every template."""

from __future__ import annotations

import pytest
from django.db import transaction
from django.urls import NoReverseMatch, Resolver404, resolve, reverse

from tests.walks.arguments import ALSO, ARGUMENTS, NOBODY, OPEN_ON_PURPOSE, begin, in_a_list
from tests.walks.walking import (
    ANONYMOUS,
    EVERYBODY,
    Answer,
    Walk,
    addresses,
    client_of,
    own_templates,
    person_in,
    undefined_noted,
)

# One worker walks: the plant is loaded once.
pytestmark = pytest.mark.xdist_group("walks")

ADDRESSES = dict(addresses())
WALKED = [name for name, takes in ADDRESSES.items() if not takes or name in ARGUMENTS]


def _paths(name, role):
    sample_for = ARGUMENTS.get(name, lambda _: {})
    for sample in in_a_list(sample_for(None if role == ANONYMOUS else person_in(role))):
        kwargs = dict(sample)
        query = kwargs.pop("?", "")
        yield reverse(name, kwargs=kwargs) + (f"?{query}" if query else "")


@pytest.fixture(scope="module")
def walk(demo_plant):
    """The whole walk, done once; the tests look at what it brought home."""
    walk = Walk()
    begin()
    with walk.noting():
        for role in EVERYBODY:
            client = client_of(role)
            shown = {}
            for name in WALKED:
                for path in _paths(name, role):
                    answer = walk.visit(client, role, path)
                    walk.answers.setdefault(name, []).append(answer)
                    shown |= dict.fromkeys(answer.links, path)
            tried = set()
            for link, page in shown.items():
                try:
                    name = resolve(link).view_name
                except Resolver404:
                    walk.answers.setdefault("links", []).append(_dead(role, link, page))
                    continue
                if name not in tried:
                    tried.add(name)
                    answer = walk.visit(client, role, link)
                    if answer.status == 404:
                        answer = _dead(role, link, page)
                    walk.answers.setdefault("links", []).append(answer)
        for also in ALSO:
            with transaction.atomic(), undefined_noted() as undefined:
                also()
                transaction.set_rollback(True)
            faults = [f"undefined in a template: {one}" for one in undefined]
            walk.answers.setdefault("also", []).append(Answer(ANONYMOUS, also.__name__, 200, faults=faults))
    return walk


def _dead(role, link, page):
    return Answer(role, page, 200, faults=[f"shows a link to {link}, which answers 404"])


def test_every_address_that_takes_arguments_has_a_sample():
    missing = [name for name, takes in ADDRESSES.items() if takes and name not in ARGUMENTS]

    assert missing == [], "add these to tests/walks/arguments.py"


def test_no_sample_is_left_for_an_address_that_is_gone():
    assert set(ARGUMENTS) | OPEN_ON_PURPOSE | set(NOBODY) <= set(ADDRESSES)


@pytest.mark.parametrize("name", WALKED)
def test_an_address_answers_every_role_without_a_fault(walk, name):
    faults = [f"{one.role} {one.path}: {fault}" for one in walk.answers.get(name, []) for fault in one.faults]

    assert not faults, "\n".join(faults)


@pytest.mark.parametrize("name", WALKED)
def test_an_address_is_closed_to_whoever_is_not_signed_in(walk, name):
    answers = [one for one in walk.answers.get(name, []) if one.role == ANONYMOUS]

    assert answers, "never visited"
    if name in OPEN_ON_PURPOSE:
        assert {one.status for one in answers} == {200}
    else:
        assert all(one.is_to_sign_in for one in answers), [(one.path, one.status) for one in answers]


@pytest.mark.parametrize("name", WALKED)
def test_an_address_opens_to_somebody(walk, name):
    """A page that nobody of the demo plant can open has not been walked at all."""
    opened = [one for one in walk.answers.get(name, []) if one.status != 404 and not one.is_to_sign_in]

    assert bool(opened) != (name in NOBODY)


def test_other_visits_are_without_a_fault(walk):
    faults = [f"{one.path}: {fault}" for one in walk.answers["also"] for fault in one.faults]

    assert not faults, "\n".join(faults)


def test_every_link_shown_to_a_role_opens_for_that_role(walk):
    faults = {f"{one.role} {one.path}: {fault}" for one in walk.answers.get("links", []) for fault in one.faults}

    assert not faults, "\n".join(sorted(faults))


def test_every_template_is_rendered_at_least_once(walk):
    unseen = sorted(own_templates() - walk.rendered)

    assert not unseen, "visit a page that shows these, or add to ALSO:\n" + "\n".join(unseen)


def test_names_of_addresses_are_noun_and_verb():
    wrong = [name for name in ADDRESSES if name.count(":") != 1]

    assert wrong == []
    with pytest.raises(NoReverseMatch):
        reverse("nowhere:page_show")
