"""Walking through the site: every address, in every role, and what came back."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import urlsplit

from django.conf import settings
from django.db import transaction
from django.http import HttpResponse
from django.template import engines
from django.test import Client
from django.test.signals import template_rendered
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from courses.people.models import Person
from courses.people.roles import Role

ANONYMOUS = "anonymous"
EVERYBODY = (ANONYMOUS, *Role.values)


def addresses(resolver: URLResolver | None = None, spaces: tuple[str, ...] = ()) -> Iterator[tuple[str, bool]]:
    """Name of each address, and whether it takes arguments."""
    resolver = resolver or get_resolver()
    for entry in resolver.url_patterns:
        if isinstance(entry, URLPattern):
            assert entry.name, f"{entry.pattern} has no name"
            takes = bool(entry.pattern.converters or resolver.pattern.converters)
            yield ":".join((*spaces, entry.name)), takes
        else:
            yield from addresses(entry, (*spaces, entry.namespace) if entry.namespace else spaces)


def person_in(role: str) -> Person:
    """A person of the demo plant who holds the role, if possible no other."""
    people = Person.objects.filter(is_active=True, roles_held__role=role)
    return min(people, key=lambda person: (len(person.roles), person.pk))


def client_of(role: str) -> Client:
    """A browser of somebody in the role, signed in; of nobody for ANONYMOUS."""
    client = Client(raise_request_exception=False)
    if role != ANONYMOUS:
        client.force_login(person_in(role), backend=settings.AUTHENTICATION_BACKENDS[-1])
    return client


class Page(HTMLParser):
    """What a walk wants to know of a page."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.headings = 0
        self.title = ""
        self.ids: list[str] = []
        self.links: list[str] = []
        self._in_title = False
        self._in_svg = 0
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        said = dict(attrs)
        self.headings += tag == "h1"
        self._in_svg += tag == "svg"
        self._in_title = tag == "title" and not self._in_svg
        if "id" in said:
            self.ids.append(said["id"] or "")
        if tag == "a" and said.get("href"):
            self.links.append(said["href"] or "")

    def handle_endtag(self, tag):
        self._in_svg -= tag == "svg"
        self._in_title = False

    def handle_data(self, data):
        if self._in_title:
            self.title += data.strip()

    def faults(self) -> Iterator[str]:
        if self.headings != 1:
            yield f"{self.headings} <h1> where one belongs"
        if not self.title or self.title.startswith("-"):
            yield "no title of its own"
        if twice := {one for one in self.ids if self.ids.count(one) > 1}:
            yield f"ids used twice: {', '.join(sorted(twice))}"


class _Form(HTMLParser):
    """What a browser would send if the form in the page's main part were handed in untouched."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.sent: dict[str, list[str]] = {}
        self._select = self._area = ""
        self._in_form = False
        self.feed(html.partition("<main")[2])

    def handle_starttag(self, tag, attrs):
        said = {name: value or "" for name, value in attrs}
        self._in_form |= tag == "form" and said.get("method", "").lower() == "post"
        name = said.get("name", "")
        if not self._in_form:
            return
        if tag == "input" and name and (said.get("type") not in {"checkbox", "radio", "submit"} or "checked" in said):
            self.sent.setdefault(name, []).append(said.get("value", "on" if said.get("type") == "checkbox" else ""))
        elif tag == "select":
            self._select = name
        elif tag == "option" and self._select and "selected" in said:
            self.sent.setdefault(self._select, []).append(said.get("value", ""))
        elif tag == "textarea":
            self._area = name
            self.sent[name] = [""]

    def handle_endtag(self, tag):
        self._in_form &= tag != "form"
        if tag == "textarea" and self._area:
            self.sent[self._area] = [self.sent[self._area][0].removeprefix("\n")]  # as every browser does
        self._select = "" if tag == "select" else self._select
        self._area = "" if tag == "textarea" else self._area

    def handle_data(self, data):
        if self._area:
            self.sent[self._area][0] += data


def send_form(client: Client, path: str, **changes: str) -> HttpResponse:
    """Open a page and hand its form in, with some fields changed."""
    page = client.get(path)
    assert page.status_code == 200, path
    return client.post(path, {**_Form(page.content.decode()).sent, **changes})


@dataclass(slots=True)
class Answer:
    """What one address gave to one role."""

    role: str
    path: str
    status: int
    is_to_sign_in: bool = False
    faults: list[str] = field(default_factory=list)
    links: list[str] = field(default_factory=list)


class _Undefined(str):
    """Stands in for what a template asked for and did not get; keeps the names."""

    __slots__ = ("names",)

    def __contains__(self, text: object) -> bool:
        return text == "%s"

    def __mod__(self, missing: object) -> str:
        self.names.append(str(missing))
        return ""


@contextmanager
def undefined_noted() -> Iterator[list[str]]:
    """Collect the names of undefined variables that templates print."""
    noted = _Undefined("undefined")
    noted.names = []
    engine = engines["django"].engine
    usual, engine.string_if_invalid = engine.string_if_invalid, noted
    try:
        yield noted.names
    finally:
        engine.string_if_invalid = usual


def own_templates() -> set[str]:
    """Every template of ours, by its name."""
    found = set()
    for package in ("courses", "assessments"):
        for folder in Path(settings.BASE_DIR, package).glob("**/templates"):
            found |= {
                str(path.relative_to(folder)) for path in folder.rglob("*") if path.suffix in {".html", ".svg", ".txt"}
            }
    return found


@dataclass(slots=True, weakref_slot=True)  # a signal holds its receivers weakly
class Walk:
    """A walk: keeps what was answered and which templates were rendered on the way."""

    answers: dict[str, list[Answer]] = field(default_factory=dict)
    rendered: set[str] = field(default_factory=set)

    def _note(self, sender, template, **kwargs):
        if template.name:
            self.rendered.add(template.name)

    @contextmanager
    def noting(self) -> Iterator[None]:
        """Templates rendered inside count as rendered."""
        template_rendered.connect(self._note)
        try:
            yield
        finally:
            template_rendered.disconnect(self._note)

    def visit(self, client: Client, role: str, path: str) -> Answer:
        """Ask for one page and look at it; whatever was written is taken back."""
        with undefined_noted() as undefined, transaction.atomic():
            response = client.get(path)
            transaction.set_rollback(True)
        where = response.headers.get("Location", "")
        answer = Answer(role, path, response.status_code, is_to_sign_in=where.startswith(reverse(settings.LOGIN_URL)))
        answer.faults += [f"undefined in a template: {name}" for name in dict.fromkeys(undefined)]
        if getattr(response, "exc_info", None):
            answer.faults.append(repr(response.exc_info[1]))
        if response.status_code not in {200, 302, 404, 405}:
            answer.faults.append(f"status {response.status_code}")
        if response.status_code == 200 and response.headers["Content-Type"].startswith("text/html"):
            page = Page(response.content.decode())
            answer.faults += page.faults()
            here = (urlsplit(link) for link in page.links)
            answer.links = [
                link.path for link in here if not link.netloc and not link.scheme and link.path.startswith("/")
            ]
        return answer
