"""Reading scenarios. Open ones belong to every signed-in person; all of them to instructors."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Exists, OuterRef, QuerySet
from django.http import Http404

from assessments.engine.method import Method
from assessments.scenarios.models import Scenario, ScenarioRevision
from courses.machines.models import SheetEntry, SheetRevision
from courses.machines.selectors import sheets_of
from courses.people.models import Person
from courses.people.roles import Role
from courses.tasks.models import Task


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Binding:
    """One figure a revision takes: from a line of its sheet, or written in the scenario itself (entry is None).

    now: what the newest sheet says where it says something else; empty where it says the same.
    """

    label: str
    entry: SheetEntry | None
    figures: str
    now: str


def sheets_for(revision: ScenarioRevision) -> list[SheetRevision]:
    """Every sheet of the revision's machine with its lines, newest first; the revision's own is put in its place.

    Two queries, and none later for the lines.
    """
    sheets = list(sheets_of(revision.sheet.machine))
    revision.sheet = next(sheet for sheet in sheets if sheet.pk == revision.sheet_id)
    return sheets


def bindings_of(revision: ScenarioRevision, method: Method, newest: SheetRevision) -> tuple[Binding, ...]:
    """What the revision takes from its sheet: limits first, then dimensions. No query after `sheets_for`."""
    own = {entry.code: entry for entry in revision.sheet.entries.all()}
    latest = {entry.code: entry for entry in newest.entries.all()}
    wanted = [(label, revision.limits.get(name)) for name, label in method.limits.items()]
    found = [_bound(label, own.get(code or ""), latest, code or "") for label, code in wanted]
    for dim in method.dims:
        given = revision.dims.get(dim.name, {})
        if "value" in given:
            figures = written(given["value"], given["unit"])
            found.append(Binding(label=dim.label, entry=None, figures=figures, now=""))
        else:
            found.append(_bound(dim.label, own.get(given.get("entry", "")), latest, given.get("entry", "")))
    return tuple(found)


def written(value: str, unit: str) -> str:
    """A figure written in the scenario, with its unit unless it was written with one."""
    return value if any(letter.isalpha() or letter in "\"'" for letter in value) else f"{value} {unit}"


def _bound(label: str, entry: SheetEntry | None, latest: dict[str, SheetEntry], code: str) -> Binding:
    if entry is None:
        return Binding(label=label, entry=None, figures=f"no line {code} on the sheet", now="")
    newer = latest.get(entry.code)
    now = "no longer on it" if newer is None else newer.figures
    return Binding(label=label, entry=entry, figures=entry.figures, now="" if now == entry.figures else now)


def scenarios_by_task(person: Person) -> list[tuple[Task, list[Scenario]]]:
    """All that the person may see, under the tasks they practise. One query."""
    found: dict[str, tuple[Task, list[Scenario]]] = {}
    for scenario in scenarios_visible_to(person):
        found.setdefault(scenario.task.code, (scenario.task, []))[1].append(scenario)
    return list(found.values())


def slug_is_taken(slug: str) -> bool:
    return Scenario.objects.filter(slug=slug).exists()


def scenario_to_be(slug: str, task: Task) -> Scenario:
    """A scenario that is not there yet, to try its first revision out."""
    return Scenario(slug=slug, task=task)
