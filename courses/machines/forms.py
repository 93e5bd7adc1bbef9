"""The form with which an instructor issues a new revision of a sheet."""

from __future__ import annotations

from dataclasses import asdict
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from crispy_forms.layout import Div, Layout
from django import forms
from django.forms.formsets import BaseFormSet, formset_factory

from courses.layout import Group, PlainHelper
from courses.machines.models import EntryForm
from courses.machines.rules import FIGURE_NAMES, MOST_DECIMALS, EntryDraft, mistakes, repeated_codes
from courses.machines.units import UNITS

if TYPE_CHECKING:
    from collections.abc import Sequence

MOST_LINES = 75
"""As many as one sent form may hold: Django counts its fields, against floods."""
SPARE_LINES = 2


class FigureField(forms.DecimalField):
    """A figure as typed: a decimal comma is read as a point, and 0.150 stays 0.150."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            required=False,
            max_digits=14,
            decimal_places=MOST_DECIMALS,
            widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
            error_messages={"invalid": "This is not a number: write it like 0.150."},
            **kwargs,
        )

    def to_python(self, value: Any) -> Decimal | None:  # type: ignore[override]  # as it really is
        if isinstance(value, str) and value.count(",") == 1 and "." not in value:
            value = value.replace(",", ".")
        return super().to_python(value)


class EntryLineForm(forms.Form):
    """One line of a sheet."""

    label = forms.CharField(max_length=120, label="What")
    where = forms.CharField(max_length=120, label="Where on the machine")
    code = forms.CharField(max_length=60)
    form = forms.ChoiceField(choices=[("", "choose"), *EntryForm.choices], label="Kind of figure")
    unit = forms.ChoiceField(
        choices=[("", "choose"), *((symbol, f"{symbol} ({name})") for symbol, name in UNITS.items())]
    )
    nominal = FigureField()
    tolerance = FigureField(label="Tolerance ±")
    low = FigureField(label="Low limit")
    high = FigureField(label="High limit")
    source = forms.CharField(max_length=200, label="Source of the figure")
    outside = forms.CharField(required=False, label="What to do outside it", widget=forms.Textarea(attrs={"rows": 2}))

    draft: EntryDraft | None = None

    @property
    def helper(self) -> PlainHelper:
        """One fieldset a line, under what the line is about."""
        helper = PlainHelper()
        helper.form_tag = False
        helper.disable_csrf = True
        helper.form_error_title = "Put this right in the line below"
        helper.layout = Layout(
            Div(
                Group(
                    self.initial.get("label") or "Another line",
                    Div("label", "where", "code", css_class="cells wide"),
                    Div("form", "unit", *FIGURE_NAMES, css_class="cells"),
                    Div("source", "outside", css_class="cells wide"),
                    "DELETE",
                ),
                css_class="entry-line",
            )
        )
        return helper

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        is_spare_and_empty = not self.initial and not self.has_changed()
        if self.errors or is_spare_and_empty:
            return cleaned
        draft = EntryDraft(**{name: cleaned[name] for name in EntryDraft.__dataclass_fields__})
        for mistake in mistakes(draft):
            self.add_error(mistake.field, mistake.message)
        self.draft = draft
        return cleaned


class BaseEntryLines(BaseFormSet):  # type: ignore[type-arg]  # not subscriptable when it runs
    """All the lines of a sheet; spare ones at the end may stay empty."""

    def add_fields(self, form: EntryLineForm, index: int | None) -> None:
        super().add_fields(form, index)
        form.fields["DELETE"].label = "Leave this line out of the new revision"

    def clean(self) -> None:
        if any(self.errors):
            return
        entries = self.entries
        for code in repeated_codes(entries):
            raise forms.ValidationError(f"{code} stands on more than one line. A code belongs to one line.")
        if not entries:
            raise forms.ValidationError("A sheet needs at least one line.")

    @property
    def entries(self) -> list[EntryDraft]:
        """The lines that the new revision is to have."""
        return [form.draft for form in self.forms if form.draft is not None and form not in self.deleted_forms]


EntryLines: type[BaseEntryLines] = formset_factory(  # type: ignore[assignment]  # it keeps the class it is given
    EntryLineForm,
    formset=BaseEntryLines,
    extra=SPARE_LINES,
    can_delete=True,
    max_num=MOST_LINES,
    absolute_max=MOST_LINES,
    validate_max=True,
)


class ReasonForm(forms.Form):
    """Why a new revision is issued, and from which one it was made."""

    reason = forms.CharField(
        label="Why this revision is issued", max_length=1000, widget=forms.Textarea(attrs={"rows": 3})
    )
    after = forms.IntegerField(min_value=0, widget=forms.HiddenInput)

    @property
    def helper(self) -> PlainHelper:
        helper = PlainHelper()
        helper.form_tag = False
        helper.disable_csrf = True
        helper.layout = Layout("reason")
        return helper


class Revising:
    """The whole form: the reason and all the lines."""

    def __init__(self, entries: Sequence[EntryDraft], data: Any = None) -> None:
        self.reason_form = ReasonForm(data)
        self.lines = EntryLines(data, initial=[asdict(entry) for entry in entries], prefix="line")

    def is_valid(self) -> bool:
        """True if every part is; both are looked at, so that all mistakes show at once."""
        return all([self.reason_form.is_valid(), self.lines.is_valid()])

    @property
    def entries(self) -> list[EntryDraft]:
        return self.lines.entries

    @property
    def reason(self) -> str:
        return str(self.reason_form.cleaned_data["reason"])

    @property
    def after(self) -> int | None:
        """The number of the revision it was made from; None where the hidden field was tampered with."""
        value = self.reason_form.cleaned_data.get("after") if self.reason_form.is_bound else None
        return None if value is None else int(value)
