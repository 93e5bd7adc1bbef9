"""What people ask of a record: what was known at the end of a day."""

from __future__ import annotations

from datetime import datetime, time
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from django import forms
from django.utils.timezone import make_aware

from courses.layout import AskHelper

if TYPE_CHECKING:
    from datetime import date

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
BAD_DAY = {"invalid": "Write the day as 2027-03-14 or 14/03/2027."}


class KnownForm(forms.Form):
    """A day up to whose end entries are taken into account; empty means everything entered up to now."""

    known = forms.DateField(label="As known at the end of", required=False, widget=DAY, error_messages=BAD_DAY)

    def __init__(self, data: Any, *, today: date, **more: Any) -> None:
        super().__init__(data, **more)
        self.today = today
        self.helper = AskHelper(self)

    def known_at(self) -> datetime | None:
        """The last instant of the day asked for; None for today, a later day, or where nothing readable was typed."""
        day = self.asked("known")
        return make_aware(datetime.combine(day, time.max)) if day and day < self.today else None

    def asked(self, name: str) -> Any:
        """What was typed in a field, or None where it was left empty or cannot be read."""
        self.is_valid()
        return getattr(self, "cleaned_data", {}).get(name)

    def carried(self) -> dict[str, str]:
        """What links on the page carry along, so that the next page answers for the same instant."""
        known = self.known_at()
        return {"known": f"{known:%Y-%m-%d}"} if known else {}

    @property
    def query(self) -> str:
        carried = self.carried()
        return f"?{urlencode(carried)}" if carried else ""
