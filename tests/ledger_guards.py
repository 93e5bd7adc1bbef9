"""How a test database that refuses to be emptied is emptied all the same. For tests only: the site has no such door."""

from __future__ import annotations

import contextlib

from django.db import transaction
from django.db.backends.base.operations import BaseDatabaseOperations

from assessments.ledger.guards import PREFIX


@contextlib.contextmanager
def guards_lifted(connection):
    """Take every guard of this database off, and put exactly the same ones back."""
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute(
                "SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND name LIKE %s", [PREFIX + "%"]
            )
            kept = cursor.fetchall()
            for name, _sql in kept:
                cursor.execute(f"DROP TRIGGER {name}")
            yield
            for _name, sql in kept:
                cursor.execute(sql)
        else:
            cursor.execute(
                "SELECT c.relname, t.tgname FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid WHERE t.tgname LIKE %s",
                [PREFIX + "%"],
            )
            kept = cursor.fetchall()
            cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")  # or ALTER TABLE would not run with their checks pending
            for table, name in kept:
                cursor.execute(f"ALTER TABLE {table} DISABLE TRIGGER {name}")
            yield
            for table, name in kept:
                cursor.execute(f"ALTER TABLE {table} ENABLE TRIGGER {name}")
            cursor.execute("SET CONSTRAINTS ALL DEFERRED")


def let_tests_empty_their_database():
    """Django empties a test database after each transactional test: by TRUNCATE on PostgreSQL, by DELETE on SQLite.

    The guards refuse both. From here on the emptying runs with the guards lifted, in the same transaction.
    Call once, from tests/conftest.py's pytest_configure.
    """
    if getattr(BaseDatabaseOperations.execute_sql_flush, "lifts_guards", False):
        return
    plain = BaseDatabaseOperations.execute_sql_flush

    def flush(self, sql_list):
        with transaction.atomic(using=self.connection.alias), guards_lifted(self.connection):
            return plain(self, sql_list)

    flush.lifts_guards = True
    BaseDatabaseOperations.execute_sql_flush = flush
