"""A demo plant for the benches, in a folder of their own, and the site's server over it."""

from __future__ import annotations

import http.client
import io
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import cache

from django.conf import settings
from django.contrib.auth import get_user_model
from django.core.management import call_command
from django.test import Client


@cache
def prepare() -> None:
    """Load the demo plant, once for all benches of a run."""
    call_command("demo", no_serve=True, stdout=io.StringIO())


def signed_in(username: str) -> Client:
    """A browser inside this process, for counting queries; its cookie is good for the server too."""
    client = Client()
    person = get_user_model().objects.get_by_natural_key(username)
    client.force_login(person, backend=settings.AUTHENTICATION_BACKENDS[-1])
    return client


def cookie_of(client: Client) -> str:
    return f"{settings.SESSION_COOKIE_NAME}={client.cookies[settings.SESSION_COOKIE_NAME].value}"


@contextmanager
def served() -> Iterator[int]:
    """Serve the prepared site with two sync workers, as `demo` does, on a free port of this machine; yields the port."""
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    bind = ("--workers", "2", "--bind", f"127.0.0.1:{port}", "--log-level", "warning")
    server = subprocess.Popen([sys.executable, "-m", "gunicorn", "tests.benches.wsgi", *bind], cwd=settings.BASE_DIR)
    try:
        _wait_for(port, server)
        yield port
    finally:
        server.terminate()
        server.wait(20)


def _wait_for(port: int, server: subprocess.Popen[bytes]) -> None:
    until = time.monotonic() + 60
    while time.monotonic() < until and server.poll() is None:
        with suppress(OSError):
            socket.create_connection(("127.0.0.1", port), timeout=5).close()
            return
        time.sleep(0.05)
    raise RuntimeError("The server of the bench did not come up.")


def ask(port: int, path: str, cookie: str) -> tuple[float, float]:
    """One page: seconds until the last byte, and the CPU seconds the server says it took. Anything but 200 raises."""
    from tests.benches.meter import HEADER

    began = time.perf_counter()
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    connection.request("GET", path, headers={"Cookie": cookie})
    response = connection.getresponse()
    response.read()
    took = time.perf_counter() - began
    connection.close()
    if response.status != 200:
        raise RuntimeError(f"{path} answered {response.status}")
    return took, float(response.headers[HEADER])
