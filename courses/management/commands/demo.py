"""`manage.py demo`: an invented plant to try the site on, served on this machine.

Whatever this command may wipe carries its mark, a table of its own in the database. A database
without the mark is never wiped and never gets demo people beside real ones.
"""

from __future__ import annotations

import errno
import fcntl
import logging
import os
import socket
import sys
import time
from argparse import ArgumentParser
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from typing import Any, TextIO, cast

from django.conf import settings
from django.contrib.auth import get_user_model
from django.core.management import BaseCommand, CommandError, call_command
from django.db import connection, transaction

from courses.signing_key import keep_key

MARK = "made_by_demo"
LOOPBACK = {"127.0.0.1", "localhost", "::1"}


def refuse_busy_port(host: str, port: int) -> None:
    """Raise CommandError, with a way on, if nothing can be served there."""
    try:
        family = socket.getaddrinfo(host, port)[0][0]
        socket.create_server((host, port), family=family).close()
    except OSError as trouble:
        if trouble.errno == errno.EADDRINUSE:
            raise CommandError(
                f"Port {port} is in use, perhaps by a demo that runs already: try http://{host}:{port}/ first.\n"
                f"To serve on another port: python3 manage.py demo --port {_free_port(host, port, family)}"
            ) from None
        if trouble.errno == errno.EACCES:
            raise CommandError(
                f"Port {port} is reserved for the system. Take one above 1023: python3 manage.py demo --port 8000"
            ) from None
        raise CommandError(f"Nothing can be served on {host}: {trouble.strerror}.") from None


def _free_port(host: str, busy: int, family: int) -> int:
    """One of the next ports if it is free, else any."""
    for port in (*range(busy + 1, min(busy + 10, 65535)), 0):
        with suppress(OSError), closing(socket.create_server((host, port), family=family)) as server:
            return int(server.getsockname()[1])
    raise CommandError(f"No port of {host} is free.")


@contextmanager
def _unlogged(name: str) -> Iterator[None]:
    """Hold back what a logger would say of each made-up person: nobody entered them."""
    logger = logging.getLogger(name)
    before = logger.level
    logger.setLevel(logging.WARNING)
    try:
        yield
    finally:
        logger.setLevel(before)


def is_marked() -> bool:
    """True if this command made the database."""
    return MARK in connection.introspection.table_names()


def is_empty() -> bool:
    """True if the database holds no table at all."""
    return not connection.introspection.table_names()


def mark() -> None:
    with connection.cursor() as cursor:
        cursor.execute(f"CREATE TABLE {MARK} (note TEXT)")


def wipe() -> None:
    """Empty the database. Raises CommandError if it was not made by this command."""
    if is_empty():
        return
    if not is_marked():
        raise CommandError(
            f"The database {connection.settings_dict['NAME']} was not made by demo, so it is left as it is.\n"
            "For a demo beside it, name another folder: DATA_DIR=... python3 manage.py demo"
        )
    if connection.vendor == "sqlite":
        path = str(connection.settings_dict["NAME"])
        connection.close()
        for part in (path, path + "-wal", path + "-shm"):
            Path(part).unlink(missing_ok=True)
    else:
        with connection.cursor() as cursor:
            cursor.execute("DROP SCHEMA public CASCADE")
            cursor.execute("CREATE SCHEMA public")


class Command(BaseCommand):
    help = "Prepare an invented plant, print how to sign in, and serve the site on this machine."
    requires_system_checks = ()  # migrate runs them

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--reset", action="store_true", help="throw away what was entered and start afresh")
        parser.add_argument("--no-serve", action="store_true", help="prepare only")
        parser.add_argument(
            "--port", type=int, choices=range(1, 65536), metavar="N", default=8000, help="8000 unless given"
        )
        parser.add_argument("--host", default="127.0.0.1", help="127.0.0.1 unless given: this machine alone")

    def handle(self, *, reset: bool, no_serve: bool, port: int, host: str, **options: Any) -> None:
        if settings.IS_PRODUCTION:
            raise CommandError("The demo's passwords are public: it does not run with PRODUCTION set.")
        if not no_serve:
            refuse_busy_port(host, port)
        settings.DATA_DIR.mkdir(parents=True, exist_ok=True)
        keep_key(settings.DATA_DIR)
        with (settings.DATA_DIR / "in_use").open("w") as in_use:
            if reset:
                self._wait_for_nobody(in_use.fileno())
                wipe()
            self._prepare()
            self._tell(host, port, is_served=not no_serve)
            if not no_serve:
                self._serve(host, port, in_use.fileno())

    def _wait_for_nobody(self, in_use: int) -> None:
        try:
            fcntl.flock(in_use, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise CommandError(
                "The demo is being served from this database. Stop it first, with Ctrl-C where it runs."
            ) from None

    def _prepare(self) -> None:
        if is_empty():
            mark()
        with self._step("Database"):
            call_command("migrate", verbosity=0, interactive=False)
        with self._step("Static files"):
            call_command("collectstatic", verbosity=0, interactive=False)
        if get_user_model().objects.exists():
            return
        from fixtures_demo.load import load_demo  # noqa: PLC0415  (heavy, and needed once)

        began = time.monotonic()
        self.stdout.write("Demo plant")
        with _unlogged("accounts"), transaction.atomic():
            load_demo(cast("TextIO", self.stdout))
            if not is_marked():
                mark()
        self.stdout.write(f"  loaded, {time.monotonic() - began:.1f} s")

    @contextmanager
    def _step(self, words: str) -> Iterator[None]:
        self.stdout.write(f"{words} ...", ending="")
        self.stdout.flush()
        began = time.monotonic()
        yield
        self.stdout.write(f" {time.monotonic() - began:.1f} s")

    def _tell(self, host: str, port: int, *, is_served: bool) -> None:
        if is_marked():
            from fixtures_demo.load import DEMO_SIGN_INS  # noqa: PLC0415  (as above)

            self.stdout.write("\nAn invented plant: its people, machines and limits are made up. Sign in as\n")
            for role, username, password in DEMO_SIGN_INS:
                self.stdout.write(f"  {role:<24}{username:<20}{password}")
        else:
            self.stdout.write("\nThis database was not made by demo: nothing was added, its own people sign in.")
        if not is_served:
            return
        name = f"[{host}]" if ":" in host else host
        self.stdout.write(f"\nOpen http://{name}:{port}/   Stop with Ctrl-C. What is entered stays;")
        self.stdout.write("to start afresh: python3 manage.py demo --reset")
        if host not in LOOPBACK:
            self.stdout.write("Caution: others can reach this address, and the demo's passwords are public.")

    def _serve(self, host: str, port: int, in_use: int) -> None:
        fcntl.flock(in_use, fcntl.LOCK_SH)
        os.set_inheritable(in_use, True)  # held for as long as the server lives
        if host not in LOOPBACK:
            os.environ["ALLOWED_HOSTS"] = " ".join([*settings.ALLOWED_HOSTS, host, socket.gethostname()])
        sys.stdout.flush()
        bind = f"[{host}]:{port}" if ":" in host else f"{host}:{port}"
        server = ("-m", "gunicorn", "courses.wsgi", "--workers", "2", "--bind", bind, "--log-level", "warning")
        os.chdir(settings.BASE_DIR)
        os.execv(sys.executable, [sys.executable, *server])
