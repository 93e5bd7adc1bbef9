from __future__ import annotations

import io

from django.core.management import call_command

from assessments.standing.models import CurrentStanding


def test_the_table_is_made_anew_for_everybody(plant):
    out = io.StringIO()
    call_command("standing_rebuild", stdout=out)
    assert out.getvalue() == f"{CurrentStanding.objects.count()} rows.\n"
    assert CurrentStanding.objects.count() == 12
