"""Issuing: revisions count up, never change, and are refused when they cannot be fair."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from assessments.engine.errors import BadScenarioError, UnfairScenarioError
from assessments.scenarios.models import Scenario, ScenarioRevision
from assessments.scenarios.services import (
    PREVIEW,
    RevisionMovedOnError,
    add_scenario,
    close_scenario,
    draft_of,
    issue_revision,
    reopen_scenario,
    try_out,
)
from courses.tasks.issued import AlreadyIssuedError
from tests.factories.machines import SheetEntryFactory
from tests.factories.people import PersonFactory
from tests.factories.scenarios import RevisionDraftFactory, ScenarioFactory, ScenarioRevisionFactory
from tests.factories.tasks import TaskFactory

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 3, 3, 9, 0, tzinfo=UTC)


def issue(scenario, draft, by=None, **more):
    return issue_revision(
        scenario=scenario, draft=draft, by=by or PersonFactory(), reason=more.pop("reason", "Better."), at=NOW, **more
    )


def test_a_new_scenario_has_its_first_revision_and_is_open():
    draft = RevisionDraftFactory()
    person = PersonFactory()
    scenario = add_scenario(slug="strip", task=TaskFactory(), draft=draft, by=person, reason="First.", at=NOW)
    scenario.refresh_from_db()
    assert scenario.is_open
    assert scenario.current.number == 1
    assert (scenario.current.issued_by, scenario.current.issued_at, scenario.current.reason) == (person, NOW, "First.")
    assert draft_of(scenario.current) == draft


def test_the_fair_share_is_what_the_draws_gave():
    scenario = ScenarioFactory()
    revision = issue(scenario, RevisionDraftFactory())
    _, lies = try_out(scenario=scenario, draft=draft_of(revision))
    assert lies.count == PREVIEW
    assert 0.6 <= revision.fair_share <= 1


def test_revisions_count_up_and_the_newest_is_in_force():
    scenario = ScenarioFactory()
    second = issue(scenario, RevisionDraftFactory(title="Second"))
    third = issue(scenario, RevisionDraftFactory(title="Third"))
    scenario.refresh_from_db()
    assert (second.number, third.number) == (2, 3)
    assert scenario.current == third


def test_each_revision_draws_from_a_stream_of_its_own():
    scenario = ScenarioFactory(slug="strip")
    assert issue(scenario, RevisionDraftFactory()).stream == "strip/2"


def test_an_issued_revision_can_be_neither_changed_nor_deleted():
    revision = ScenarioRevisionFactory()
    revision.title = "Something else"
    with pytest.raises(AlreadyIssuedError):
        revision.save()
    with pytest.raises(AlreadyIssuedError):
        revision.delete()
    with pytest.raises(AlreadyIssuedError):
        ScenarioRevision.objects.update(title="Something else")


def test_an_unfair_scenario_is_refused_with_its_share_and_a_remedy_and_nothing_is_written():
    scenario = ScenarioFactory()
    # A fine strip on a loose bearing is hardly squashed: one line of the card is half the limit.
    draft = RevisionDraftFactory(dims={"strip": {"value": "0.30", "unit": "mm"}})
    with pytest.raises(UnfairScenarioError) as refusal:
        issue(scenario, draft)
    assert 0 < refusal.value.fair_share < 0.6
    assert f"of {PREVIEW} draws are fair" in str(refusal.value)
    assert refusal.value.remedy in str(refusal.value)
    scenario.refresh_from_db()
    assert scenario.current.number == 1
    assert scenario.revisions.count() == 1


def test_a_gauge_that_hides_the_bad_cases_is_refused():
    # A heavy strip squashed to the end of the card shows no clearance small enough to be too tight.
    draft = RevisionDraftFactory(dims={"strip": {"value": "0.90", "unit": "mm"}})
    with pytest.raises(BadScenarioError, match="“too tight all along” come out with another verdict"):
        issue(ScenarioFactory(), draft)


def test_the_remedy_for_a_range_is_an_instrument_that_reads_it():
    scenario = ScenarioFactory()
    draft = RevisionDraftFactory(
        method="instrument_reading",
        dims={"low": {"value": "80", "unit": "mm"}, "high": {"value": "90", "unit": "mm"}},
        limits={},
        instruments={"reading": "outside_micrometer_metric_50"},
        shares={"anywhere": 1.0},
        asked=[],
    )
    with pytest.raises(
        BadScenarioError,
        match=r"reads from 50 to 75 mm; .* it would do: Outside micrometer, 75 to 100 mm, read to 0\.01 mm",
    ):
        issue(scenario, draft)


def test_a_scenario_that_does_not_fit_its_method_is_refused():
    with pytest.raises(BadScenarioError, match="no entry called elsewhere"):
        issue(ScenarioFactory(), RevisionDraftFactory(limits={"clearance": "elsewhere", "taper": "elsewhere"}))


def test_a_revision_without_a_title_is_refused():
    with pytest.raises(ValidationError):
        issue(ScenarioFactory(), RevisionDraftFactory(title=""))


def test_the_second_of_two_instructors_is_told_of_the_first():
    scenario = ScenarioFactory()
    first = issue(scenario, RevisionDraftFactory(title="First there"), after=1)
    with pytest.raises(RevisionMovedOnError) as told:
        issue(scenario, RevisionDraftFactory(title="Second there"), after=1)
    assert told.value.latest == first
    assert scenario.revisions.count() == 2


def test_the_same_revision_sent_twice_is_issued_once():
    scenario, person, draft = ScenarioFactory(), PersonFactory(), RevisionDraftFactory()
    first = issue(scenario, draft, by=person, after=1)
    assert issue(scenario, draft, by=person, after=1) == first
    assert scenario.revisions.count() == 2


def test_trying_out_writes_nothing():
    scenario = ScenarioFactory()
    revision, lies = try_out(scenario=scenario, draft=RevisionDraftFactory())
    assert (revision.pk, revision.number) == (None, 2)
    assert lies.is_fair
    assert scenario.revisions.count() == 1


def test_a_closed_scenario_can_be_opened_again():
    scenario = ScenarioFactory()
    close_scenario(scenario=scenario)
    assert not Scenario.objects.get(pk=scenario.pk).is_open
    reopen_scenario(scenario=scenario)
    assert Scenario.objects.get(pk=scenario.pk).is_open


def test_a_scenario_without_a_revision_cannot_be_opened():
    scenario = ScenarioFactory(revision=False)
    reopen_scenario(scenario=scenario)
    assert not Scenario.objects.get(pk=scenario.pk).is_open
    with pytest.raises(IntegrityError), transaction.atomic():
        Scenario.objects.filter(pk=scenario.pk).update(is_open=True)


@pytest.mark.parametrize("fair_share", [0.59, 1.01])
def test_the_database_keeps_out_what_is_not_fair(fair_share):
    with pytest.raises(IntegrityError), transaction.atomic():
        ScenarioRevisionFactory(fair_share=fair_share)


def test_the_database_keeps_a_number_from_being_issued_twice():
    revision = ScenarioRevisionFactory()
    with pytest.raises(IntegrityError), transaction.atomic():
        ScenarioRevisionFactory(scenario=revision.scenario, number=revision.number, sheet=revision.sheet)


def test_limits_closer_than_the_card_resolves_are_refused():
    draft = RevisionDraftFactory()
    SheetEntryFactory(revision=draft.sheet, code="close", low="0.1000", high="0.1010", decimals=4)
    with pytest.raises(BadScenarioError, match="“a bearing that can be closed” come out with another verdict"):
        issue(ScenarioFactory(), RevisionDraftFactory(sheet=draft.sheet, limits={**draft.limits, "clearance": "close"}))


def test_a_scenario_in_which_one_verdict_is_nearly_always_right_is_refused():
    revision = ScenarioRevisionFactory()
    draft = replace(draft_of(revision), shares={"good": 9, "tight": 1})

    with pytest.raises(BadScenarioError, match="whoever always says so passes without looking"):
        try_out(scenario=revision.scenario, draft=draft)
