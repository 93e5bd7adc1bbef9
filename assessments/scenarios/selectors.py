"""Reading scenarios. Open ones belong to every signed-in person; all of them to instructors."""

from __future__ import annotations

from django.db.models import Exists, OuterRef, QuerySet
from django.http import Http404

from assessments.scenarios.models import Scenario, ScenarioRevision
from courses.machines.models import SheetRevision
from courses.people.models import Person
from courses.people.roles import Role


def scenarios_visible_to(person: Person) -> QuerySet[Scenario]:
    """With task, current revision, its sheet and machine, in one query."""
    rows = Scenario.objects.select_related("task", "current__sheet__machine").order_by("task__code", "slug")
    if person.has_role(Role.INSTRUCTOR, Role.ADMINISTRATOR, Role.AUDITOR):
        return rows
    return rows.filter(is_open=True)


def get_scenario_for(person: Person, slug: str) -> Scenario:
    """Raises Http404 for hidden and missing alike."""
    scenario = scenarios_visible_to(person).filter(slug=slug).first()
    if scenario is None:
        raise Http404
    return scenario


def current_revision(scenario: Scenario) -> ScenarioRevision:
    """The revision that is drawn from now. Raises Http404 if none was issued."""
    if scenario.current is None:
        raise Http404
    # The stream's name needs the slug: it is at hand, not another query away.
    scenario.current.scenario = scenario
    return scenario.current


def revisions_of(scenario: Scenario) -> QuerySet[ScenarioRevision]:
    """Newest first, with who issued them."""
    return scenario.revisions.select_related("issued_by", "sheet__machine")


def open_scenarios_for_task(code: str) -> QuerySet[Scenario]:
    """What practises a task, for its lesson and its standing page."""
    return Scenario.objects.filter(is_open=True, task__code=code).select_related("current")


def open_scenarios_by_task() -> dict[str, list[Scenario]]:
    """Every open scenario with its current revision, by task code. One query."""
    found: dict[str, list[Scenario]] = {}
    for scenario in Scenario.objects.filter(is_open=True).select_related("task", "current").order_by("slug"):
        found.setdefault(scenario.task.code, []).append(scenario)
    return found


def behind_their_sheet() -> list[ScenarioRevision]:
    """Current revisions whose machine has a newer sheet than the one they are on. One query."""
    newer = SheetRevision.objects.filter(machine=OuterRef("sheet__machine"), number__gt=OuterRef("sheet__number"))
    rows = ScenarioRevision.objects.filter(Exists(newer), current_of__isnull=False)
    return list(rows.select_related("scenario", "sheet__machine").order_by("scenario__slug"))
