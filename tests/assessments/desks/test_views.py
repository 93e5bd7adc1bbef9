"""The first page that a person sees."""

from __future__ import annotations

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse

from courses.people.roles import Role
from tests.factories.people import PersonFactory
from tests.factories.standing import small_plant

pytestmark = pytest.mark.django_db


def bench_page(person):
    client = Client()
    client.force_login(person, backend=settings.AUTHENTICATION_BACKENDS[-1])
    return client.get(reverse("desks:bench")).content.decode()


def test_the_bench_asks_what_now_and_answers():
    plant = small_plant()

    html = bench_page(plant.boss)

    assert "Maren Boss, what now?" in html
    assert f"See to {plant.person}: {plant.b1}" in html
    assert html.index("See to") < html.index("Waits for a signature")


def test_a_block_with_nothing_in_it_says_so():
    html = bench_page(PersonFactory(roles=[Role.ADMINISTRATOR]))

    assert "Every account may sign in." in html
    assert "All people" not in html


def test_a_bench_without_a_role_has_one_thing_to_do():
    html = bench_page(PersonFactory())

    assert "Read the lessons" in html
    assert "<section" not in html


def test_a_bench_is_read_and_not_written_to():
    client = Client()
    client.force_login(PersonFactory(), backend=settings.AUTHENTICATION_BACKENDS[-1])

    assert client.post(reverse("desks:bench")).status_code == 405
