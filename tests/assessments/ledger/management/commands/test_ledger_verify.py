from __future__ import annotations

import io

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from assessments.ledger.guards import unguard_sql
from tests.factories.ledger import EventFactory
from tests.ledger_guards import guards_lifted

pytestmark = pytest.mark.django_db


def verify():
    out = io.StringIO()
    try:
        call_command("ledger_verify", stdout=out)
    except CommandError as error:
        return out.getvalue(), str(error), error.returncode
    return out.getvalue(), "", 0


def test_a_whole_ledger_says_so():
    EventFactory()
    assert verify() == ("Whole: 1 lines, 1 events.\n", "", 0)


def test_a_broken_line_is_named_and_ends_with_status_1():
    event = EventFactory()
    with guards_lifted(connection), connection.cursor() as cursor:
        cursor.execute("UPDATE ledger_event SET reason = 'another'")
    said, error, status = verify()
    assert said == f"person {event.person_id}: broken at event 1: event 1 does not say what was signed.\n"
    assert (error, status) == ("1 found in 1 lines, 1 events.", 1)


def test_a_missing_guard_ends_with_status_1():
    with connection.cursor() as cursor:
        for statement in unguard_sql(connection.vendor, "ledger_workdone"):
            cursor.execute(statement)
    said, _error, status = verify()
    assert "guard kept_ledger_workdone_" in said
    assert status == 1


def test_a_line_whose_own_row_is_gone_is_a_break_and_the_walk_goes_on():
    gone, broken, whole = EventFactory(), EventFactory(), EventFactory()
    with guards_lifted(connection), connection.cursor() as cursor:
        cursor.execute("DELETE FROM ledger_line WHERE person_id = %s", [gone.person_id])
        cursor.execute("UPDATE ledger_event SET reason = 'another' WHERE id = %s", [broken.pk])
    said, error, status = verify()
    assert f"person {gone.person_id}: broken at event 1: the line has 1 events, 0 were entered." in said
    assert f"person {broken.person_id}: broken at event 1: event 1 does not say" in said
    assert f"person {whole.person_id}:" not in said
    assert (error, status) == ("2 found in 3 lines, 3 events.", 1)
