"""What holds for every page behind sign-in."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils.cache import add_never_cache_headers


def pages_are_not_kept(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Tablets are shared: after signing out, Back must not show what somebody else may not read."""

    def answer(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        if request.user.is_authenticated and not response.has_header("Cache-Control"):
            add_never_cache_headers(response)
        return response

    return answer
