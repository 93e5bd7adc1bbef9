"""Everything that writes people: adding them, their roles, their crew, whether they may sign in."""

from __future__ import annotations

import datetime as dt
import logging
from collections.abc import Iterable
from copy import copy

from axes.utils import reset as forget_misses
from django.contrib.auth import authenticate
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction
from django.http import HttpRequest, QueryDict

from courses.people.models import Crew, Person, RoleHeld
from courses.people.roles import Role

refusals = logging.getLogger("refusals")
accounts = logging.getLogger("accounts")


class NotAnAdministratorError(Exception):
    """Somebody without the administrator's role tried to change an account."""

    def __init__(self, by: Person) -> None:
        self.by = by
        super().__init__(f"{by} is not an administrator and cannot change accounts.")


class LastAdministratorError(Exception):
    """The change would leave nobody who can look after the accounts."""

    def __init__(self, person: Person) -> None:
        self.person = person
        super().__init__(f"{person} is the only administrator left. Give somebody else that role first.")


@transaction.atomic
def add_person(
    *,
    by: Person | None,
    username: str,
    full_name: str,
    job_title: str,
    crew: Crew | None,
    joined_on: dt.date,
    roles: Iterable[Role | str],
    password: str | None,
) -> Person:
    """Add a person with a first password; None for one who is on record but does not sign in.

    ``by`` is None only where nobody is signed in: the launcher and the command line.
    Raises NotAnAdministratorError, and ValidationError for a sign-in name that was ever given,
    a password that is too easy, or a role that does not exist.
    """
    _only_administrators(by)
    person = Person(
        username=username.strip().lower(),
        full_name=full_name.strip(),
        job_title=job_title.strip(),
        crew=crew,
        joined_on=joined_on,
    )
    if password is None:
        person.set_unusable_password()
    else:
        validate_password(password, person)
        person.set_password(password)
    person.full_clean()
    person.save()
    _hold(person, roles)
    accounts.info("%s added %s with roles %s", _name(by), person.username, sorted(person.roles))
    return person


@transaction.atomic
def set_roles(*, by: Person | None, person: Person, roles: Iterable[Role | str]) -> None:
    """Make the person hold exactly these roles. Raises NotAnAdministratorError, LastAdministratorError."""
    _only_administrators(by)
    wanted = {Role(role) for role in roles}
    if Role.ADMINISTRATOR not in wanted:
        _keep_an_administrator(without=person)
    person.roles_held.exclude(role__in=wanted).delete()
    _hold(person, wanted)
    accounts.info("%s set the roles of %s to %s", _name(by), person.username, sorted(person.roles))


@transaction.atomic
def set_place(*, by: Person | None, person: Person, job_title: str, crew: Crew | None) -> None:
    """Say what the person is called at work and in which crew they work. Raises NotAnAdministratorError."""
    _only_administrators(by)
    person.job_title = job_title.strip()
    person.crew = crew
    person.full_clean()
    person.save(update_fields=["job_title", "crew"])
    accounts.info("%s set the job and crew of %s", _name(by), person.username)


@transaction.atomic
def change_person(
    *, by: Person | None, person: Person, job_title: str, crew: Crew | None, roles: Iterable[Role | str]
) -> None:
    """Set job, crew and roles together, or nothing of them. Raises as set_place and set_roles do."""
    set_place(by=by, person=person, job_title=job_title, crew=crew)
    set_roles(by=by, person=person, roles=roles)


@transaction.atomic
def give_password(*, by: Person | None, person: Person, password: str) -> None:
    """Give somebody who lost their password another one. Signs the person out everywhere and ends a wait after misses.

    Nobody gives themselves a password in this way: the own one is asked for first (people:password_change).
    Raises NotAnAdministratorError, and ValidationError for a password that is too easy.
    """
    _only_administrators(by)
    if by == person:
        raise ValidationError("Change your own password on your own page.", code="own_password")
    validate_password(password, person)
    person.set_password(password)
    person.save(update_fields=["password"])
    forget_misses(username=person.username)
    accounts.warning("%s gave %s another password", _name(by), person.username)


@transaction.atomic
def switch_off(*, by: Person | None, person: Person) -> None:
    """Stop the person from signing in, at once. Their records stay, and so does their sign-in name.

    Raises NotAnAdministratorError, LastAdministratorError.
    """
    _only_administrators(by)
    _keep_an_administrator(without=person)
    person.is_active = False
    person.save(update_fields=["is_active"])
    accounts.info("%s switched off the sign-in of %s", _name(by), person.username)


@transaction.atomic
def switch_on(*, by: Person | None, person: Person) -> None:
    """Let the person sign in again. Raises NotAnAdministratorError."""
    _only_administrators(by)
    person.is_active = True
    person.save(update_fields=["is_active"])
    accounts.info("%s switched on the sign-in of %s", _name(by), person.username)


def password_is_theirs(*, request: HttpRequest, person: Person, password: str) -> bool:
    """Ask for the password again, for a signature or for a new password.

    A miss counts with those at the sign-in page: after five the name waits, and the answer to the request
    becomes the page that says so, with status 429. A hit forgets the misses.
    """
    bare = _without_what_was_typed(request)
    found = authenticate(bare, username=person.username, password=password)
    if getattr(bare, "axes_locked_out", False):
        request.axes_locked_out = True  # type: ignore[attr-defined]  # the middleware looks for it there
    if found is None or found.pk != person.pk:
        refusals.warning("%s gave a wrong password for a signature at %s", person.username, request.path)
        return False
    forget_misses(username=person.username)
    return True


def _without_what_was_typed(request: HttpRequest) -> HttpRequest:
    """The same request with empty forms: a counted miss keeps what was sent, and no password may lie in a table."""
    bare = copy(request)
    bare.GET = QueryDict()
    bare.POST = QueryDict()
    return bare


def _only_administrators(by: Person | None) -> None:
    if by is not None and not by.has_role(Role.ADMINISTRATOR):
        refusals.warning("%s tried to change an account without being an administrator", by.username)
        raise NotAnAdministratorError(by)


def _keep_an_administrator(*, without: Person) -> None:
    """Raise LastAdministratorError if this person is the only administrator who may sign in."""
    administrators = list(
        RoleHeld.objects.select_for_update()
        .filter(role=Role.ADMINISTRATOR, person__is_active=True)
        .values_list("person_id", flat=True)
    )
    if administrators == [without.pk]:
        raise LastAdministratorError(without)


def _hold(person: Person, roles: Iterable[Role | str]) -> None:
    for role in {Role(role) for role in roles} - set(person.roles_held.values_list("role", flat=True)):
        held = RoleHeld(person=person, role=role)
        held.full_clean()
        held.save()
    person.__dict__.pop("roles", None)


def _name(by: Person | None) -> str:
    return by.username if by else "the command line"
