"""What people type on the board and under a signature."""

from __future__ import annotations

import uuid
from typing import TYPE_CHECKING, Any

from django import forms

from courses.layout import Acts, AskHelper, PlainHelper, Send, WayBack
from courses.people.models import Crew
from courses.people.services import password_is_theirs
from courses.tasks.models import Task

if TYPE_CHECKING:
    from datetime import date

    from assessments.standing.acts import ActPage
    from courses.people.access import PersonRequest

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
BAD_DAY = {"invalid": "Write the day as 2027-03-14 or 14/03/2027."}


class DayForm(forms.Form):
    """A day to look at; empty means today."""

    on = forms.DateField(label="On", required=False, widget=DAY, error_messages=BAD_DAY)

    def __init__(self, data: Any, *, today: date) -> None:
        super().__init__(data, initial={"on": today})
        self.today = today
        self.helper = AskHelper(self)

    def day(self) -> date:
        """The day asked for, or today where nothing readable was typed."""
        self.is_valid()
        return getattr(self, "cleaned_data", {}).get("on") or self.today


class BoardForm(DayForm):
    crew: forms.ModelChoiceField[Crew] = forms.ModelChoiceField(
        label="Crew", queryset=Crew.objects.order_by("name"), required=False, empty_label="all"
    )
    task: forms.ModelChoiceField[Task] = forms.ModelChoiceField(
        label="Task", queryset=Task.objects.order_by("code"), required=False, empty_label="all", to_field_name="code"
    )


class SignForm(forms.Form):
    """A signature: what is signed, why, from when, and the password once more."""

    restriction = forms.CharField(
        label="The condition",
        max_length=200,
        help_text="In words, for example: under supervision; this machine type only.",
    )
    reason = forms.CharField(
        label="Reason",
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Say why. The reason stays in the record."},
    )
    on = forms.DateField(label="Takes effect on", widget=DAY, error_messages=BAD_DAY)
    until_on = forms.DateField(label="Last day", required=False, widget=DAY, error_messages=BAD_DAY)
    credits_earlier_training = forms.BooleanField(
        label="I credit training from elsewhere in place of what is missing. It is signed with the grant.",
        required=False,
    )
    password = forms.CharField(
        label="Your password",
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
        help_text="Asked again because this is your signature.",
        error_messages={"required": "Your password makes this your signature."},
    )
    token = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(
        self,
        data: Any = None,
        *,
        request: PersonRequest,
        act: ActPage,
        today: date,
        back: str,
        credits_allowed: bool = False,
    ) -> None:
        super().__init__(data, initial={"on": today, "token": uuid.uuid4()})
        self.request = request
        if not act.asks_restriction:
            del self.fields["restriction"]
        if act.until_label:
            self.fields["until_on"].label = act.until_label
        else:
            del self.fields["until_on"]
        if not credits_allowed:
            del self.fields["credits_earlier_training"]
        if act.takes_effect_now:
            del self.fields["on"]
        self.helper = PlainHelper(self)
        self.helper.layout.append(Acts(Send(act.button), WayBack("Leave it unsigned", back)))

    def clean(self) -> dict[str, Any]:
        said = super().clean() or self.cleaned_data
        if not self.errors and not password_is_theirs(
            request=self.request, person=self.request.user, password=said.pop("password")
        ):
            self.add_error("password", "This is not the password you sign in with. Nothing was signed.")
        return said
