from __future__ import annotations

import logging

import pytest
from django.http import Http404, HttpResponse

from courses.people.access import roles_only
from courses.people.roles import Role
from tests.factories.people import PersonFactory

pytestmark = pytest.mark.django_db


@roles_only(Role.INSTRUCTOR, Role.AUDITOR)
def closed(request, word):
    return HttpResponse(word)


def ask(rf, person):
    request = rf.get("/closed/")
    request.user = person
    return closed(request, word="open")


def test_a_holder_of_one_of_the_roles_gets_the_page(rf):
    assert ask(rf, PersonFactory(roles=[Role.AUDITOR])).content == b"open"


def test_others_are_told_that_there_is_no_such_page_and_it_is_logged(rf, caplog):
    person = PersonFactory(roles=[Role.MECHANIC])
    with caplog.at_level(logging.WARNING, "refusals"), pytest.raises(Http404):
        ask(rf, person)
    assert person.username in caplog.text
    assert "/closed/" in caplog.text


def test_a_person_switched_off_is_refused_whatever_the_role(rf):
    with pytest.raises(Http404):
        ask(rf, PersonFactory(roles=[Role.AUDITOR], is_active=False))
