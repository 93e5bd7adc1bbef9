"""The site's addresses, and a page that does nothing: only the benches have it."""

from django.http import HttpRequest, HttpResponse
from django.urls import path

from courses.urls import handler403, handler404, urlpatterns

__all__ = ["handler403", "handler404", "urlpatterns"]


def empty(request: HttpRequest) -> HttpResponse:
    """Nothing, for whoever is signed in: the session and the person are read as on every page."""
    return HttpResponse(b"")


urlpatterns = [path("bench/empty/", empty), *urlpatterns]
