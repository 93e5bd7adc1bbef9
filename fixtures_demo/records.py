"""The qualification records of the demo plant: rules, who may sign, and some years of invented events.

Whoever was there before the records began is taken over by a supervisor on paper evidence; the rest
is signed as the rules ask. What is entered is put in the order of its days and signed through the
same services as on the site.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from random import Random

from django.utils import timezone

from assessments.ledger import services as ledger
from assessments.ledger.models import Event
from assessments.scenarios.selectors import open_scenarios_by_task
from assessments.standing import services
from assessments.standing.errors import StandingError
from assessments.standing.mastery import SequentialTest
from assessments.standing.rules import RenewalWindow, Rule
from courses.lessons.models import Lesson
from courses.lessons.services import mark_read
from courses.people.models import Person
from courses.tasks.models import Task
from courses.tasks.services import issue_revision

SEED = 1913
BEGIN_DAYS = 950
MASTERY = SequentialTest(p_non_master=0.60, p_master=0.85, false_pass=0.05, false_fail=0.10, most=40)
DRILLED = frozenset({"B1", "B4", "D3", "E1"})
SCENARIOS_LEAST = 2
"""From so many scenarios the right drills come, where a task has as many that are open."""
PRACTISED_WITHIN = {"B2": 12, "D1": 12, "E2": 18, "F2": 18}
VALID_MONTHS = {"C3": 12, "E2": 12, "F2": 24}
NOT_PRACTISED = {("p.achterberg", "D1")}
"""Who has not had a task in their hands since it was granted: it lapses."""
INDUCTION = "Site induction and isolation course seen on paper; watched at a take-over."
ON_PAPER = "Held before these records began: paper file seen, and watched at work."


@dataclass(slots=True)
class _Diary:
    """What happens on which day, kept until it is entered in order."""

    now: datetime
    entries: list[tuple[int, int, Callable[[datetime], None]]] = field(default_factory=list)

    def on(self, days_ago: int, what: Callable[[datetime], None]) -> None:
        self.entries.append((-days_ago, len(self.entries), what))

    def enter(self) -> None:
        for days, number, what in sorted(self.entries, key=lambda entry: entry[:2]):
            what(self.now + timedelta(days=days, seconds=number - 40_000))


def load_records(*, people: Mapping[Person, int], now: datetime) -> None:
    """Rules and signatories first, then everything that was signed."""
    chance = Random(SEED)  # noqa: S311  (made-up history, the same on every machine)
    by_name = {person.username: person for person in people}
    tasks = {task.code: task for task in Task.objects.prefetch_related("comes_after")}
    _rules(tasks, by_name["m.oduya"], now - timedelta(days=BEGIN_DAYS + 20))
    _signatories(tasks, by_name, now - timedelta(days=BEGIN_DAYS + 10))
    diary = _Diary(now)
    for person, years in people.items():
        if "mechanic" in person.roles:
            _career(diary, person, years, tasks, by_name, chance)
    _turns(diary, tasks, by_name)
    diary.enter()
    services.refresh_people(people=list(people), at=now)


def _rules(tasks: Mapping[str, Task], by: Person, at: datetime) -> None:
    lessons: dict[str, list[str]] = {}
    for lesson in Lesson.objects.select_related("task"):
        lessons.setdefault(lesson.task.code, []).append(lesson.slug)
    scenarios = open_scenarios_by_task()
    for task in tasks.values():
        is_drilled = task.code in DRILLED
        is_varied = is_drilled and len(scenarios.get(task.code, ())) >= SCENARIOS_LEAST
        rule = Rule(
            task=task.code,
            valid_months=VALID_MONTHS.get(task.code, 36),
            notice_days=60,
            practised_every_months=PRACTISED_WITHIN.get(task.code),
            tasks_first=tuple(one.code for one in task.comes_after.all()),
            lessons=tuple(sorted(lessons.get(task.code, ()))),
            mastery=MASTERY if is_drilled else None,
            scenarios_least=SCENARIOS_LEAST if is_varied else None,
            revision_grace_days=90,
            renewal=RenewalWindow(6, 12),
            refresher_days=30,
            second_signature=task.is_critical,
        )
        services.issue_rule(
            task=task,
            rule=rule,
            effective_on=timezone.localdate(at),
            by=by,
            reason="First rule of the demo plant; terms invented.",
            at=at,
        )


def _signatories(tasks: Mapping[str, Task], by_name: Mapping[str, Person], at: datetime) -> None:
    first, second = by_name["m.oduya"], by_name["v.marchetti-rowe"]
    named = ((first, second), (second, first), (by_name["s.lindqvist"], first), (by_name["h.brandvold"], first))
    for person, by in named:
        for task in tasks.values():
            services.name_signatory(
                person=person, task=task, by=by, reason="Named to begin the records.", on=timezone.localdate(at), at=at
            )


def _career(
    diary: _Diary,
    person: Person,
    years: int,
    tasks: Mapping[str, Task],
    by_name: Mapping[str, Person],
    chance: Random,
) -> None:
    """Lessons read, tasks taken over or granted, work done."""
    for number, lesson in enumerate(Lesson.objects.order_by("slug")):
        if years or number == 0:
            diary.on(chance.randint(60, 260), _reads(person, lesson))
    if years < 3:
        if years:
            diary.on(35, _granted(person, tasks["A1"], by_name, credits=True, reason=INDUCTION))
            diary.on(30, _granted(person, tasks["B1"], by_name, credits=False))
        return
    order = sorted(tasks)
    held = order if years >= 9 else order[: 5 + years]
    granted: dict[str, int] = {}
    for code in held:
        first = [granted[one.code] for one in tasks[code].comes_after.all()]
        # A task is taken over after those that come first; codes are in an order in which that works out.
        latest = min(first, default=BEGIN_DAYS) - 1
        days_ago = latest if latest < 80 else chance.randint(latest - (latest - 60) // 3, latest)
        granted[code] = days_ago
        diary.on(days_ago, _granted(person, tasks[code], by_name, credits=True))
        if code in PRACTISED_WITHIN:
            for back in range(20, days_ago - 100, 200):
                diary.on(back + chance.randint(0, 100), _works(person, tasks[code], by_name))
        if code in VALID_MONTHS and chance.random() < 0.5:
            diary.on(25, _renewed(person, tasks[code], by_name))


def _reads(person: Person, lesson: Lesson) -> Callable[[datetime], None]:
    def enter(at: datetime) -> None:
        mark_read(person=person, revision=lesson.revisions.latest("number"), at=at)

    return enter


def _signers(person: Person, by_name: Mapping[str, Person]) -> tuple[Person, Person]:
    first = by_name["m.oduya"] if person.username != "m.oduya" else by_name["v.marchetti-rowe"]
    second = by_name["s.lindqvist"] if person.username != "s.lindqvist" else by_name["h.brandvold"]
    return first, second


def _granted(
    person: Person,
    task: Task,
    by_name: Mapping[str, Person],
    *,
    credits: bool,  # noqa: A002
    reason: str = "",
) -> Callable[[datetime], None]:
    def enter(at: datetime) -> None:
        first, second = _signers(person, by_name)
        by = first if credits else second
        try:
            services.grant(
                person=person,
                task=task,
                by=by,
                reason=reason or (ON_PAPER if credits else "Evidence complete; watched at the bench."),
                on=timezone.localdate(at),
                at=at,
                credits_earlier_training=credits,
            )
        except StandingError:
            # Not ready on that day: the made-up person goes on practising, as a real one would.
            return
        if task.is_critical:
            services.countersign(
                person=person,
                task=task,
                by=second,
                reason="Seen and agreed.",
                on=timezone.localdate(at),
                at=at + timedelta(seconds=1),
            )

    return enter


def _works(person: Person, task: Task, by_name: Mapping[str, Person]) -> Callable[[datetime], None]:
    def enter(at: datetime) -> None:
        if (person.username, task.code) in NOT_PRACTISED:
            return
        # Standing is worked out once at the end, for everybody, and not after each of these rows.
        ledger.record_work(
            person=person,
            task=task,
            on=timezone.localdate(at),
            note="Done in the yearly overhaul.",
            by=_signers(person, by_name)[0],
            at=at,
        )

    return enter


def _renewed(person: Person, task: Task, by_name: Mapping[str, Person]) -> Callable[[datetime], None]:
    def enter(at: datetime) -> None:
        with contextlib.suppress(StandingError):  # not everybody's term allows it on that day
            services.renew(
                person=person,
                task=task,
                by=_signers(person, by_name)[0],
                reason="Watched through the whole task at the overhaul.",
                on=timezone.localdate(at),
                at=at,
            )

    return enter


def _turns(diary: _Diary, tasks: Mapping[str, Task], by_name: Mapping[str, Person]) -> None:
    """What makes records worth reading: a suspension, a restriction, a way back, a mistake, a signature that waits."""
    supervisor = by_name["m.oduya"]

    def signed(
        service: Callable[..., object], name: str, code: str, reason: str, **more: object
    ) -> Callable[[datetime], None]:
        def enter(at: datetime) -> None:
            service(
                person=by_name[name],
                task=tasks[code],
                by=supervisor,
                reason=reason,
                on=timezone.localdate(at),
                at=at,
                **more,
            )

        return enter

    diary.on(
        18,
        signed(services.suspend, "j.okonkwo-hale", "C2", "Near miss: a lift begun before the slings were looked over."),
    )
    diary.on(
        40,
        signed(
            services.restrict,
            "s.lindqvist",
            "E2",
            "Has aligned the pump drives only.",
            restriction="pump drives T-1 and T-2 only",
        ),
    )
    diary.on(50, signed(services.suspend, "f.zielinska", "D1", "Trip gear set without a second reading."))
    diary.on(22, signed(services.reinstate, "f.zielinska", "D1", "Refresher done, watched through the whole setting."))
    diary.on(15, signed(services.withdraw, "w.straker", "F2", "Moves to the boiler house."))

    def new_procedure(at: datetime) -> None:
        issue_revision(
            task=tasks["D1"],
            change="The reset lever is now set with the valve on its seat and the gap measured twice.",
            is_major=True,
            by=by_name["e.castellan"],
            at=at,
        )

    diary.on(12, new_procedure)
    diary.on(2, signed(services.grant, "y.demirel", "F1", "Watched through a whole hand-back; papers in order."))
    diary.on(9, _granted_on_the_wrong_line(by_name["k.otieno"], tasks["D3"], supervisor))
    _restricted_for_a_while(diary, by_name["h.brandvold"], tasks["B2"], supervisor)


def _granted_on_the_wrong_line(person: Person, task: Task, by: Person) -> Callable[[datetime], None]:
    """A grant that was a mistake, and its correction the next morning."""

    def enter(at: datetime) -> None:
        event = services.grant(
            person=person,
            task=task,
            by=by,
            reason=ON_PAPER,
            on=timezone.localdate(at),
            at=at,
            credits_earlier_training=True,
        )
        services.correct(
            event=event,
            by=by,
            reason="Entered on the wrong line: it was meant for somebody else.",
            at=at + timedelta(hours=16),
        )

    return enter


def _restricted_for_a_while(diary: _Diary, person: Person, task: Task, by: Person) -> None:
    """A restriction, lifted ten days later."""
    entered: list[Event] = []

    def restrict(at: datetime) -> None:
        entered.append(
            services.restrict(
                person=person,
                task=task,
                by=by,
                reason="A finger in a splint.",
                on=timezone.localdate(at),
                at=at,
                restriction="guides the rotor by its rope only, hands off the slings",
            )
        )

    def lift(at: datetime) -> None:
        services.lift_restriction(
            person=person,
            task=task,
            by=by,
            reason="The splint is off.",
            on=timezone.localdate(at),
            at=at,
            about=entered[0],
        )

    diary.on(28, restrict)
    diary.on(18, lift)
