"""Scenarios: the squashed strip on an invented sheet, fair as it stands.

``ScenarioFactory()`` is open and has its first revision. ``ScenarioRevisionFactory(scenario=...)`` is one more
revision; it becomes the current one unless ``make_current=False``. They are rows as `issue_revision` leaves them.
"""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal

import factory
from factory.django import DjangoModelFactory

from assessments.scenarios.models import Scenario, ScenarioRevision
from assessments.scenarios.services import RevisionDraft
from tests.factories.machines import SheetEntryFactory, SheetRevisionFactory
from tests.factories.people import PersonFactory
from tests.factories.tasks import TaskFactory

CLEARANCE, TAPER, JOURNAL = "bearing.clearance", "bearing.taper", "bearing.journal"


class StripSheetFactory(SheetRevisionFactory):
    """A sheet with what the squashed strip is held against: 0.090 to 0.150 mm, taper at most 0.020 mm."""

    class Meta:
        skip_postgeneration_save = True

    @factory.post_generation
    def lines(self, create, extracted, **kwargs):
        if not create:
            return
        SheetEntryFactory(revision=self, code=CLEARANCE, outside="refit the liner")
        SheetEntryFactory(
            revision=self, code=TAPER, label="Taper along the liner", form="at most", low=None, high=Decimal("0.020")
        )
        SheetEntryFactory(
            revision=self,
            code=JOURNAL,
            label="Diameter of the journal",
            form="dimension",
            nominal=Decimal("60.00"),
            low=None,
            high=None,
        )


class ScenarioFactory(DjangoModelFactory):
    """Open, with its first revision. ``revision__title="..."`` reaches that; ``revision=False`` leaves it without."""

    class Meta:
        model = Scenario
        skip_postgeneration_save = True

    slug = factory.Sequence(lambda n: f"strip-{n}")
    task = factory.SubFactory(TaskFactory, code="B4", title="Check bearing clearance and close the bearing caps")

    @factory.post_generation
    def revision(self, create, extracted, **kwargs):
        if create and extracted is not False:
            ScenarioRevisionFactory(scenario=self, **kwargs)
            self.is_open = True
            self.save()


class ScenarioRevisionFactory(DjangoModelFactory):
    class Meta:
        model = ScenarioRevision
        skip_postgeneration_save = True

    scenario = factory.SubFactory(ScenarioFactory, revision=False)
    number = factory.LazyAttribute(lambda row: row.scenario.revisions.count() + 1)
    title = "Clearance of the governor-end bearing"
    situation = "The cap is off again. Read the strip at both ends, and judge the bearing."
    method = "squashed_strip"
    sheet = factory.SubFactory(StripSheetFactory)
    dims = factory.LazyFunction(lambda: {"strip": {"value": "0.60", "unit": "mm"}})
    limits = factory.LazyFunction(lambda: {"clearance": CLEARANCE, "taper": TAPER})
    instruments = factory.LazyFunction(
        lambda: {"w_governor": "squashed_strip_metric", "w_coupling": "squashed_strip_metric"}
    )
    shares = factory.LazyFunction(lambda: {"good": 4.0, "tight": 2.0, "loose": 2.0, "disturbed": 1.0})
    asked = factory.LazyFunction(lambda: ["c_governor", "c_coupling", "taper"])
    fair_share = 0.85
    reason = "First issue."
    issued_at = datetime(2026, 2, 2, 8, 0, tzinfo=UTC)
    issued_by = factory.SubFactory(PersonFactory)

    @factory.post_generation
    def make_current(self, create, extracted, **kwargs):
        if create and extracted is not False:
            self.scenario.current = self
            self.scenario.save()


class RevisionDraftFactory(factory.Factory):
    """A draft that would be issued; ``sheet`` is made if none is given."""

    class Meta:
        model = RevisionDraft

    title = "Clearance of the governor-end bearing"
    situation = "The cap is off again. Read the strip at both ends, and judge the bearing."
    method = "squashed_strip"
    sheet = factory.SubFactory(StripSheetFactory)
    dims = factory.LazyFunction(lambda: {"strip": {"value": "0.60", "unit": "mm"}})
    limits = factory.LazyFunction(lambda: {"clearance": CLEARANCE, "taper": TAPER})
    instruments = factory.LazyFunction(
        lambda: {"w_governor": "squashed_strip_metric", "w_coupling": "squashed_strip_metric"}
    )
    shares = factory.LazyFunction(lambda: {"good": 4.0, "tight": 2.0, "loose": 2.0, "disturbed": 1.0})
    asked = factory.LazyFunction(lambda: ["c_governor", "c_coupling", "taper"])
