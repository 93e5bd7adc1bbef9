"""What a walk gives to addresses that take arguments, out of the demo plant.

ARGUMENTS: name of the address to a function of the person who walks (None: nobody signed in) that returns the
arguments, or a list of several. The key "?" is a query string. An address without arguments needs no entry, but can
have one to be visited with query strings too.

OPEN_ON_PURPOSE: addresses that nobody has to sign in for.
NOBODY: addresses that answer no GET with anything but a refusal, and why.
ALSO: visits that render what no plain GET renders (errors, refusals, forms handed in).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.template.loader import render_to_string
from django.test import Client
from django.urls import reverse

from courses.people.models import Person
from tests.walks.walking import client_of

Arguments = dict[str, Any]

ARGUMENTS: dict[str, Callable[[Person | None], Arguments | list[Arguments]]] = {
    "people:person_show": lambda _: {"pk": Person.objects.first().pk},
    "people:person_edit": lambda _: {"pk": Person.objects.first().pk},
    "people:person_switch_off": lambda _: {"pk": Person.objects.filter(is_active=True).first().pk},
    "people:person_switch_on": lambda _: {"pk": Person.objects.filter(is_active=True).first().pk},
}

OPEN_ON_PURPOSE = {"people:sign_in"}

NOBODY: dict[str, str] = {}


def _lost() -> None:
    client_of("mechanic").get("/no/such/page/")


def _old_form() -> None:
    Client(enforce_csrf_checks=True).post(reverse("people:sign_in"))


def _wrong_password_again_and_again() -> None:
    client = Client()
    for _ in range(7):
        client.post(reverse("people:sign_in"), {"username": "nobody", "password": "not the password of anybody"})


def _broken() -> None:
    render_to_string("500.html")


ALSO: list[Callable[[], None]] = [_lost, _old_form, _wrong_password_again_and_again, _broken]
