"""Several at once, each on a connection of its own."""

from __future__ import annotations

import contextlib
import sqlite3
from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import connection, connections


@pytest.fixture
def in_threads(transactional_db, tmp_path):
    """Call with jobs to run them at once; gives what each returned or raised, in their order.

    SQLite's test database lives in memory, where nobody waits for a lock: from the first call on the threads work on a
    copy of it in a file, opened with the site's own options. Rows the threads need must stand before that first call.
    """
    path = tmp_path / "shared.sqlite3"

    @contextlib.contextmanager
    def shared():
        if connection.vendor != "sqlite":
            yield
            return
        if not path.exists():
            connection.ensure_connection()
            copy = sqlite3.connect(path)
            connection.connection.backup(copy)
            copy.close()
        # Set back before the test ends: Django keeps a database in memory open only while its name says that it is one.
        with pytest.MonkeyPatch.context() as patch:
            patch.setitem(connections.settings["default"], "NAME", str(path))
            yield

    def run(job):
        try:
            return job()
        except Exception as error:  # noqa: BLE001  (whatever goes wrong in a thread is what a test is about)
            return error
        finally:
            connection.close()

    def all_at_once(*jobs):
        with shared(), ThreadPoolExecutor(len(jobs)) as pool:
            return list(pool.map(run, jobs))

    return all_at_once
