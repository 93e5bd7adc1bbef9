# ruff: noqa: S608  (reaching past the guards is what these tests do)
"""The database itself refuses to change or drop rows. Broken on purpose, through raw SQL."""

from __future__ import annotations

import pytest
from django.db import IntegrityError, connection, transaction

from assessments.ledger.guards import (
    GUARDED_ACTS,
    NoGuardError,
    faulty_guards,
    guard,
    guard_sql,
    guard_texts,
    unguard,
    unguard_sql,
)
from assessments.ledger.models import GUARDED_TABLES, Event, WorkDone
from assessments.ledger.selectors import guards_missing
from assessments.standing.models import GUARDED_TABLES as GUARDED_RULES
from tests.factories.ledger import EventFactory, OccurrenceFactory, WorkDoneFactory
from tests.factories.standing import TaskRuleFactory
from tests.ledger_guards import guards_lifted

pytestmark = pytest.mark.django_db

ROWS = {
    "ledger_event": EventFactory,
    "ledger_workdone": WorkDoneFactory,
    "ledger_occurrence": OccurrenceFactory,
    "standing_taskrule": TaskRuleFactory,
}
COLUMNS = {
    "ledger_event": "reason",
    "ledger_workdone": "note",
    "ledger_occurrence": "note",
    "standing_taskrule": "reason",
}


def run(sql, values=()):
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(sql, values)


def test_every_guarded_table_is_tested_here():
    assert {*GUARDED_TABLES, *GUARDED_RULES} == set(ROWS)


@pytest.mark.parametrize("table", ROWS)
def test_a_row_cannot_be_changed(table):
    row = ROWS[table]()
    with pytest.raises(IntegrityError, match=f"Rows of {table} are never changed or removed"):
        run(f"UPDATE {table} SET {COLUMNS[table]} = 'another' WHERE id = %s", [row.pk])
    row.refresh_from_db()
    assert getattr(row, COLUMNS[table]) != "another"


@pytest.mark.parametrize("table", ROWS)
def test_a_row_cannot_be_removed(table):
    row = ROWS[table]()
    with pytest.raises(IntegrityError, match="never changed or removed"):
        run(f"DELETE FROM {table} WHERE id = %s", [row.pk])
    assert type(row).objects.filter(pk=row.pk).exists()


@pytest.mark.parametrize("table", ROWS)
def test_a_table_cannot_be_emptied_at_once(table):
    ROWS[table]()
    empty = f"TRUNCATE {table} CASCADE" if connection.vendor == "postgresql" else f"DELETE FROM {table}"
    connection.check_constraints()  # TRUNCATE would not run while the checks of the new row are pending
    with pytest.raises(IntegrityError, match="never changed or removed"):
        run(empty)


@pytest.mark.parametrize("table", ROWS)
def test_a_row_cannot_be_put_in_the_place_of_another(table):
    """SQLite's INSERT OR REPLACE runs no DELETE trigger; PostgreSQL's upsert is an UPDATE."""
    row = ROWS[table]()
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT * FROM {table} WHERE id = %s", [row.pk])
        columns = [each[0] for each in cursor.description]
    names = ", ".join(f'"{name}"' for name in columns)
    others = ", ".join("'another'" if name == COLUMNS[table] else f'"{name}"' for name in columns)
    replace = (
        f"INSERT INTO {table} ({names}) SELECT {others} FROM {table} ON CONFLICT (id) DO UPDATE SET {COLUMNS[table]} = 'another'"
        if connection.vendor == "postgresql"
        else f"INSERT OR REPLACE INTO {table} ({names}) SELECT {others} FROM {table}"
    )
    with pytest.raises(IntegrityError, match="never changed or removed"):
        run(replace)
    row.refresh_from_db()
    assert getattr(row, COLUMNS[table]) != "another"


def test_an_event_cannot_take_the_number_of_another():
    event = EventFactory()
    with pytest.raises(IntegrityError):
        run(
            "INSERT INTO ledger_event (person_id, task_id, sequence, kind, effective_on, entered_at, entered_by_id, signed_name, "
            "meaning, reason, evidence, restriction, previous_hash, hash) SELECT person_id, task_id, sequence, kind, effective_on, "
            "entered_at, entered_by_id, signed_name, meaning, reason, evidence, restriction, previous_hash, 'x' FROM ledger_event"
        )
    assert Event.objects.get() == event


def test_django_itself_is_refused_too():
    event = EventFactory()
    event.reason = "another"
    with pytest.raises(IntegrityError), transaction.atomic():
        event.save()
    with pytest.raises(IntegrityError), transaction.atomic():
        Event.objects.all().delete()
    with pytest.raises(IntegrityError), transaction.atomic():
        WorkDone.objects.filter(pk=WorkDoneFactory().pk).update(note="another")


