"""One person and one task: the state, the evidence, the events, and what the reader may sign there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from assessments.ledger.models import Event
from assessments.ledger.selectors import events_of, may_enter_evidence, may_read_record
from assessments.standing.dossiers import Dossier, standings
from assessments.standing.loading import load_book, load_dossiers
from assessments.standing.mastery import SequentialTest, chance_over, exact
from assessments.standing.path_picture import PathPicture, draw_path
from assessments.standing.rules import (
    Act,
    Rule,
    Standing,
    State,
    in_force,
    mastery_progress,
    open_restrictions,
    scenarios_short,
    voided,
    was_granted,
)
from assessments.standing.selectors.board import Cell, may_read_board, standings_of
from assessments.standing.signers import SIGNERS, Signer, named_for
from courses.lessons.selectors import current_lessons
from courses.people.models import Person
from courses.people.roles import Role
from courses.tasks.models import Task

if TYPE_CHECKING:
    from assessments.standing.mastery import Progress


@dataclass(frozen=True, slots=True)
class MasteryView:
    """The drills of one person and task against the sequential test."""

    test: SequentialTest
    progress: Progress
    picture: PathPicture
    false_pass_once: float
    false_pass_by_now: float

    @property
    def once_in_words(self) -> str:
        return f"{self.false_pass_once:.1%}"

    @property
    def by_now_in_words(self) -> str:
        return f"{self.false_pass_by_now:.1%}"


@dataclass(frozen=True, slots=True)
class EventLine:
    """An event as the page lists it. ``is_void``: a correction stands against it; ``may_lift``: a restriction in force."""

    event: Event
    is_void: bool
    may_lift: bool


@dataclass(frozen=True, slots=True)
class LessonLine:
    """A lesson that was read for the task. ``slug`` is empty where it can no longer be opened."""

    title: str
    slug: str
    read_on: date
    is_current: bool


@dataclass(frozen=True, slots=True)
class MissingLine:
    """What a signature still waits for. ``slug`` names the lesson to read, where that is what is missing."""

    text: str
    slug: str = ""


@dataclass(frozen=True, slots=True)
class StandingPage:
    person: Person
    task: Task
    on: date
    standing: Standing
    missing: tuple[MissingLine, ...]
    cell: Cell
    rule: Rule | None
    rule_number: int | None
    lessons: tuple[LessonLine, ...]
    work_done: tuple[date, ...]
    mastery: MasteryView | None
    events: tuple[EventLine, ...]
    acts: tuple[str, ...]
    cannot_sign: str


def get_person_for(reader: Person, pk: int) -> Person | None:
    """A person whose standing the reader may see, or None: missing and hidden answer alike."""
    if pk != reader.pk and not may_read_board(reader):
        return None
    return Person.objects.select_related("crew").filter(pk=pk).first()


def rights(reader: Person, person: Person) -> dict[str, bool]:
    """What the page of one person and task may offer this reader."""
    return {
        "may_correct": reader.has_role(Role.SUPERVISOR),
        "may_read_record": may_read_record(reader, person),
        "may_enter_evidence": may_enter_evidence(reader, person),
    }


def get_task(code: str) -> Task | None:
    return Task.objects.filter(code=code).first()


def standing_page(
    reader: Person, person: Person, task: Task, on: date, today: date, as_known_at: datetime | None = None
) -> StandingPage:
    """Everything the page of one person and task shows, and what the reader may sign there.

    ``as_known_at``: leaving out what was entered later; nothing can be signed on what was known once.
    """
    book = load_book(as_known_at)
    dossier = load_dossiers([person], as_known_at, on)[person.pk]
    titles = _titles(task)
    answer = standings(book, dossier, on)[task.code]
    rule = book.rule_on(task.code, on)
    issue = book.issue_on(task.code, on)
    offered = _offer(reader, person, task, today) if as_known_at is None else Offer((), "")
    return StandingPage(
        person=person,
        task=task,
        on=on,
        standing=answer,
        missing=_missing_lines(answer, titles),
        cell=Cell(task, answer),
        rule=rule,
        rule_number=issue.number if issue else None,
        lessons=tuple(
            LessonLine(
                titles.get(each.lesson, each.lesson),
                each.lesson if each.lesson in titles else "",
                each.read_on,
                each.is_current,
            )
            for each in dossier.readings[task.code]
        ),
        work_done=tuple(sorted(dossier.work_done[task.code], reverse=True)),
        mastery=_mastery_view(rule, dossier, task.code, on),
        events=_event_lines(person, task, dossier, as_known_at),
        acts=offered.acts,
        cannot_sign=offered.cannot_sign,
    )


def _titles(task: Task) -> dict[str, str]:
    """The titles of the task's lessons, by slug."""
    return {lesson.slug: lesson.title for lesson in current_lessons() if lesson.task_code == task.code}


