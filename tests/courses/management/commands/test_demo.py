from __future__ import annotations

import socket
import subprocess
import sys

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command
from django.db import connection

from courses.management.commands import demo


@pytest.fixture
def own_sqlite(tmp_path):
    """Runs `demo` as a program over a folder of its own; returns what it said."""

    def run(*arguments, status=0, **environment):
        done = subprocess.run(
            [sys.executable, "manage.py", "demo", *arguments],
            cwd=settings.BASE_DIR,
            env={"PATH": "/usr/bin:/bin", "DATA_DIR": str(tmp_path), **environment},
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == status, done.stdout + done.stderr
        assert "Traceback" not in done.stderr
        return done.stdout + done.stderr

    return run


def test_a_busy_port_is_told_before_any_work_with_a_port_that_is_free(tmp_path, own_sqlite):
    with socket.create_server(("127.0.0.1", 0)) as busy:
        port = busy.getsockname()[1]
        said = own_sqlite("--port", str(port), status=1)

    assert f"Port {port} is in use" in said
    assert "python3 manage.py demo --port " in said
    assert list(tmp_path.iterdir()) == []


def test_a_free_port_is_no_trouble():
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]

    demo.refuse_busy_port("127.0.0.1", port)


@pytest.mark.parametrize("port", ["0", "65536", "-1", "eight"])
def test_a_port_that_no_machine_has_is_refused_in_a_sentence(port):
    with pytest.raises(CommandError, match="--port"):
        call_command("demo", "--no-serve", "--port", port)


def test_an_address_of_another_machine_is_refused():
    with pytest.raises(CommandError, match=r"Nothing can be served on 192\.0\.2\.1"):
        demo.refuse_busy_port("192.0.2.1", 8000)


def test_demo_refuses_in_production(settings):
    settings.IS_PRODUCTION = True

    with pytest.raises(CommandError, match="PRODUCTION"):
        call_command("demo", no_serve=True)


def test_demo_prepares_keeps_what_was_entered_and_starts_afresh_when_told(tmp_path, own_sqlite):
    said = own_sqlite("--no-serve")
    assert "Sign in as" in said
    assert (tmp_path / "staticfiles").is_dir()
    database = tmp_path / "site.sqlite3"
    first = database.stat().st_ino

    assert "Demo plant" not in own_sqlite("--no-serve")
    assert database.stat().st_ino == first

    assert "Demo plant" in own_sqlite("--no-serve", "--reset")


@pytest.mark.django_db
def test_a_database_that_demo_did_not_make_is_never_wiped():
    assert not demo.is_marked()

    with pytest.raises(CommandError, match="was not made by demo"):
        demo.wipe()

    assert connection.introspection.table_names()


@pytest.mark.django_db
def test_a_mark_once_made_is_seen():
    demo.mark()

    assert demo.is_marked()
    assert not demo.is_empty()
