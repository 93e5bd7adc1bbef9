"""Machines, and the sheets that hold their dimensions and limits.

A sheet is never edited: a change is a new revision with all its entries, so that whatever was
measured against a revision can be read again against exactly that revision.
"""

from __future__ import annotations

from decimal import Decimal
from typing import ClassVar

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import RegexValidator
from django.db import models
from django.db.models import Q

from courses.machines.rules import FIGURE_NAMES, EntryDraft, mistakes, with_decimals
from courses.machines.units import UNITS
from courses.tasks.issued import IssuedOnce


class Machine(models.Model):
    """One turbine on its foundation."""

    slug = models.SlugField(max_length=40, unique=True)
    name = models.CharField(max_length=80)
    machine_type = models.CharField(
        max_length=60, help_text="What it is one of, for restrictions such as 'this type only'."
    )
    drives = models.CharField(max_length=80, help_text="The driven machine.")
    description = models.TextField(blank=True)
    is_invented = models.BooleanField(default=False, help_text="A machine made up for practice.")

    class Meta:
        ordering: ClassVar = ["name"]

    def __str__(self) -> str:
        return self.name


class SheetRevision(IssuedOnce):
    """One issue of a machine's sheet."""

    machine = models.ForeignKey(Machine, on_delete=models.PROTECT, related_name="sheet_revisions")
    number = models.PositiveIntegerField()
    reason = models.TextField(help_text="Why this revision was issued.")
    issued_at = models.DateTimeField()
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering: ClassVar = ["machine", "-number"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["machine", "number"], name="machines_sheet_number_once"),
            models.CheckConstraint(condition=Q(number__gte=1), name="machines_sheet_from_one"),
        ]

    def __str__(self) -> str:
        return f"{self.machine}, sheet revision {self.number}"


class EntryForm(models.TextChoices):
    DIMENSION = "dimension", "dimension"
    BETWEEN = "between", "between two limits"
    AT_LEAST = "at least", "at least"
    AT_MOST = "at most", "at most"
    PLUS_MINUS = "plus or minus", "nominal with tolerance"


class SheetEntry(IssuedOnce):
    """One line of a sheet: a dimension (``nominal``) or a limit, in the sheet's own ``unit``.

    dimension: nominal. between: low and high. at least: low. at most: high.
    plus or minus: nominal and tolerance. ``decimals`` says with how many decimals the figures were
    issued: 0.150 is not lettered 0.15, as it says more.
    """

    revision = models.ForeignKey(SheetRevision, on_delete=models.PROTECT, related_name="entries")
    code = models.CharField(
        max_length=60,
        validators=[RegexValidator(r"^[a-z0-9]+([.-][a-z0-9]+)*\Z")],
        help_text="Stays the same from revision to revision, for example bearing.governor.clearance.",
    )
    label = models.CharField(max_length=120)
    where = models.CharField(max_length=120, help_text="Where on the machine it is measured.")
    form = models.CharField(max_length=15, choices=EntryForm.choices)
    unit = models.CharField(max_length=12)
    nominal = models.DecimalField(max_digits=14, decimal_places=6, null=True, blank=True)
    tolerance = models.DecimalField(max_digits=14, decimal_places=6, null=True, blank=True)
    low = models.DecimalField(max_digits=14, decimal_places=6, null=True, blank=True)
    high = models.DecimalField(max_digits=14, decimal_places=6, null=True, blank=True)
    decimals = models.PositiveSmallIntegerField(help_text="Decimals the figures were issued with.")
    source = models.CharField(max_length=200, help_text="Where the figure comes from.")
    outside = models.TextField(blank=True, help_text="What the sheet says to do outside the limit.")
    position = models.PositiveIntegerField(default=0)

    class Meta:
        ordering: ClassVar = ["revision", "position", "code"]
        verbose_name_plural = "sheet entries"
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["revision", "code"], name="machines_entry_code_once"),
            models.CheckConstraint(condition=Q(decimals__lte=6), name="machines_entry_decimals_kept"),
            models.CheckConstraint(
                name="machines_entry_form_has_its_figures",
                condition=(
                    Q(form="dimension", nominal__isnull=False, tolerance=None, low=None, high=None)
                    | Q(form="between", nominal=None, tolerance=None, low__isnull=False, high__gt=models.F("low"))
                    | Q(form="at least", nominal=None, tolerance=None, low__isnull=False, high=None)
                    | Q(form="at most", nominal=None, tolerance=None, low=None, high__isnull=False)
                    | Q(form="plus or minus", nominal__isnull=False, tolerance__gt=0, low=None, high=None)
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.label} ({self.code})"

    def clean(self) -> None:
        found = mistakes(self.draft)
        if found:
            raise ValidationError({mistake.field: mistake.message for mistake in found})

    @property
    def draft(self) -> EntryDraft:
        """The line as issued, figures with the decimals they were issued with."""
        figures: dict[str, Decimal | None] = {}
        for name in FIGURE_NAMES:
            figure: Decimal | None = getattr(self, name)
            figures[name] = None if figure is None else with_decimals(figure, self.decimals)
        return EntryDraft(
            code=self.code,
            label=self.label,
            where=self.where,
            form=self.form,
            unit=self.unit,
            source=self.source,
            outside=self.outside,
            nominal=figures["nominal"],
            tolerance=figures["tolerance"],
            low=figures["low"],
            high=figures["high"],
        )

    @property
    def figures(self) -> str:
        """The figures as lettered on the sheet, with the unit: "0.090 to 0.150 mm"."""
        return self.draft.figures

    @property
    def unit_in_words(self) -> str:
        return UNITS[self.unit]
