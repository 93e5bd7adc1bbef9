"""What each role finds on its bench. Only what asks for something to be done, the first thing first."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from django.urls import reverse
from django.utils import timezone

from assessments.drills.selectors import newest_open_attempt, slips_since
from assessments.scenarios.selectors import behind_their_sheet, open_scenarios_by_task
from assessments.standing.rules import Act, State
from assessments.standing.selectors import Board, Cell, board, own
from courses.people.models import Person
from courses.people.roles import Role
from courses.people.selectors import people_visible_to

ENDING_DAYS = 60
SLIPS_DAYS = 60
MOST_LINES = 6


@dataclass(frozen=True, slots=True)
class Line:
    """One thing on the bench: where it leads, what it is, and a few words about it."""

    address: str
    text: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """Things of one sort. empty: what it says when there is nothing."""

    title: str
    lines: tuple[Line, ...]
    empty: str
    more: Line | None = None


@dataclass(slots=True)
class Bench:
    """now: the one thing to do first, if there is one."""

    now: Line | None = None
    sections: list[Section] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Desk:
    """Whose bench it is, when, and the board where the person reads it."""

    person: Person
    at: datetime
    board: Board | None

    @property
    def today(self) -> date:
        return timezone.localdate(self.at)


def bench_of(person: Person, at: datetime) -> Bench:
    """The bench of a person, one block for each role they hold."""
    bench = Bench()
    today = timezone.localdate(at)
    desk = _Desk(person, at, board(on=today, today=today) if _reads_the_board(person) else None)
    for role, fill in _FILL.items():
        if person.has_role(role):
            fill(bench, desk)
    return bench


def _reads_the_board(person: Person) -> bool:
    return person.has_role(Role.SUPERVISOR, Role.ASSESSOR, Role.AUDITOR)


def _first(bench: Bench, line: Line | None) -> None:
    if bench.now is None:
        bench.now = line


def _standing_address(person: Person, cell: Cell) -> str:
    return reverse("standing:standing_show", args=[person.pk, cell.task.code])


def _supervisor(bench: Bench, desk: _Desk) -> None:
    if desk.board is None:
        return
    waiting = _waiting(desk.board, desk.person)
    _first(bench, waiting[0] if waiting else None)
    bench.sections += [
        _section("Waits for a signature", waiting, "Nobody waits for a signature."),
        _section("Ends soon", _ending(desk.board, desk.today), f"Nothing ends within {ENDING_DAYS} days."),
        _section("Stopped or run out", _stopped(desk.board), "Nobody is suspended, and nothing has lapsed."),
        _section(
            "Thin cover today",
            [
                Line(
                    reverse("standing:task_holders", args=[cover.task.code]),
                    str(cover.task),
                    "nobody may do it" if cover.holders == 0 else "one person may do it",
                )
                for cover in desk.board.thin
            ],
            "Every task has two holders or more.",
        ),
    ]


def _waiting(whole: Board, reader: Person) -> list[Line]:
    return [
        Line(_standing_address(row.person, cell), f"{row.person}: {cell.task}", cell.standing.reasons[0])
        for row in whole.rows
        for cell in row.cells
        if row.person.pk != reader.pk
        and (cell.standing.state is State.READY or cell.standing.next_act is Act.COUNTERSIGN)
    ]


def _ending(whole: Board, today: date) -> list[Line]:
    last = today + timedelta(days=ENDING_DAYS)
    found = [
        (
            cell.standing.until,
            str(row.person),
            Line(
                _standing_address(row.person, cell),
                f"{row.person}: {cell.task}",
                f"until {cell.standing.until:%-d %B %Y}",
            ),
        )
        for row in whole.rows
        for cell in row.cells
        if cell.standing.state.holds and cell.standing.until is not None and cell.standing.until <= last
    ]
    return [line for _, _, line in sorted(found, key=lambda entry: entry[:2])]


def _stopped(whole: Board) -> list[Line]:
    return [
        Line(
            _standing_address(row.person, cell),
            f"{row.person}: {cell.task}",
            f"{cell.standing.state}. {cell.standing.reasons[0]}",
        )
        for row in whole.rows
        for cell in row.cells
        if cell.standing.state in {State.SUSPENDED, State.LAPSED}
    ]


def _assessor(bench: Bench, desk: _Desk) -> None:
    if desk.board is None or desk.person.has_role(Role.SUPERVISOR):
        return
    waiting = _waiting(desk.board, desk.person)
    _first(bench, waiting[0] if waiting else None)
    bench.sections.append(_section("Waits for a signature", waiting, "Nobody waits for a signature."))


def _instructor(bench: Bench, desk: _Desk) -> None:
    behind = [
        Line(
            reverse("scenarios:scenario_show", args=[revision.scenario.slug]),
            revision.title,
            f"still on sheet revision {revision.sheet.number} of {revision.sheet.machine}",
        )
        for revision in behind_their_sheet()
    ]
    _first(bench, behind[0] if behind else None)
    slips = [
        Line(reverse("scenarios:scenario_show", args=[slip.slug]), slip.says, f"{slip.title}: {_times(slip.count)}")
        for slip in slips_since(desk.at - timedelta(days=SLIPS_DAYS), MOST_LINES)
    ]
    bench.sections += [
        _section("Scenarios behind their machine's sheet", behind, "Every scenario is on its machine's newest sheet."),
        _section(
            f"Slips people make most, last {SLIPS_DAYS} days",
            slips,
            "No slip was named in these days.",
            more=Line(reverse("scenarios:scenario_list"), "All scenarios"),
        ),
    ]


def _times(count: int) -> str:
    return "once" if count == 1 else f"{count} times"


def _mechanic(bench: Bench, desk: _Desk) -> None:
    attempt = newest_open_attempt(desk.person)
    if attempt is not None:
        _first(
            bench,
            Line(
                reverse("drills:attempt_answer", args=[attempt.pk]),
                f"Go on with: {attempt.revision.title}",
                "a draw you have open",
            ),
        )
    cells = own(desk.person, desk.today)
    open_cells = [cell for cell in cells if not cell.standing.state.holds]
    scenarios = open_scenarios_by_task()
    for cell in open_cells:
        for scenario in scenarios.get(cell.task.code, ()):
            _first(
                bench,
                Line(
                    reverse("drills:scenario_open", args=[scenario.slug]),
                    f"Practise: {scenario.current.title if scenario.current else scenario.slug}",
                    f"for {cell.task}",
                ),
            )
    bench.sections += [
        _section(
            "What is still missing",
            [
                Line(_standing_address(desk.person, cell), str(cell.task), _missing(cell))
                for cell in open_cells
                if cell.standing.missing or cell.standing.reasons
            ],
            "You hold every task.",
            more=Line(reverse("standing:own"), "All your tasks"),
        ),
        _section(
            "What you hold",
            [
                Line(_standing_address(desk.person, cell), str(cell.task), _until(cell))
                for cell in cells
                if cell.standing.state.holds
            ],
            "Nothing yet. Lessons and drills come first.",
        ),
    ]


def _missing(cell: Cell) -> str:
    missing = cell.standing.missing or cell.standing.reasons
    more = f", and {len(missing) - 1} more" if len(missing) > 1 else ""
    return f"{cell.standing.state}: {missing[0]}{more}"


def _until(cell: Cell) -> str:
    return f"{cell.words}, until {cell.standing.until:%-d %B %Y}" if cell.standing.until else cell.words


def _auditor(bench: Bench, desk: _Desk) -> None:
    if desk.board is None:
        return
    _first(bench, Line(reverse("standing:board_show"), "Read the board as it stood on any day"))
    bench.sections.append(
        Section(
            "Records",
            tuple(
                Line(
                    reverse("ledger:record_show", args=[row.person.pk]), str(row.person), f"{row.held} tasks held today"
                )
                for row in desk.board.rows
            ),
            "There is no record yet.",
        )
    )


def _administrator(bench: Bench, desk: _Desk) -> None:
    people = people_visible_to(desk.person)
    _first(bench, Line(reverse("people:person_list"), "Look after the accounts"))
    off = [one for one in people if not one.is_active]
    bench.sections.append(
        _section(
            "May not sign in",
            [Line(reverse("people:person_show", args=[one.pk]), str(one), one.job_title) for one in off],
            "Every account may sign in.",
            more=Line(reverse("people:person_list"), "All people"),
        )
    )


def _section(title: str, lines: Iterable[Line], empty: str, more: Line | None = None) -> Section:
    every = tuple(lines)
    if len(every) > MOST_LINES:
        note = f"and {len(every) - MOST_LINES} more"
        more = more or Line(reverse("standing:board_show"), "The board", note)
    return Section(title, every[:MOST_LINES], empty, more)


_FILL: dict[Role, Callable[[Bench, _Desk], None]] = {
    Role.SUPERVISOR: _supervisor,
    Role.ASSESSOR: _assessor,
    Role.INSTRUCTOR: _instructor,
    Role.MECHANIC: _mechanic,
    Role.AUDITOR: _auditor,
    Role.ADMINISTRATOR: _administrator,
}
