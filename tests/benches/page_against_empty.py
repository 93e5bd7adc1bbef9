"""A page of the site against an empty page under the same server in the same run."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from statistics import median

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from tests.benches.figure import Figure
from tests.benches.site import ask, cookie_of, prepare, served, signed_in

EMPTY = "/bench/empty/"


def queries_of(client: Client, path: str) -> int:
    """How many queries a page takes. Anything but 200 raises."""
    with CaptureQueriesContext(connection) as queries:
        response = client.get(path)
    if response.status_code != 200:
        raise RuntimeError(f"{path} answered {response.status_code}")
    return len(queries)


def queries_stay(name: str, client: Client, path: str, more: Callable[[], None]) -> Figure:
    """How many queries a page takes more after `more` has filled the tables: none is allowed."""
    before = queries_of(client, path)
    more()
    after = queries_of(client, path)
    return Figure(name=f"{name}: queries more", ratio=after - before, limit=0, detail=f"{before}, then {after}")


@dataclass(frozen=True, slots=True, kw_only=True)
class PageAgainstEmpty:
    """A bench: p50 and CPU of a page as multiples of the empty page's, and the queries it takes.

    path: asked for after the demo plant is loaded, so it may look rows up. rounds: each asks for both pages,
    so that whatever else the machine does meets both alike.
    """

    name: str
    path: Callable[[], str]
    username: str
    p50_limit: float = 10
    cpu_limit: float = 12
    query_limit: int = 12
    rounds: int = 150
    warm_up: int = 20

    def __call__(self) -> list[Figure]:
        prepare()
        path = self.path()
        client = signed_in(self.username)
        cookie = cookie_of(client)
        queries = queries_of(client, path)
        page, empty = [], []
        with served() as port:
            for number in range(self.warm_up + self.rounds):
                pair = ask(port, EMPTY, cookie), ask(port, path, cookie)
                if number >= self.warm_up:
                    empty.append(pair[0])
                    page.append(pair[1])
        (page_p50, page_cpu), (empty_p50, empty_cpu) = (
            (median(took for took, _ in asked), sum(cpu for _, cpu in asked) / len(asked)) for asked in (page, empty)
        )
        return [
            self._figure("p50", page_p50, empty_p50, self.p50_limit),
            self._figure("CPU", page_cpu, empty_cpu, self.cpu_limit),
            Figure(name=f"{self.name}: queries", ratio=queries, limit=self.query_limit),
        ]

    def _figure(self, what: str, page: float, empty: float, limit: float) -> Figure:
        detail = f"{page * 1e3:.2f} ms against {empty * 1e3:.2f} ms"
        return Figure(name=f"{self.name}: {what}", ratio=page / empty, limit=limit, detail=detail)
