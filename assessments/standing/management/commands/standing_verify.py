"""Prove that the table of current standing says what follows from the events."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from assessments.ledger.selectors import guards_missing
from assessments.standing.models import GUARDED_TABLES
from assessments.standing.selectors import differences


class Command(BaseCommand):
    help = "Hold the table of current standing against the events; exit status 1 with the first differences."

    def handle(self, *_args: Any, **_options: Any) -> None:
        found = differences()
        for each in found:
            self.stdout.write(
                f"person {each.person_id}, {each.task_code}: the table says {each.table_says}; the events say {each.events_say}."
            )
        missing = guards_missing(GUARDED_TABLES)
        for name in missing:
            self.stdout.write(
                f"guard {name} is missing or is not what it was made: the database would let rules be changed."
            )
        if found or missing:
            raise CommandError(
                "Table and events differ, or a guard is missing or changed. `standing_rebuild` makes the table anew.",
                returncode=1,
            )
        self.stdout.write("Table and events agree.")
