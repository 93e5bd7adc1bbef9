"""Walk every person's line of events and say where the first break of each is."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from assessments.ledger.selectors import Walk, guards_missing


class Command(BaseCommand):
    help = "Walk every line of events; exit status 1 if one is broken or the database no longer refuses changes."

    def handle(self, *_args: Any, **_options: Any) -> None:
        walk = Walk()
        faults = 0
        for each in walk.broken():
            faults += 1
            self.stdout.write(f"person {each.person_id}: broken at event {each.broken.sequence}: {each.broken.what}.")
        for name in guards_missing():
            faults += 1
            self.stdout.write(
                f"guard {name} is missing or is not what it was made: the database would let rows be changed."
            )
        if faults:
            raise CommandError(f"{faults} found in {walk.lines} lines, {walk.events} events.", returncode=1)
        self.stdout.write(f"Whole: {walk.lines} lines, {walk.events} events.")
