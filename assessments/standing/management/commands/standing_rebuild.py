"""Make the table of current standing anew from events and evidence."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from assessments.standing.services import rebuild


class Command(BaseCommand):
    help = "Empty the table of current standing and work it out anew from events and evidence."

    def handle(self, *_args: Any, **_options: Any) -> None:
        self.stdout.write(f"{rebuild(at=timezone.now())} rows.")
