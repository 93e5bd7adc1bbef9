"""What every page of the site knows: its name, and the pages that its reader's roles open."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.http import HttpRequest
from django.urls import reverse

from courses.people.models import Person
from courses.people.roles import Role

ALL_ROLES = frozenset(Role)
HOME = "desks:bench"


@dataclass(frozen=True, slots=True)
class PageName:
    """One name in the strip: where it leads and who is shown it."""

    url_name: str
    name: str
    roles: frozenset[Role] = ALL_ROLES

    @property
    def app(self) -> str:
        """The app whose pages all stand under this name."""
        return self.url_name.partition(":")[0]


PAGE_NAMES = (
    PageName(HOME, "Bench"),
    PageName("tasks:task_list", "Tasks"),
    PageName("lessons:lesson_list", "Lessons"),
    PageName("drills:drill_list", "Drills"),
    PageName("machines:machine_list", "Machine sheets"),
    PageName("scenarios:scenario_list", "Scenarios", frozenset({Role.INSTRUCTOR, Role.AUDITOR, Role.ADMINISTRATOR})),
    PageName(
        "standing:board_show",
        "Board",
        frozenset({Role.SUPERVISOR, Role.ASSESSOR, Role.INSTRUCTOR, Role.AUDITOR, Role.ADMINISTRATOR}),
    ),
    PageName("people:person_list", "People", frozenset({Role.ADMINISTRATOR, Role.SUPERVISOR})),
)


@dataclass(frozen=True, slots=True)
class ShownPage:
    """A name as the strip shows it. ``current`` is "page", "true" (a page under it) or empty, for aria-current."""

    name: str
    address: str
    current: str


def pages_for(person: Person, at: str) -> Iterator[ShownPage]:
    """The names for this person, in order; ``at`` is the URL name of the page being read. One query: the roles."""
    for page in PAGE_NAMES:
        if person.has_role(*page.roles):
            exact = "page" if at == page.url_name else ""
            below = "true" if at.partition(":")[0] == page.app else ""
            yield ShownPage(page.name, reverse(page.url_name), exact or below)


def site(request: HttpRequest) -> dict[str, Any]:
    """Names for every template. The pages are worked out only where a template asks for them."""
    match = request.resolver_match

    def site_pages() -> list[ShownPage]:
        user = getattr(request, "user", None)
        return list(pages_for(user, match.view_name if match else "")) if isinstance(user, Person) else []

    return {"SITE_NAME": settings.SITE_NAME, "site_home": reverse(HOME), "site_pages": site_pages}
