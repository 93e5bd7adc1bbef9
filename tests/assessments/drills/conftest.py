from __future__ import annotations

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse

from courses.people.roles import Role
from tests.factories.drills import AttemptFactory
from tests.factories.people import PersonFactory


@pytest.fixture
def apprentice(db):
    return PersonFactory(roles=[Role.MECHANIC], full_name="Rasmus Tamm")


@pytest.fixture
def signed_in():
    """signed_in(person): a browser signed in as that person."""

    def sign_in(person):
        client = Client()
        client.force_login(person, backend=settings.AUTHENTICATION_BACKENDS[-1])
        return client

    return sign_in


@pytest.fixture
def own(signed_in, apprentice):
    return signed_in(apprentice)


@pytest.fixture
def attempt(apprentice):
    return AttemptFactory(person=apprentice)


@pytest.fixture
def address():
    """address("answer", attempt)"""
    return lambda verb, attempt: reverse(f"drills:attempt_{verb}", args=[getattr(attempt, "pk", attempt)])
