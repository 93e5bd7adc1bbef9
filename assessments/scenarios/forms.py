"""The forms with which an instructor writes a scenario's next revision, or a new scenario."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from copy import copy
from typing import Any

from crispy_forms.layout import Div, Field, Layout
from django import forms

from assessments.engine.errors import UnreadableQuantityError
from assessments.engine.instruments import all_instruments
from assessments.engine.kinds import Kind
from assessments.engine.method import Method
from assessments.engine.methods import all_methods
from assessments.engine.quantities import read
from assessments.engine.working import unit_for
from assessments.scenarios.adapters import is_of_kind, kind_of_limit
from assessments.scenarios.models import Carrying, Units
from assessments.scenarios.selectors import slug_is_taken, written
from assessments.scenarios.services import RevisionDraft
from courses.layout import Acts, Group, PlainHelper, Send, WayBack
from courses.machines.models import EntryForm, Machine, SheetEntry, SheetRevision
from courses.tasks.models import Task

LOOK_OVER, ISSUE = "look over", "issue"
OWN_FIGURE = "-"
"""Chosen where a dimension is not taken from the sheet but written in the scenario, as a gauge's own."""


class FigureField(forms.FloatField):
    """A number as typed: a decimal comma is read as a point."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
            error_messages={"invalid": "This is not a number: write it like 0.6."},
            **kwargs,
        )

    def to_python(self, value: Any) -> Any:
        return super().to_python(value.replace(",", ".") if isinstance(value, str) else value)


class RevisionForm(forms.Form):
    """Everything a revision says, for one method on one machine's sheets.

    sheets: the machine's, newest first, with their lines at hand. The lines offered are those of the sheet
    chosen; one that was chosen before and is not on it stays to be seen, and is refused by name.
    """

    title = forms.CharField(max_length=120)
    situation = forms.CharField(
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="What the learner is told, in two or three plain sentences. It must not give the answer away.",
    )
    units = forms.ChoiceField(
        choices=Units.choices,
        widget=forms.RadioSelect,
        label="Units of the results",
        help_text="Readings are asked in the units of their instruments.",
    )
    reach = FigureField(
        min_value=0.1,
        max_value=3,
        label="How far out the bad cases go",
        help_text="In widths of the limit, from 0.1 to 3. A limit of 0.09 to 0.15 mm is 0.06 mm wide: 0.5 goes 0.03 mm out.",
    )
    reading_steps = forms.TypedChoiceField(
        choices=[("0.5", "half a step of the instrument"), ("1.0", "one step, where there is no vernier")],
        coerce=float,
        widget=forms.RadioSelect,
        label="A reading is right within",
    )
    carrying = forms.ChoiceField(
        choices=[
            (Carrying.WORST_CASE, "worst case: all at once, each the bad way"),
            (Carrying.ROOT_SUM_SQUARE, "root sum square: independent of one another"),
        ],
        widget=forms.RadioSelect,
        label="How the tolerances of the readings add up in a result",
    )
    reason = forms.CharField(
        label="Why this revision is issued", max_length=1000, widget=forms.Textarea(attrs={"rows": 3})
    )
    after = forms.IntegerField(min_value=0, widget=forms.HiddenInput)

    def __init__(
        self, data: Any = None, *, method: Method, sheets: Sequence[SheetRevision], way_back: str, **kwargs: Any
    ) -> None:
        self.method, self.way_back = method, way_back
        self.sheets = {str(sheet.number): sheet for sheet in sheets}
        super().__init__(data, **kwargs)
        self._add_sheet(sheets[0])
        for reading in method.readings:
            self.fields[f"instrument-{reading.name}"] = forms.ChoiceField(
                label=reading.label,
                choices=[(one.name, one.title) for one in all_instruments().values() if reading.is_read_with(one)],
            )
        for condition in method.conditions:
            self.fields[f"share-{condition.name}"] = FigureField(
                min_value=0, max_value=1000, label=_capital(condition.words)
            )
        self.fields["asked"] = forms.MultipleChoiceField(
            label="Results the learner works out",
            choices=[(line.name, f"{line.label} ({line.symbol})") for line in method.results],
            widget=forms.CheckboxSelectMultiple,
            required=bool(method.results),
            error_messages={"required": "Ask for at least one result."},
        )

    def _add_sheet(self, newest: SheetRevision) -> None:
        self.fields["sheet"] = forms.ChoiceField(
            label="Sheet revision",
            choices=[
                (number, f"revision {number}, {sheet.issued_at:%-d %b %Y}{', the newest' if sheet is newest else ''}")
                for number, sheet in self.sheets.items()
            ],
        )
        lines = list(self.sheets.get(self._at_hand("sheet"), newest).entries.all())
        for name, label in self.method.limits.items():
            kind = kind_of_limit(self.method, name)
            fitting = [line for line in lines if line.form != EntryForm.DIMENSION and is_of_kind(line.unit, kind)]
            self.fields[f"limit-{name}"] = self._line_field(f"limit-{name}", label, fitting, [("", "choose a line")])
        for dim in self.method.dims:
            fitting = [line for line in lines if line.form == EntryForm.DIMENSION and is_of_kind(line.unit, dim.kind)]
            self.fields[f"dim-{dim.name}"] = self._line_field(
                f"dim-{dim.name}", f"{dim.label}: from", fitting, [(OWN_FIGURE, "a figure of the scenario's own")]
            )
            self.fields[f"value-{dim.name}"] = forms.CharField(
                required=False,
                max_length=40,
                label=f"{dim.label}: its own figure",
                help_text="With its unit, 0.60 mm; only where it is not on the sheet.",
            )

    def _line_field(
        self, field: str, label: str, lines: Iterable[SheetEntry], first: list[tuple[str, str]]
    ) -> forms.ChoiceField:
        choices = [*first, *((line.code, f"{line.label}, {line.where}: {line.figures}") for line in lines)]
        chosen = self._at_hand(field)
        if chosen and chosen not in {code for code, _ in choices}:
            choices.append((chosen, f"{chosen}: not on this sheet, or not of this kind"))
        self.fitting = {**getattr(self, "fitting", {}), field: {line.code for line in lines}}
        return forms.ChoiceField(
            label=label, choices=choices, error_messages={"required": "Choose a line of the sheet."}
        )

    def _at_hand(self, field: str) -> str:
        """What a field holds now: as sent, or else as it began."""
        value = self.data.get(field) if self.is_bound else self.initial.get(field)
        return "" if value is None else str(value)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        for name in self.method.limits:
            self._need_line(f"limit-{name}", cleaned)
        for dim in self.method.dims:
            if cleaned.get(f"dim-{dim.name}") != OWN_FIGURE:
                self._need_line(f"dim-{dim.name}", cleaned)
            else:
                self._need_figure(dim.name, dim.kind, cleaned)
        shares = [cleaned.get(f"share-{condition.name}") or 0.0 for condition in self.method.conditions]
        has_share_errors = any(f"share-{condition.name}" in self.errors for condition in self.method.conditions)
        if not has_share_errors and sum(shares) <= 0:
            self.add_error(None, "Give at least one kind of case a share.")
        return cleaned

    def _need_line(self, field: str, cleaned: Mapping[str, Any]) -> None:
        chosen = cleaned.get(field)
        if chosen and chosen not in self.fitting[field]:
            self.add_error(
                field, f"The sheet chosen has no line {chosen} of this kind: choose another line, or another sheet."
            )

    def _need_figure(self, name: str, kind: Kind, cleaned: Mapping[str, Any]) -> None:
        try:
            read(cleaned.get(f"value-{name}") or "", kind, unit_for(kind, cleaned.get("units") or "mm"))
        except UnreadableQuantityError as error:
            self.add_error(f"value-{name}", str(error))

    @property
    def draft(self) -> RevisionDraft:
        """The revision as it is meant; of a form that is valid."""
        said = self.cleaned_data
        return RevisionDraft(
            title=said["title"],
            situation=said["situation"],
            method=self.method.name,
            sheet=self.sheets[said["sheet"]],
            instruments={one.name: said[f"instrument-{one.name}"] for one in self.method.readings},
            shares={one.name: said[f"share-{one.name}"] for one in self.method.conditions},
            dims={dim.name: self._dim(dim.name, dim.kind) for dim in self.method.dims},
            limits={name: said[f"limit-{name}"] for name in self.method.limits},
            asked=said["asked"],
            reach=said["reach"],
            reading_steps=said["reading_steps"],
            carrying=said["carrying"],
            units=said["units"],
        )

    def _dim(self, name: str, kind: Kind) -> dict[str, str]:
        if self.cleaned_data[f"dim-{name}"] != OWN_FIGURE:
            return {"entry": self.cleaned_data[f"dim-{name}"]}
        return {"value": self.cleaned_data[f"value-{name}"], "unit": unit_for(kind, self.cleaned_data["units"])}

    def go_on_from(self, number: int) -> None:
        """What was typed stays, and is from now on made from that revision."""
        sent: Any = copy(self.data)
        sent["after"] = str(number)
        self.data = sent

    @property
    def is_tampered_with(self) -> bool:
        """The hidden number of the revision it was made from is none."""
        return self.is_bound and "after" in self.errors

    @property
    def helper(self) -> PlainHelper:
        method = self.method
        helper = PlainHelper()
        helper.layout = Layout(
            *self._first_fields(),
            Group("What the learner is told", "title", "situation", "units"),
            Group(
                "What it is held against",
                "sheet",
                *(f"limit-{name}" for name in method.limits),
                *(Div(f"dim-{dim.name}", f"value-{dim.name}", css_class="cells") for dim in method.dims),
            ),
            Group("Instruments", Div(*(f"instrument-{one.name}" for one in method.readings), css_class="cells")),
            Group(
                "Cases: shares are taken in proportion",
                Div(*(f"share-{one.name}" for one in method.conditions), css_class="cells narrow-cells"),
                "reach",
            ),
            Group("What is asked, and how near is near enough", "asked", "reading_steps", "carrying"),
            Group("Reason", "reason"),
            Field("after"),
            Acts(Send("Look it over", name="step", value=LOOK_OVER), WayBack("Leave without issuing", self.way_back)),
        )
        return helper

    def _first_fields(self) -> tuple[Any, ...]:
        return ()


class AddingForm(RevisionForm):
    """The first revision of a new scenario: it needs a name for its address too."""

    slug = forms.SlugField(
        max_length=60,
        label="Short name",
        help_text="Small letters, digits and hyphens, for example bearing-governor-strip. It names the address for ever.",
    )

    def clean_slug(self) -> str:
        slug = str(self.cleaned_data["slug"])
        if slug != slug.lower():
            raise forms.ValidationError("Small letters only.")
        if slug == "new":
            raise forms.ValidationError("That is the address of the page for adding one: choose another.")
        if slug_is_taken(slug):
            raise forms.ValidationError("There is a scenario of this name already: choose another.")
        return slug

    def _first_fields(self) -> tuple[Any, ...]:
        return ("slug",)


class BeginForm(forms.Form):
    """What a new scenario is about: the rest of the form depends on it."""

    task = forms.ChoiceField(label="Task it practises")
    machine = forms.ChoiceField(label="Machine")
    method = forms.ChoiceField(label="Method")

    def __init__(self, data: Any = None, *, tasks: Iterable[Task], machines: Iterable[Machine]) -> None:
        super().__init__(data)
        choices = {
            "task": [(task.code, str(task)) for task in tasks],
            "machine": [(machine.slug, machine.name) for machine in machines],
            "method": [(method.name, method.title) for method in all_methods().values()],
        }
        for name, rows in choices.items():
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)  # noqa: S101 - told to the type checker
            field.choices = [("", "choose"), *rows]

    @property
    def helper(self) -> PlainHelper:
        helper = PlainHelper(send="Go on", method="get")
        helper.layout.fields[:0] = ["task", "machine", "method"]
        return helper


def beginning_of(draft: RevisionDraft, method: Method, number: int) -> dict[str, Any]:
    """What the form of the next revision begins with: the last one."""
    begin: dict[str, Any] = {
        "title": draft.title,
        "situation": draft.situation,
        "units": draft.units,
        "sheet": str(draft.sheet.number),
        "asked": draft.asked,
        "reach": f"{draft.reach:g}",
        "reading_steps": str(draft.reading_steps),
        "carrying": draft.carrying,
        "after": number,
        **{f"limit-{name}": code for name, code in draft.limits.items()},
        **{f"instrument-{name}": instrument for name, instrument in draft.instruments.items()},
        **{f"share-{condition.name}": "0" for condition in method.conditions},
        **{f"share-{name}": f"{share:g}" for name, share in draft.shares.items()},
    }
    for name, given in draft.dims.items():
        begin[f"dim-{name}"] = given.get("entry", OWN_FIGURE)
        begin[f"value-{name}"] = written(given["value"], given["unit"]) if "value" in given else ""
    return begin


def beginning_for(method: Method, sheet: SheetRevision) -> dict[str, Any]:
    """What the form of a new scenario begins with."""
    return {
        "units": Units.METRIC,
        "sheet": str(sheet.number),
        "asked": list(method.asked),
        "reach": "0.6",
        "reading_steps": "0.5",
        "carrying": Carrying.WORST_CASE,
        "after": 0,
        **{f"share-{condition.name}": "1" for condition in method.conditions},
        **{f"dim-{dim.name}": OWN_FIGURE for dim in method.dims},
    }


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
