"""Who may open a page. What is hidden answers exactly like what is missing."""

from __future__ import annotations

import functools
import logging
from collections.abc import Callable
from typing import Concatenate, ParamSpec

from django.http import Http404, HttpRequest, HttpResponse

from courses.people.models import Person
from courses.people.roles import Role

refusals = logging.getLogger("refusals")

P = ParamSpec("P")


class PersonRequest(HttpRequest):
    """A request behind sign-in: its user is a person."""

    user: Person


View = Callable[Concatenate[PersonRequest, P], HttpResponse]


def roles_only(*roles: Role) -> Callable[[View[P]], View[P]]:
    """Open a view to holders of one of the roles; everybody else is told that there is no such page."""

    def decorate(view: View[P]) -> View[P]:
        @functools.wraps(view)
        def guarded(request: PersonRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
            if not request.user.has_role(*roles):
                refusals.warning("%s asked for %s without the role for it", request.user.get_username(), request.path)
                raise Http404
            return view(request, *args, **kwargs)

        return guarded

    return decorate
