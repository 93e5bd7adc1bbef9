"""What a walk gives to addresses that take arguments, out of the demo plant.

ARGUMENTS: name of the address to a function of the person who walks (None: nobody signed in) that returns the
arguments, or a list of several. The key "?" is a query string. An address without arguments needs no entry, but can
have one to be visited with query strings too.

OPEN_ON_PURPOSE: addresses that nobody has to sign in for.
NOBODY: addresses that answer no GET with anything but a refusal, and why.
ALSO: visits that render what no plain GET renders (errors, refusals, forms handed in).
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

from django.template.loader import render_to_string
from django.test import Client
from django.urls import reverse

from assessments.drills.models import Attempt
from assessments.drills.services import open_attempt
from assessments.ledger.models import Event, Occurrence, WorkDone
from assessments.scenarios.models import Scenario
from assessments.standing.models import CurrentStanding
from assessments.standing.services import record_occurrence
from courses.lessons.models import LessonRevision
from courses.machines.models import SheetRevision
from courses.people.models import Person
from courses.tasks.models import Task
from tests.walks.walking import client_of, person_in, send_form

WALKED_AT = datetime(2026, 11, 2, 7, 30, tzinfo=UTC)

Arguments = dict[str, Any]
Sample = Callable[[Person | None], Arguments | list[Arguments]]


def _some_person(_: Person | None) -> Arguments:
    return {"pk": Person.objects.filter(is_active=True).first().pk}


def _sheet(_: Person | None) -> Arguments:
    sheet = SheetRevision.objects.select_related("machine").first()
    return {"slug": sheet.machine.slug, "number": sheet.number}


def _lesson(_: Person | None) -> list[Arguments]:
    revisions = LessonRevision.objects.select_related("lesson").filter(published_at__isnull=False)
    return [{"slug": revision.lesson.slug, "number": revision.number} for revision in revisions]


def _task(_: Person | None) -> list[Arguments]:
    """The first task, one in the middle and the last."""
    codes = [task.code for task in Task.objects.order_by("code")]
    return [{"code": code} for code in (codes[0], codes[len(codes) // 2], codes[-1])]


def _attempt(*, handed_in: bool) -> Sample:
    """The person's own attempts, one of each scenario, and one of somebody else."""

    def sample(person: Person | None) -> list[Arguments]:
        attempts = Attempt.objects.filter(handed_in_at__isnull=not handed_in)
        own = {one.scenario_id: one for one in attempts.filter(person=person)} if person else {}
        others = attempts.exclude(person=person)[:1]
        return [{"pk": one.pk} for one in (*own.values(), *others)]

    return sample


def _standing(_: Person | None) -> list[Arguments]:
    """A person and a task in each state there is."""
    rows = {row.state: row for row in CurrentStanding.objects.select_related("task")}
    return [{"person_pk": row.person_id, "code": row.task.code} for row in rows.values()]


def _event(_: Person | None) -> list[Arguments]:
    """One event of each kind there is."""
    rows = {event.kind: event for event in Event.objects.select_related("task")}
    return [{"person_pk": row.person_id, "code": row.task.code, "event_pk": row.pk} for row in rows.values()]


def _work(_: Person | None) -> Arguments:
    row = WorkDone.objects.first()
    return {"person_pk": row.person_id, "row_pk": row.pk}


def _occurrence(_: Person | None) -> Arguments:
    row = Occurrence.objects.first()
    return {"person_pk": row.person_id, "row_pk": row.pk}


def in_a_list(found: Arguments | list[Arguments]) -> list[Arguments]:
    return found if isinstance(found, list) else [found]


def _only(sample: Sample, *names: str) -> Sample:
    """The same rows for an address that takes fewer arguments."""
    return lambda person: [{name: one[name] for name in names} for one in in_a_list(sample(person))]


ARGUMENTS: dict[str, Sample] = {
    "people:person_show": _some_person,
    "people:person_edit": _some_person,
    "people:password_give": _some_person,
    "people:person_switch_off": _some_person,
    "people:person_switch_on": lambda _: {
        "pk": (Person.objects.filter(is_active=False).first() or Person.objects.first()).pk
    },
    "tasks:task_show": _task,
    "machines:machine_show": _only(_sheet, "slug"),
    "machines:sheet_show": _sheet,
    "machines:sheet_revise": _only(_sheet, "slug"),
    "lessons:lesson_show": _only(_lesson, "slug"),
    "lessons:lesson_show_revision": _lesson,
    "lessons:lesson_read": _lesson,
    **{
        f"scenarios:scenario_{verb}": lambda _: [{"slug": one.slug} for one in Scenario.objects.all()]
        for verb in ("show", "revise", "close", "reopen")
    },
    "drills:scenario_open": lambda _: [{"slug": one.slug} for one in Scenario.objects.filter(is_open=True)],
    "drills:attempt_answer": _attempt(handed_in=False),
    "drills:attempt_save": _attempt(handed_in=False),
    "drills:attempt_review": _attempt(handed_in=False),
    "drills:attempt_hand_in": _attempt(handed_in=False),
    "drills:attempt_result": _attempt(handed_in=True),
    "ledger:record_show": _only(_event, "person_pk"),
    "standing:task_holders": _task,
    "standing:standing_show": _standing,
    **{
        f"standing:{act}": _standing
        for act in ("grant", "renew", "restrict", "suspend", "reinstate", "withdraw", "countersign")
    },
    **{f"standing:{act}": _event for act in ("lift", "correct")},
    "standing:work_enter": _only(_work, "person_pk"),
    "standing:work_correct": _work,
    "standing:occurrence_enter": _only(_work, "person_pk"),
    "standing:occurrence_correct": _occurrence,
}

OPEN_ON_PURPOSE = {"people:sign_in"}

NOBODY: dict[str, str] = {}


def begin() -> None:
    """What the demo plant leaves out: somebody in the middle of a drill, of each scenario; and somebody away."""
    record_occurrence(
        person=person_in("mechanic"),
        kind="absent",
        on=WALKED_AT.date(),
        note="Away.",
        by=person_in("supervisor"),
        at=WALKED_AT,
    )
    person = person_in("mechanic")
    for scenario in Scenario.objects.select_related("current").filter(is_open=True):
        open_attempt(person=person, scenario=scenario, revision=scenario.current, seed=11, at=WALKED_AT)


def _sheet_looked_over() -> None:
    path = reverse("machines:sheet_revise", kwargs=_only(_sheet, "slug")(None)[0])
    changes = {"step": "look over", "reason": "Said more plainly.", "line-0-where": "rotor, on its rating plate"}
    send_form(client_of("instructor"), path, **changes)


def _scenario_looked_over() -> None:
    path = reverse("scenarios:scenario_revise", kwargs={"slug": Scenario.objects.first().slug})
    send_form(client_of("instructor"), path, step="look over", reason="Said more plainly.")


def _lost() -> None:
    client_of("mechanic").get("/no/such/page/")


def _old_form() -> None:
    Client(enforce_csrf_checks=True).post(reverse("people:sign_in"))


def _wrong_password_again_and_again() -> None:
    client = Client()
    for _ in range(7):
        client.post(reverse("people:sign_in"), {"username": "nobody", "password": "not the password of anybody"})


def _broken() -> None:
    render_to_string("500.html")


ALSO: list[Callable[[], None]] = [
    _sheet_looked_over,
    _scenario_looked_over,
    _lost,
    _old_form,
    _wrong_password_again_and_again,
    _broken,
]
