from __future__ import annotations

import pytest
from django.urls import reverse

from assessments.standing.acts import ACTS
from courses.people.roles import Role


@pytest.mark.parametrize("name", ACTS)
def test_every_signature_has_its_page(name):
    arguments = [1, "B4", 7] if ACTS[name].about else [1, "B4"]
    assert reverse(f"standing:{name}", args=arguments).startswith("/board/1/B4/")


def test_only_what_stops_somebody_may_be_dated_back():
    assert {name for name, act in ACTS.items() if act.may_be_dated_back} == {"suspend", "restrict", "withdraw"}


def test_an_assessor_has_the_pages_of_grants_and_a_supervisor_has_all():
    assert {name for name, act in ACTS.items() if Role.ASSESSOR in act.roles} == {"grant", "renew", "countersign"}
    assert all(Role.SUPERVISOR in act.roles for act in ACTS.values())
