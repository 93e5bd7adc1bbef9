from __future__ import annotations

import io

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from assessments.ledger.guards import unguard_sql
from assessments.standing import services
from assessments.standing.models import CurrentStanding


def verify():
    out = io.StringIO()
    call_command("standing_verify", stdout=out)
    return out.getvalue()


def test_agreement_is_said(plant, said):
    services.grant(**said)
    assert verify() == "Table and events agree.\n"


def test_a_difference_is_told_and_ends_with_status_1(plant, said, capsys):
    services.grant(**said)
    CurrentStanding.objects.filter(task=plant.b1).update(state="suspended")
    with pytest.raises(CommandError) as caught:
        call_command("standing_verify")
    assert caught.value.returncode == 1
    assert f"person {plant.person.pk}, B1: the table says suspended" in capsys.readouterr().out
    call_command("standing_rebuild")
    assert verify() == "Table and events agree.\n"


def test_a_missing_guard_on_the_rules_ends_with_status_1(plant, capsys):
    with connection.cursor() as cursor:
        for statement in unguard_sql(connection.vendor, "standing_taskrule"):
            cursor.execute(statement)
    with pytest.raises(CommandError):
        call_command("standing_verify")
    assert "guard kept_standing_taskrule_" in capsys.readouterr().out
