"""The site as people meet it: made by `manage.py demo`, served by the same server, seen in Chromium."""

from __future__ import annotations

import contextlib
import http.client
import os
import socket
import subprocess
import sys
import time
import uuid
from pathlib import Path

import psycopg
import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings
from django.db import connection

WIDTHS = {"wide": {"width": 1280, "height": 900}, "narrow": {"width": 390, "height": 844}}
AXE = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args):
    quiet = ["--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"]
    quiet += ["--no-sandbox", "--disable-component-update", "--disable-sync"]
    return {**browser_type_launch_args, "executable_path": settings.CHROMIUM, "args": quiet}


@contextlib.contextmanager
def _database():
    """Environment that names a database for the demo alone: on the PostgreSQL in use, a new one, dropped afterwards."""
    if connection.vendor != "postgresql":
        yield {}
        return
    address = os.environ["DATABASE_URL"]
    name = f"browser_{uuid.uuid4().hex[:12]}"
    with psycopg.connect(address, autocommit=True) as server:
        server.execute(f"CREATE DATABASE {name}")
        try:
            before, _, options = address.partition("?")
            yield {"DATABASE_URL": f"{before.rpartition('/')[0]}/{name}?{options}"}
        finally:
            server.execute(f"DROP DATABASE {name} WITH (FORCE)")


def _free_port():
    with socket.create_server(("127.0.0.1", 0)) as server:
        return server.getsockname()[1]


def _wait_for(port, program, seconds=60):
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        assert program.poll() is None, "the server ended before it answered"
        with contextlib.suppress(OSError):
            ask = http.client.HTTPConnection("127.0.0.1", port, timeout=5)
            ask.request("GET", "/")
            ask.getresponse()
            return
        time.sleep(0.1)
    raise AssertionError("the server did not answer")


@pytest.fixture(scope="session")
def base_url(tmp_path_factory):
    """Address of the demo plant, made and served for this session. `page.goto("/")` starts here.

    What a test enters stays for the tests after it, as on any site: each test works as a person, or on a case, of its own.
    """
    folder = tmp_path_factory.mktemp("site")
    with _database() as database:
        environment = {**os.environ, "DATA_DIR": str(folder), **database}
        demo = [sys.executable, "manage.py", "demo"]
        prepared = subprocess.run([*demo, "--no-serve"], env=environment, cwd=settings.BASE_DIR, check=False)
        if prepared.returncode:
            pytest.fail("`manage.py demo` could not prepare the site", pytrace=False)
        port = _free_port()
        with Path(folder / "server.log").open("w") as log:
            server = subprocess.Popen(
                [*demo, "--port", str(port)], env=environment, cwd=settings.BASE_DIR, stdout=log, stderr=log
            )
            try:
                _wait_for(port, server)
                yield f"http://127.0.0.1:{port}"
            finally:
                server.terminate()
                server.wait(20)


@pytest.fixture(params=list(WIDTHS))
def browser_context_args(browser_context_args, request):
    """Every browser test runs at both widths. Every page is also held to say nothing on the console."""
    return {**browser_context_args, "viewport": WIDTHS[request.param]}


@pytest.fixture
def on_purpose():
    """Words of console errors that a test brings about itself: it adds them here."""
    return ["ERR_INTERNET_DISCONNECTED"]  # a cut connection is the browser's own complaint, not the page's


@pytest.fixture
def page(page, on_purpose):
    """A page that fails its test for an error in the console: a refused script or style, a broken address."""
    said = []
    page.on("console", lambda one: said.append(f"{one.text} {one.location['url']}") if one.type == "error" else None)
    page.on("pageerror", lambda error: said.append(str(error)))
    yield page
    assert [one for one in said if not any(words in one for words in on_purpose)] == []


@pytest.fixture
def sign_in(page):
    """sign_in("supervisor"): the demo's own sign-in for that role, typed into the form; the page then shown is returned.

    sign_in(username=...) takes one person of the demo plant.
    """
    from fixtures_demo.load import DEMO_SIGN_INS

    def _sign_in(role=None, username=None):
        chosen = [one for one in DEMO_SIGN_INS if (role is not None and role in one[0]) or one[1] == username]
        _, name, password = chosen[0]
        page.goto("/sign-in/")
        page.get_by_label("Sign-in name").fill(name)
        page.get_by_label("Password").fill(password)
        page.get_by_role("button", name="Sign in").click()
        return page

    return _sign_in


@pytest.fixture
def sound(page):
    """sound(): axe finds nothing on the page as it stands, and nothing is wider than the screen."""

    def _sound():
        found = Axe().run(page, options=AXE)
        faults = [
            f"{one['id']}: {one['help']}: {'; '.join(node['html'][:160] for node in one['nodes'][:3])}"
            for one in found.response["violations"]
        ]
        assert faults == [], page.url
        assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth"), page.url

    return _sound