def test_every_guard_stands():
    assert guards_missing() == []
    assert guards_missing(GUARDED_RULES) == []


def test_a_guard_taken_away_is_missed_and_names_itself():
    for statement in unguard_sql(connection.vendor, "ledger_event"):
        run(statement)
    wanted = [f"kept_ledger_event_{act}" for act in GUARDED_ACTS[connection.vendor]]
    assert guards_missing() == sorted(wanted)


TOOTHLESS = {
    "sqlite": [
        "DROP TRIGGER kept_ledger_event_update",
        "CREATE TRIGGER kept_ledger_event_update BEFORE UPDATE ON ledger_event WHEN 0 BEGIN SELECT RAISE(ABORT, 'no'); END",
    ],
    "postgresql": [
        "DROP TRIGGER kept_ledger_event_row ON ledger_event",
        (
            "CREATE TRIGGER kept_ledger_event_row BEFORE UPDATE OR DELETE ON ledger_event FOR EACH ROW WHEN (false) "
            "EXECUTE FUNCTION kept_ledger_event()"
        ),
    ],
}
ELSEWHERE = {
    "sqlite": [
        "DROP TRIGGER kept_ledger_event_delete",
        "CREATE TRIGGER kept_ledger_event_delete BEFORE DELETE ON ledger_line BEGIN SELECT RAISE(ABORT, 'no'); END",
    ],
    "postgresql": [
        "CREATE OR REPLACE FUNCTION kept_ledger_event() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RETURN NEW; END $$",
    ],
}


@pytest.mark.parametrize("statements", [TOOTHLESS, ELSEWHERE], ids=["toothless", "elsewhere"])
def test_a_guard_of_the_right_name_that_guards_nothing_is_found(statements):
    EventFactory()
    connection.check_constraints()
    for statement in statements[connection.vendor]:
        run(statement)
    assert guards_missing()
    assert all(name.startswith("kept_ledger_event") for name in guards_missing())


def test_the_guards_can_be_lifted_for_emptying_a_test_database_and_stand_again_after_it():
    EventFactory()
    with guards_lifted(connection):
        run("DELETE FROM ledger_event")
    assert guards_missing() == []
    assert not Event.objects.exists()
    EventFactory()
    with pytest.raises(IntegrityError):
        run("DELETE FROM ledger_event")


def test_another_database_is_refused_rather_than_left_open():
    for step in (
        lambda: guard_sql("mysql", "ledger_event"),
        lambda: unguard_sql("mysql", "ledger_event"),
        lambda: guard_texts("mysql", "ledger_event"),
    ):
        with pytest.raises(NoGuardError, match="mysql"):
            step()


def test_each_database_gets_its_own_statements():
    assert len(guard_sql("sqlite", "a", [("b", "c")])) == 3
    assert "b = NEW.b AND c = NEW.c" in guard_sql("sqlite", "a", [("b", "c")])[2]
    assert any("TRUNCATE" in statement for statement in guard_sql("postgresql", "a"))
    assert [text.partition(" ON ")[0] for text in guard_texts("postgresql", "a").values()] == [
        "CREATE TRIGGER kept_a_row BEFORE DELETE OR UPDATE",
        "CREATE TRIGGER kept_a_truncate BEFORE TRUNCATE",
    ]
    assert unguard_sql("postgresql", "a") == ["DROP FUNCTION IF EXISTS kept_a() CASCADE"]
    assert len(unguard_sql("sqlite", "a")) == 3


def test_a_migration_step_and_its_step_back():
    with connection.cursor() as cursor:
        cursor.execute("CREATE TABLE shelf (id integer PRIMARY KEY, word text)")
    with PlainEditor() as editor:
        guard("shelf", ("word",))(None, editor)
    assert faulty_guards(connection, {"shelf": [("word",)]}) == []
    run("INSERT INTO shelf VALUES (1, 'a')")
    with pytest.raises(IntegrityError):
        run("DELETE FROM shelf")
    with PlainEditor() as editor:
        unguard("shelf")(None, editor)
    run("DELETE FROM shelf")


class PlainEditor:
    """What a step uses of a schema editor; SQLite's real one cannot be opened inside a test's transaction."""

    connection = connection

    def __enter__(self):
        return self

    def __exit__(self, *_):
        return None

    def execute(self, statement):
        run(statement)


@pytest.mark.django_db(transaction=True)
def test_a_transactional_test_may_leave_rows_behind():
    """Its teardown empties the database: without tests/conftest.py lifting the guards it would fail."""
    EventFactory()
    assert Event.objects.count() == 1
