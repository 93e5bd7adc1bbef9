"""What people type on the board, under a signature, and as evidence."""

from __future__ import annotations

import uuid
from typing import TYPE_CHECKING, Any, ClassVar

from django import forms

from assessments.ledger.forms import BAD_DAY, DAY, KnownForm
from assessments.ledger.models import Occurrence, OccurrenceKind
from assessments.standing.errors import LastDayError
from assessments.standing.rules import latest_last_day
from courses.layout import Acts, PlainHelper, Send, WayBack
from courses.machines.models import Machine
from courses.people.models import Crew
from courses.people.services import password_is_theirs
from courses.tasks.models import Task

if TYPE_CHECKING:
    from datetime import date

    from assessments.ledger.models import WorkDone
    from assessments.standing.acts import ActPage
    from courses.people.access import PersonRequest


class DayForm(KnownForm):
    """A day to look at; left empty it becomes today."""

    field_order = ("on", "crew", "task", "known")
    on = forms.DateField(label="On", required=False, widget=DAY, error_messages=BAD_DAY)

    def __init__(self, data: Any, *, today: date) -> None:
        if data is not None and not data.get("on"):
            data = {**{name: data[name] for name in data}, "on": today}
        super().__init__(data, today=today, initial={"on": today})

    def day(self) -> date:
        """The day asked for, or today where nothing readable was typed."""
        return self.asked("on") or self.today

    def carried(self) -> dict[str, str]:
        return ({"on": self.day().isoformat()} if self.day() != self.today else {}) | super().carried()


class BoardForm(DayForm):
    crew: forms.ModelChoiceField[Crew] = forms.ModelChoiceField(
        label="Crew", queryset=Crew.objects.order_by("name"), required=False, empty_label="all"
    )
    task: forms.ModelChoiceField[Task] = forms.ModelChoiceField(
        label="Task", queryset=Task.objects.order_by("code"), required=False, empty_label="all", to_field_name="code"
    )


def password_again(why: str) -> forms.CharField:
    return forms.CharField(
        label="Your password",
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
        help_text=why,
        error_messages={"required": "Your password makes this your signature."},
    )


class PasswordForm(forms.Form):
    """A form that asks for the password once more. It is tried only where everything else is in order."""

    request: PersonRequest
    wrong_password = "This is not the password you sign in with. Nothing was signed."  # noqa: S105  (what is said)

    def clean(self) -> dict[str, Any]:
        said = super().clean() or self.cleaned_data
        if (
            "password" in self.fields
            and not self.errors
            and not password_is_theirs(request=self.request, person=self.request.user, password=said.pop("password"))
        ):
            self.add_error("password", self.wrong_password)
        return said


class SignForm(PasswordForm):
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
    password = password_again("Asked again because this is your signature.")
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
        self.today = today
        if not act.asks_restriction:
            del self.fields["restriction"]
        if act.until_label:
            self.fields["until_on"].label = act.until_label
        else:
            del self.fields["until_on"]
        if not credits_allowed:
            del self.fields["credits_earlier_training"]
        if not act.may_be_dated_back:
            del self.fields["on"]
        self.helper = PlainHelper(self)
        button = f"{act.button}, crediting earlier training" if credits_allowed else act.button
        self.helper.layout.append(Acts(Send(button), WayBack("Leave it unsigned", back)))

    def clean_until_on(self) -> date | None:
        until_on: date | None = self.cleaned_data["until_on"]
        on: date = self.cleaned_data.get("on", self.today)
        latest = latest_last_day(on)
        if until_on and not on <= until_on <= latest:
            raise forms.ValidationError(str(LastDayError(on, latest)))
        return until_on


class EvidenceForm(PasswordForm):
    """What somebody saw of a person. With ``row`` it corrects that entry, which keeps what it is and its task."""

    kept: ClassVar[tuple[str, ...]] = ("task",)
    wrong_password = "This is not the password you sign in with. Nothing was entered."  # noqa: S105  (what is said)

    on = forms.DateField(label="Day", widget=DAY, error_messages={**BAD_DAY, "required": "Say on which day it was."})
    note = forms.CharField(
        label="Note",
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Say in a few words what was seen. It stays in the record."},
    )
    is_mistake = forms.BooleanField(
        label="It never happened: the entry is to count for nothing, and nothing takes its place.", required=False
    )
    password = password_again("Asked again because this takes an entry out of what counts.")

    def __init__(
        self,
        data: Any = None,
        *,
        request: PersonRequest,
        today: date,
        back: str,
        task: str = "",
        row: WorkDone | Occurrence | None = None,
    ) -> None:
        again = {"note", "is_mistake", "password"}
        before = {name: getattr(row, name) for name in self.base_fields if name not in again} if row else {}
        super().__init__(data, initial={"on": today, "task": task, **before})
        self.request = request
        self.today = today
        self.row = row
        for name in self.left_out():
            del self.fields[name]
        self.helper = PlainHelper(self)
        self.helper.layout.append(
            Acts(Send("Enter the correction" if row else "Enter it"), WayBack("Leave it unentered", back))
        )

    def left_out(self) -> tuple[str, ...]:
        """The fields that this form does not ask."""
        return self.kept if self.row else ("is_mistake", "password")

    def clean_on(self) -> date:
        on: date = self.cleaned_data["on"]
        if on > self.today:
            raise forms.ValidationError("That day has not come yet. Enter it on the day.")
        return on

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        if self.row:
            said |= {name: getattr(self.row, name) for name in self.kept}
        said["happened"] = not said.pop("is_mistake", False)
        return said


class WorkForm(EvidenceForm):
    """The person did a task."""

    field_order = ("task", "on", "machine", "note")
    task: forms.ModelChoiceField[Task] = forms.ModelChoiceField(
        label="Task",
        queryset=Task.objects.order_by("code"),
        to_field_name="code",
        empty_label="choose",
        error_messages={"required": "Choose the task that was done."},
    )
    machine: forms.ModelChoiceField[Machine] = forms.ModelChoiceField(
        label="Machine", queryset=Machine.objects.order_by("name"), required=False, empty_label="none named"
    )


class OccurrenceForm(EvidenceForm):
    """The person was away from the work, or something calls for a refresher."""

    field_order = ("kind", "on", "to_on", "task", "note")
    kept = ("kind", "task")
    kind = forms.ChoiceField(
        label="What",
        choices=OccurrenceKind.choices,
        widget=forms.RadioSelect,
        error_messages={"required": "Choose what it was."},
    )
    to_on = forms.DateField(
        label="Last day",
        required=False,
        widget=DAY,
        help_text="For an absence only. Empty means still away.",
        error_messages=BAD_DAY,
    )
    task: forms.ModelChoiceField[Task] = forms.ModelChoiceField(
        label="Task",
        queryset=Task.objects.order_by("code"),
        to_field_name="code",
        required=False,
        empty_label="every task",
    )

    def left_out(self) -> tuple[str, ...]:
        is_call = isinstance(self.row, Occurrence) and self.row.kind != OccurrenceKind.ABSENT
        return (*super().left_out(), "to_on") if is_call else super().left_out()

    def clean_to_on(self) -> date | None:
        to_on: date | None = self.cleaned_data["to_on"]
        on = self.cleaned_data.get("on")
        kind = OccurrenceKind.ABSENT if self.row else self.cleaned_data.get("kind")
        if to_on and kind not in {None, OccurrenceKind.ABSENT}:
            raise forms.ValidationError("Only an absence has a last day. Leave it empty here.")
        if to_on and on and to_on < on:
            raise forms.ValidationError("The last day lies before the first.")
        return to_on
