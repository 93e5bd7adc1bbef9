"""Which people somebody may see."""

from __future__ import annotations

from django.db.models import Prefetch, Q, QuerySet
from django.http import Http404

from courses.people.models import Crew, Person, RoleHeld
from courses.people.roles import Role

SEE_EVERYBODY = (Role.INSTRUCTOR, Role.ASSESSOR, Role.SUPERVISOR, Role.AUDITOR, Role.ADMINISTRATOR)
SEE_ACCOUNTS = (Role.SUPERVISOR, Role.ADMINISTRATOR)


def people_visible_to(person: Person) -> QuerySet[Person]:
    """Everybody for those who teach, assess, plan, audit or keep accounts; for others themselves.

    Crew and roles come with them (two queries for any number of rows).
    """
    everybody = Person.objects.select_related("crew").prefetch_related(Prefetch("roles_held", RoleHeld.objects.all()))
    return everybody if person.has_role(*SEE_EVERYBODY) else everybody.filter(pk=person.pk)


def get_person_for(person: Person, pk: int) -> Person:
    """One person whom ``person`` may see. Raises Http404 for the hidden and the missing alike."""
    return _one(people_visible_to(person), pk)


def accounts_visible_to(person: Person, *, crew: Crew | None = None, words: str = "") -> QuerySet[Person]:
    """Accounts, which are supervisors' and administrators' business: who may sign in, with which roles."""
    accounts = people_visible_to(person)
    if not person.has_role(*SEE_ACCOUNTS):
        accounts = accounts.filter(pk=person.pk)
    if crew is not None:
        accounts = accounts.filter(crew=crew)
    for word in words.split():
        accounts = accounts.filter(Q(full_name__icontains=word) | Q(username__icontains=word))
    return accounts


def get_account_for(person: Person, pk: int) -> Person:
    """One account that ``person`` may see. Raises Http404 for the hidden and the missing alike."""
    return _one(accounts_visible_to(person), pk)


def crews() -> QuerySet[Crew]:
    """All crews, by name."""
    return Crew.objects.all()


def _one(people: QuerySet[Person], pk: int) -> Person:
    found = people.filter(pk=pk).first()
    if found is None:
        raise Http404
    return found