def _missing_lines(answer: Standing, titles: dict[str, str]) -> tuple[MissingLine, ...]:
    """What is missing in the rule's words, with a lesson's title where the rule can only name its slug."""
    found = []
    for text in answer.missing:
        word, slug, rest = (*text.split(" ", 2), "", "")[:3]
        if word == "lesson" and slug in titles:
            found.append(MissingLine(f"lesson \u201c{titles[slug]}\u201d {rest}", slug))
        else:
            found.append(MissingLine(text))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Offer:
    """The names of the pages on which the reader could sign now, and why one who signs elsewhere cannot sign here."""

    acts: tuple[str, ...]
    cannot_sign: str


def _offer(reader: Person, person: Person, task: Task, today: date) -> Offer:
    """What the reader could sign about a person and task today, whatever day the page shows."""
    if reader.pk == person.pk or not reader.has_role(*SIGNERS):
        return Offer((), "")
    book = load_book()
    dossiers = load_dossiers([person, reader])
    answer = standings(book, dossiers[person.pk], today)[task.code]
    rule = book.rule_on(task.code, today)
    signer = Signer(reader, standings(book, dossiers[reader.pk], today), named_for(reader, today))
    refused = signer.refusal(rule, person.pk, answer) if rule else None
    acts: list[str] = []
    if rule and refused is None:
        acts += _signer_acts(answer)
    if reader.has_role(Role.SUPERVISOR):
        acts.append("reinstate" if answer.state is State.SUSPENDED else "suspend")
        if was_granted(in_force(dossiers[person.pk].events[task.code])):
            acts += ["restrict", "withdraw"]
    return Offer(tuple(acts), refused or "")


def _signer_acts(answer: Standing) -> Sequence[str]:
    if answer.next_act is Act.GRANT:
        return ["grant"]
    if answer.next_act is Act.COUNTERSIGN:
        return ["countersign"]
    return ["renew"] if answer.next_act is Act.RENEW or (answer.state.holds and answer.next_act is None) else []


def _mastery_view(rule: Rule | None, dossier: Dossier, code: str, on: date) -> MasteryView | None:
    progress = mastery_progress(rule, [each for each in dossier.results[code] if each.on <= on]) if rule else None
    if progress is None or rule is None or rule.mastery is None:
        return None
    once = exact(rule.mastery, rule.mastery.p_non_master).passes
    return MasteryView(
        rule.mastery,
        progress,
        draw_path(rule.mastery, progress.last, scenarios_short(rule, progress)),
        once,
        chance_over(max(1, progress.runs), once),
    )


def _event_lines(person: Person, task: Task, dossier: Dossier, as_known_at: datetime | None) -> tuple[EventLine, ...]:
    events = dossier.events[task.code]
    void = voided(events)
    open_ones = {each.sequence for each in open_restrictions(in_force(events))}
    return tuple(
        EventLine(
            row,
            row.sequence in void,
            row.sequence in open_ones,
        )
        for row in events_of(person, as_known_at).filter(task=task).select_related("entered_by")
    )


def own(person: Person, on: date) -> tuple[Cell, ...]:
    """The person's own standing with every task, in the order of their codes."""
    tasks = list(Task.objects.order_by("code"))
    answers = standings_of([person], on, tasks=tasks)[person.pk]
    return tuple(Cell(task, answers[task.code]) for task in tasks)


@dataclass(frozen=True, slots=True)
class Signing:
    """What a signature would be about."""

    person: Person
    task: Task
    by: Person
    event: Event | None

    def standing(self, on: date) -> Standing:
        return standings_of([self.person], on)[self.person.pk][self.task.code]

    def missing(self, on: date) -> tuple[MissingLine, ...]:
        return _missing_lines(self.standing(on), _titles(self.task))

    def takes_two(self, on: date) -> bool:
        """The rule in force asks for a second signature under a grant or a renewal."""
        rule = load_book().rule_on(self.task.code, on)
        return rule is not None and rule.second_signature

    def may_credit(self, on: date) -> bool:
        """A supervisor may take earlier training in place of what is missing."""
        return self.by.has_role(Role.SUPERVISOR) and bool(self.standing(on).missing)


def signing(reader: Person, person_pk: int, code: str, roles: tuple[Role, ...], event_pk: int | None) -> Signing | None:
    """What the reader wants to sign about, or None where they hold none of the roles, it is themself, or it does not exist."""
    if reader.pk == person_pk or not reader.has_role(*roles):
        return None
    person, task = get_person_for(reader, person_pk), get_task(code)
    if person is None or task is None:
        return None
    event = None
    if event_pk is not None:
        event = (
            Event.objects.select_related("task", "person", "about")
            .filter(pk=event_pk, person=person, task=task)
            .first()
        )
        if event is None:
            return None
    return Signing(person, task, reader, event)
