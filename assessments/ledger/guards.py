"""What makes the database itself refuse to change or drop a row, on SQLite and on PostgreSQL.

Migrations run these statements. Nothing in the site takes a guard away; only the tests do, around
emptying their own database (tests/ledger_guards.py).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from django.apps.registry import Apps
    from django.db.backends.base.base import BaseDatabaseWrapper
    from django.db.backends.base.schema import BaseDatabaseSchemaEditor

PREFIX = "kept_"
GUARDED_ACTS = {"sqlite": ("update", "delete", "replace"), "postgresql": ("row", "truncate")}


class NoGuardError(RuntimeError):
    """The database is neither SQLite nor PostgreSQL, so its rows could not be kept from change."""

    def __init__(self, vendor: str) -> None:
        super().__init__(f"No guard is written for {vendor}: the records would not be safe there.")


def guard_sql(vendor: str, table: str, uniques: Sequence[Sequence[str]] = ()) -> list[str]:
    """Statements that close ``table`` against UPDATE, DELETE and TRUNCATE.

    ``uniques`` are the unique keys beside ``id``. SQLite's INSERT OR REPLACE drops the row it collides with
    without running DELETE triggers, so a row that collides is refused before that.
    """
    says = f"Rows of {table} are never changed or removed; enter a correction."
    if vendor == "sqlite":
        keys = " OR ".join(" AND ".join(f"{column} = NEW.{column}" for column in key) for key in [["id"], *uniques])
        collides = f"EXISTS (SELECT 1 FROM {table} WHERE {keys})"  # noqa: S608  (names of our own tables)
        return [
            f"CREATE TRIGGER {PREFIX}{table}_update BEFORE UPDATE ON {table} BEGIN SELECT RAISE(ABORT, '{says}'); END",
            f"CREATE TRIGGER {PREFIX}{table}_delete BEFORE DELETE ON {table} BEGIN SELECT RAISE(ABORT, '{says}'); END",
            f"CREATE TRIGGER {PREFIX}{table}_replace BEFORE INSERT ON {table} WHEN {collides} BEGIN SELECT RAISE(ABORT, '{says}'); END",
        ]
    if vendor == "postgresql":
        return [
            (
                f"CREATE OR REPLACE FUNCTION {PREFIX}{table}() RETURNS trigger LANGUAGE plpgsql AS "
                f"$$ BEGIN RAISE EXCEPTION '{says}' USING ERRCODE = 'restrict_violation'; END $$"
            ),
            (
                f"CREATE TRIGGER {PREFIX}{table}_row BEFORE UPDATE OR DELETE ON {table} "
                f"FOR EACH ROW EXECUTE FUNCTION {PREFIX}{table}()"
            ),
            (
                f"CREATE TRIGGER {PREFIX}{table}_truncate BEFORE TRUNCATE ON {table} "
                f"FOR EACH STATEMENT EXECUTE FUNCTION {PREFIX}{table}()"
            ),
        ]
    raise NoGuardError(vendor)


def unguard_sql(vendor: str, table: str) -> list[str]:
    """Statements that take the guards off again: for a migration run backwards."""
    if vendor == "sqlite":
        return [f"DROP TRIGGER IF EXISTS {PREFIX}{table}_{act}" for act in GUARDED_ACTS[vendor]]
    if vendor == "postgresql":
        return [f"DROP FUNCTION IF EXISTS {PREFIX}{table}() CASCADE"]
    raise NoGuardError(vendor)


def guard(table: str, *uniques: Sequence[str]) -> Callable[[Apps, BaseDatabaseSchemaEditor], None]:
    """A migration step (RunPython) that closes a table."""

    def step(_apps: Apps, editor: BaseDatabaseSchemaEditor) -> None:
        for statement in guard_sql(editor.connection.vendor, table, uniques):
            editor.execute(statement)

    return step


def unguard(table: str) -> Callable[[Apps, BaseDatabaseSchemaEditor], None]:
    """The step back."""

    def step(_apps: Apps, editor: BaseDatabaseSchemaEditor) -> None:
        for statement in unguard_sql(editor.connection.vendor, table):
            editor.execute(statement)

    return step


def faulty_guards(connection: BaseDatabaseWrapper, tables: Mapping[str, Sequence[Sequence[str]]]) -> list[str]:
    """Names of guards that should stand in this database and do not, are switched off, or do not say what they should.

    ``tables``: the unique keys beside ``id`` of each guarded table, as its migration names them.
    """
    wanted: dict[str, str] = {}
    for table, uniques in tables.items():
        wanted |= guard_texts(connection.vendor, table, uniques)
    with connection.cursor() as cursor:
        cursor.execute(_GUARDS_THERE[connection.vendor])
        found = dict(cursor.fetchall())
    return sorted(name for name, text in wanted.items() if found.get(name) != text)


def guard_texts(vendor: str, table: str, uniques: Sequence[Sequence[str]] = ()) -> dict[str, str]:
    """What each guard of a table says, by its name, in the words in which the database gives it back."""
    statements = guard_sql(vendor, table, uniques)
    if vendor == "sqlite":
        return dict(zip((f"{PREFIX}{table}_{act}" for act in GUARDED_ACTS[vendor]), statements, strict=True))
    body = statements[0].split("$$")[1]
    return {
        f"{PREFIX}{table}_row": f"CREATE TRIGGER {PREFIX}{table}_row BEFORE DELETE OR UPDATE ON {table} "
        f"FOR EACH ROW EXECUTE FUNCTION {PREFIX}{table}(){body}",
        f"{PREFIX}{table}_truncate": f"CREATE TRIGGER {PREFIX}{table}_truncate BEFORE TRUNCATE ON {table} "
        f"FOR EACH STATEMENT EXECUTE FUNCTION {PREFIX}{table}(){body}",
    }


_GUARDS_THERE = {
    "sqlite": "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'",
    "postgresql": (
        "SELECT t.tgname, pg_get_triggerdef(t.oid, true) || p.prosrc FROM pg_trigger t JOIN pg_proc p ON p.oid = t.tgfoid "
        "WHERE NOT t.tgisinternal AND t.tgenabled IN ('O', 'A')"
    ),
}
