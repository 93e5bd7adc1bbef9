"""Loads the demo plant: invented people, machines, scenarios, and some months of their history.

Everything goes through the services that the pages use, so the demo obeys every rule of the site.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from functools import partial
from pathlib import Path
from random import Random
from typing import Any, TextIO

from django.db import transaction
from django.utils import timezone

from assessments.drills.models import Attempt
from assessments.drills.services import hand_in, keep_typed, open_attempt
from assessments.engine.draws import Draw, draw
from assessments.engine.errors import BadScenarioError
from assessments.engine.methods import find_method
from assessments.engine.scenario import Scenario as EngineScenario
from assessments.scenarios.adapters import engine_scenario
from assessments.scenarios.models import Scenario
from assessments.scenarios.services import RevisionDraft, add_scenario
from courses.lessons.content import read_lessons
from courses.lessons.services import publish_all
from courses.machines.models import Machine, SheetRevision
from courses.machines.rules import EntryDraft
from courses.machines.services import add_machine, issue_sheet
from courses.people.models import Crew, Person
from courses.people.services import add_person
from courses.tasks.content import read_tasks
from courses.tasks.models import Task
from courses.tasks.services import load_tasks
from fixtures_demo.learners import typed_accepting, typed_by, typed_rightly, typed_so_far, typed_with_slip
from fixtures_demo.records import load_records

FOLDER = Path(__file__).parent
PASSWORD = "four brass kettles on the sill"  # noqa: S105  (the demo's own, printed at every start)
SEED = 1947
HISTORY_DAYS = 270

DEMO_SIGN_INS: tuple[tuple[str, str, str], ...] = (
    ("apprentice", "r.tamm", PASSWORD),
    ("mechanic", "p.achterberg", PASSWORD),
    ("instructor", "e.castellan", PASSWORD),
    ("assessor", "s.lindqvist", PASSWORD),
    ("supervisor", "m.oduya", PASSWORD),
    ("auditor", "t.abernethy", PASSWORD),
    ("administrator", "o.pellerin", PASSWORD),
)


@dataclass(frozen=True, slots=True)
class DemoPerson:
    """A made-up person with what steers the made-up history."""

    person: Person
    skill: float
    years: int


def load_demo(out: TextIO | None = None, *, now: datetime | None = None) -> None:
    """Fill an empty database. `out` is told each step."""
    now = now or timezone.now()

    def say(words: str) -> None:
        if out is not None:
            out.write(f"  {words}\n")

    with transaction.atomic():
        say("people and crews")
        people = _people(now)
        by_name = {one.person.username: one.person for one in people}
        instructor = by_name["e.castellan"]
        say("tasks and lessons")
        begin = now - timedelta(days=1000)
        load_tasks(drafts=read_tasks(FOLDER / "tasks.toml"), by=instructor, at=begin)
        publish_all(drafts=read_lessons(FOLDER / "lessons"), by=instructor, at=now - timedelta(days=500))
        say("machines and their sheets")
        sheets = _machines(instructor, now)
        say("scenarios, each tried out for fairness")
        _scenarios(sheets, instructor, now - timedelta(days=HISTORY_DAYS + 30))
        say("some months of drills")
        _drills(people, now)
        _told_apart(by_name["r.tamm"], now)
        say("qualification records")
        load_records(people={one.person: one.years for one in people}, now=now)


def _toml(name: str) -> dict[str, Any]:
    return tomllib.loads((FOLDER / name).read_text(encoding="utf-8"))


def _people(now: datetime) -> list[DemoPerson]:
    rows = _toml("people.toml")
    crews = {row["name"]: Crew(name=row["name"], shift=row["shift"]) for row in rows["crew"]}
    for crew in crews.values():
        crew.full_clean()
        crew.save()
    may_sign_in = {username for _, username, _ in DEMO_SIGN_INS}
    found = []
    for row in rows["person"]:
        person = add_person(
            by=None,
            username=row["username"],
            full_name=row["full_name"],
            job_title=row["job_title"],
            crew=crews.get(row.get("crew", "")),
            joined_on=_years_before(now.date(), row["years"]),
            roles=row["roles"],
            password=PASSWORD if row["username"] in may_sign_in else None,
        )
        found.append(DemoPerson(person, row.get("skill", 0.0), row["years"]))
    return found


def _years_before(day: date, years: int) -> date:
    return day - timedelta(days=365 * years + 40)


def _machines(instructor: Person, now: datetime) -> dict[str, SheetRevision]:
    latest = {}
    for row in _toml("machines.toml")["machine"]:
        machine: Machine = add_machine(
            slug=row["slug"],
            name=row["name"],
            machine_type=row["machine_type"],
            drives=row["drives"],
            description=row["description"],
            is_invented=True,
        )
        for sheet in row["sheet"]:
            latest[machine.slug] = issue_sheet(
                machine=machine,
                entries=[_entry(entry) for entry in sheet["entry"]],
                reason=sheet["reason"],
                by=instructor,
                at=now - timedelta(days=sheet["days_ago"]),
            )
    return latest


def _entry(row: dict[str, str]) -> EntryDraft:
    figures: dict[str, Any] = {
        name: Decimal(row[name]) for name in ("nominal", "tolerance", "low", "high") if name in row
    }
    words: dict[str, Any] = {name: row[name] for name in ("code", "label", "where", "form", "unit", "source")}
    return EntryDraft(**words, outside=row.get("outside", ""), **figures)


def _scenarios(sheets: dict[str, SheetRevision], instructor: Person, at: datetime) -> None:
    for row in _toml("scenarios.toml")["scenario"]:
        method = find_method(row["method"])
        instruments = {reading.name: row["instruments"] for reading in method.readings}
        add_scenario(
            slug=row["slug"],
            task=Task.objects.get(code=row["task"]),
            draft=RevisionDraft(
                title=row["title"],
                situation=row["situation"],
                method=row["method"],
                sheet=sheets[row["machine"]],
                instruments=instruments,
                shares=row["shares"],
                dims=row.get("dims", {}),
                limits=row.get("limits", {}),
                asked=row.get("asked", []),
                reach=row.get("reach", 0.6),
                units=row["units"],
            ),
            by=instructor,
            reason="First issue for the demo plant.",
            at=at,
        )


def _drills(people: list[DemoPerson], now: datetime) -> None:
    """Everybody with a skill works drills over the months, better as time goes by."""
    chance = Random(SEED)  # noqa: S311  (made-up history, the same on every machine)
    scenarios = list(Scenario.objects.select_related("task", "current__sheet__machine"))
    for scenario in scenarios:
        if scenario.current is not None:
            scenario.current.scenario = scenario
    learners = [one for one in people if one.skill]
    for one in learners:
        for day in sorted(chance.sample(range(1, HISTORY_DAYS), k=_busy(one, chance))):
            scenario = chance.choice(scenarios)
            at = datetime.combine(now.date() - timedelta(days=day), datetime.min.time(), tzinfo=UTC) + timedelta(
                hours=chance.randint(6, 20), minutes=chance.randint(0, 59)
            )
            growth = 1 - 0.5 * (1 - one.skill) * (1 - day / HISTORY_DAYS)
            _work_once(one.person, scenario, at, skill=one.skill * growth, chance=chance)


def _busy(one: DemoPerson, chance: Random) -> int:
    # Apprentices practise most; who has held a task for years only now and then.
    return chance.randint(35, 60) if one.years < 3 else chance.randint(12, 24)


def _work_once(person: Person, scenario: Scenario, at: datetime, *, skill: float, chance: Random) -> None:
    revision = scenario.current
    if revision is None:
        return
    attempt = open_attempt(person=person, scenario=scenario, revision=revision, seed=chance.randrange(2**53), at=at)
    typed = typed_by(
        engine_scenario(revision), Draw.of_document(attempt.draw), revision.units, skill=skill, chance=chance
    )
    keep_typed(attempt=attempt, typed=typed, at=at + timedelta(minutes=4))
    hand_in(attempt=attempt, at=at + timedelta(minutes=5))


def _told_apart(person: Person, now: datetime) -> None:
    """The apprentice whose sign-in is printed has met each kind of answer in one scenario, and has a draw open."""
    strip, open_one = (
        Scenario.objects.select_related("current__scenario").get(slug=slug)
        for slug in ("bearing-governor-strip", "bearing-coupling-strip")
    )
    of_swapped_ends = partial(typed_with_slip, slip_name="ends_swapped")
    for days, case, typed in (
        (8, "tapered", of_swapped_ends),
        (5, "tight", typed_accepting),
        (2, "good", typed_rightly),
    ):
        at = now - timedelta(days=days)
        hand_in(attempt=_typed_in_case(person, strip, case, typed, at), at=at + timedelta(minutes=5))
    _typed_in_case(person, open_one, "good", typed_so_far, now - timedelta(minutes=40))


def _typed_in_case(
    person: Person,
    scenario: Scenario,
    case: str,
    typed: Callable[[EngineScenario, Draw, str], dict[str, str]],
    at: datetime,
) -> Attempt:
    """A draw of one kind of case, open, with that typed. The seed is the first that draws such a case."""
    revision = scenario.current
    if revision is None:
        raise BadScenarioError(scenario=scenario.slug, reason="It was never issued.")
    engine = engine_scenario(revision)
    seed = next(seed for seed in range(2**53) if draw(engine, seed).condition == case)
    attempt = open_attempt(person=person, scenario=scenario, revision=revision, seed=seed, at=at)
    said = typed(engine, Draw.of_document(attempt.draw), revision.units)
    return keep_typed(attempt=attempt, typed=said, at=at + timedelta(minutes=4))
