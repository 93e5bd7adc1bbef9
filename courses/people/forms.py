"""What people type about accounts: signing in, passwords, adding and changing a person."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm
from django.contrib.auth.password_validation import password_validators_help_texts, validate_password
from django.http import HttpRequest
from django.utils import timezone

from courses.layout import Acts, AskHelper, PlainHelper, Send, WayBack
from courses.people.models import Crew, Person
from courses.people.roles import Role
from courses.people.selectors import crews
from courses.people.services import password_is_theirs


def _password_help() -> str:
    return " ".join(password_validators_help_texts())


class SignInForm(AuthenticationForm):
    error_messages = {  # noqa: RUF012
        "invalid_login": "Sign-in name and password do not belong together. Try again.",
        "inactive": "Sign-in name and password do not belong together. Try again.",
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = "Sign-in name"
        self.helper = PlainHelper(self, send="Sign in")

    def clean_username(self) -> str:
        # Small letters before the misses are counted, or "Tamm" and "tamm" would be counted apart.
        return str(self.cleaned_data["username"]).strip().lower()


class OwnPasswordForm(PasswordChangeForm):
    """The password one has, and a new one twice."""

    error_messages = {  # noqa: RUF012
        **PasswordChangeForm.error_messages,
        "password_incorrect": "This is not the password you sign in with. Type it again.",
        "password_mismatch": "The two new passwords differ. Type the new one twice alike.",
    }

    def __init__(self, *args: Any, request: HttpRequest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.request = request
        self.fields["old_password"].label = "The password you have now"
        self.fields["new_password1"].label = "New password"
        self.fields["new_password1"].help_text = _password_help()
        self.fields["new_password2"].label = "New password once more"
        self.fields["new_password2"].help_text = ""
        self.helper = PlainHelper(self, send="Change my password")

    def clean_old_password(self) -> str:
        old = str(self.cleaned_data["old_password"])
        if not password_is_theirs(request=self.request, person=self.user, password=old):
            raise forms.ValidationError(self.error_messages["password_incorrect"], code="password_incorrect")
        return old


class GivenPasswordForm(forms.Form):
    """Another password for somebody who lost theirs."""

    password = forms.CharField(
        label="New password",
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text="Hand it over in person, and tell them to change it at once: it is their signature.",
    )

    def __init__(self, *args: Any, person: Person, back: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.person = person
        self.helper = PlainHelper(self)
        self.helper.layout.append(Acts(Send("Give this password"), WayBack("Leave it as it is", back)))

    def clean_password(self) -> str:
        password = str(self.cleaned_data["password"])
        validate_password(password, self.person)
        return password


class PersonListForm(forms.Form):
    words = forms.CharField(label="Name", required=False, max_length=60)
    crew: forms.ModelChoiceField[Crew] = forms.ModelChoiceField(
        label="Crew", queryset=Crew.objects.none(), required=False, empty_label="all"
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["crew"].queryset = crews()  # type: ignore[attr-defined]
        self.helper = AskHelper(self)


class PlaceForm(forms.Form):
    """Crew, job and roles: what changes in a person's working life."""

    job_title = forms.CharField(
        label="Job", required=False, max_length=60, help_text="As people say it: apprentice, mechanic, fitter."
    )
    crew: forms.ModelChoiceField[Crew] = forms.ModelChoiceField(
        label="Crew", queryset=Crew.objects.none(), required=False, empty_label="no crew"
    )
    roles = forms.MultipleChoiceField(
        label="Roles",
        choices=Role.choices,
        widget=forms.CheckboxSelectMultiple,
        help_text="What the person may do on this site. Several are possible.",
        error_messages={"required": "Tick at least one role."},
    )

    def __init__(self, *args: Any, back: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["crew"].queryset = crews()  # type: ignore[attr-defined]
        self.helper = PlainHelper(self)
        self.helper.layout.append(Acts(Send("Save"), WayBack("Leave it as it is", back)))


class NewPersonForm(PlaceForm):
    """A person who has never had an account here."""

    username = forms.CharField(
        label="Sign-in name",
        max_length=40,
        help_text="Small letters, digits, dot and hyphen. It is never given to another person.",
        widget=forms.TextInput(attrs={"autocapitalize": "none", "autocomplete": "off", "spellcheck": "false"}),
    )
    full_name = forms.CharField(label="Name", max_length=120, widget=forms.TextInput(attrs={"autocomplete": "off"}))
    joined_on = forms.DateField(label="Joined on", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    password = forms.CharField(
        label="First password",
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text="Hand it over in person, and tell them to change it at once: it is their signature.",
    )
    field_order = ("full_name", "username", "job_title", "crew", "joined_on", "roles", "password")

    def clean_username(self) -> str:
        username = str(self.cleaned_data["username"]).strip().lower()
        field = Person._meta.get_field("username")  # noqa: SLF001
        field.run_validators(username)
        if Person.objects.filter(username=username).exists():
            raise forms.ValidationError("This sign-in name was given before. Choose another.", code="taken")
        return username

    def clean_joined_on(self) -> dt.date:
        joined_on: dt.date = self.cleaned_data["joined_on"]
        if joined_on > timezone.localdate():
            raise forms.ValidationError("That day is still to come. Add the person when they have joined.")
        return joined_on

    def clean(self) -> dict[str, Any]:
        said = super().clean() or self.cleaned_data
        if "password" in said and not self.errors:
            person = Person(
                username=said["username"], full_name=said["full_name"], job_title=said["job_title"], crew=said["crew"]
            )
            try:
                validate_password(said["password"], person)
            except forms.ValidationError as refused:
                self.add_error("password", refused)
        return said
