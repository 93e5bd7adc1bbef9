"""What each role finds on its bench: one thing to do now, and below it only what asks for something to be done."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta

from django.urls import reverse
from django.utils import timezone

from assessments.drills.selectors import newest_open_attempt, slips_since
from assessments.scenarios.models import Scenario
from assessments.scenarios.selectors import behind_their_sheet, open_scenarios_by_task
from assessments.standing.rules import State
from assessments.standing.selectors import Board, BoardRow, Cell, board, own, waiting_for
from courses.lessons.selectors import current_lessons
from courses.people.models import Person
from courses.people.roles import Role
from courses.people.selectors import accounts_visible_to

ENDING_DAYS = 60
SLIPS_DAYS = 60
MOST_LINES = 6
_STOPPED = frozenset({State.SUSPENDED, State.LAPSED})


@dataclass(frozen=True, slots=True)
class Line:
    """One thing on the bench: where it leads, what it is, and a few words about it."""

    address: str
    text: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """Things of one sort, the first few of them. empty: what it says when there is nothing. more: where the rest is."""

    title: str
    lines: tuple[Line, ...]
    empty: str
    more: Line


@dataclass(slots=True)
class Bench:
    """now: the one thing to do first; the first of a person's roles that has something waiting names it."""

    now: Line
    sections: list[Section] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Part:
    """One role's part of a bench.

    waits: finds what asks for this person now; looked for only where no earlier role has anything.
    else_: what to do where nothing does.
    """

    waits: Callable[[], Line | None]
    else_: Line
    sections: tuple[Section, ...] = ()


@dataclass(frozen=True, slots=True)
class _Desk:
    """Whose bench it is and when. board: as it stands today, for those who may read it; else empty."""

    person: Person
    at: datetime
    board: Board

    @property
    def today(self) -> date:
        return timezone.localdate(self.at)

    def pairs(self) -> Iterator[tuple[BoardRow, Cell]]:
        return ((row, cell) for row in self.board.rows for cell in row.cells)

    def own_cells(self) -> tuple[Cell, ...]:
        """The person's own standing, off the board where they are on it."""
        on_it = [row.cells for row in self.board.rows if row.person.pk == self.person.pk]
        return on_it[0] if on_it else own(self.person, self.today)


def bench_of(person: Person, at: datetime) -> Bench:
    """The bench of a person, one part for each role they hold."""
    today = timezone.localdate(at)
    whole = board(on=today, today=today) if person.has_role(*_ON_THE_BOARD) else Board(today, (), (), ())
    desk = _Desk(person, at, whole)
    parts = [fill(desk) for role, fill in _FILL.items() if person.has_role(role)] or [_without_role()]
    waits = (line for part in parts if (line := part.waits()) is not None)
    bench = Bench(next(waits, parts[0].else_))
    for section in (section for part in parts for section in part.sections):
        if section not in bench.sections:  # a supervisor who also assesses sees what waits once
            bench.sections.append(section)
    return bench


def _section(title: str, lines: Iterable[Line], *, empty: str, more: Line) -> Section:
    every = tuple(lines)
    left = len(every) - MOST_LINES
    return Section(title, every[:MOST_LINES], empty, replace(more, note=f"and {left} more") if left > 0 else more)


def _nothing() -> Line | None:
    return None


def _without_role() -> _Part:
    return _Part(_nothing, Line(reverse("lessons:lesson_list"), "Read the lessons"))


def _first_of(sections: Iterable[Section], verb: str) -> Callable[[], Line | None]:
    """The first line of the first section that has any, with what to do about it."""
    first = next((line for section in sections for line in section.lines), None)
    return lambda: None if first is None else replace(first, text=f"{verb} {first.text}")


def _standing_line(person: Person, cell: Cell, note: str) -> Line:
    address = reverse("standing:standing_show", args=[person.pk, cell.task.code])
    return Line(address, f"{person}: {cell.task}", note)


def _own_line(person: Person, cell: Cell, note: str) -> Line:
    return replace(_standing_line(person, cell, note), text=str(cell.task))


def _the_board() -> Line:
    return Line(reverse("standing:board_show"), "The board")


# --- supervisor and assessor ------------------------------------------------------------------------------------


def _supervisor(desk: _Desk) -> _Part:
    waiting, ending = _waiting(desk), _ending(desk)
    return _Part(
        _first_of((waiting, ending), "See to"),
        Line(reverse("standing:board_show"), "Read the board", "nothing waits for a signature"),
        (waiting, ending, _stopped(desk), _thin(desk)),
    )


def _assessor(desk: _Desk) -> _Part:
    waiting = _waiting(desk)
    return _Part(
        _first_of((waiting,), "See to"),
        Line(reverse("standing:board_show"), "Read the board", "nothing waits for a signature"),
        (waiting,),
    )


def _waiting(desk: _Desk) -> Section:
    lines = [
        _standing_line(each.person, each.cell, each.cell.standing.reasons[0])
        for each in waiting_for(desk.person, desk.board, desk.today)
    ]
    return _section("Waits for a signature", lines, empty="Nothing waits for your signature.", more=_the_board())


def _ending(desk: _Desk) -> Section:
    last = desk.today + timedelta(days=ENDING_DAYS)
    found = sorted(
        (
            (cell.standing.until, str(row.person), cell.task.code, row, cell)
            for row, cell in desk.pairs()
            if cell.standing.state.holds and cell.standing.until is not None and cell.standing.until <= last
        ),
        key=lambda entry: entry[:3],
    )
    lines = [_standing_line(row.person, cell, f"until {until:%-d %B %Y}") for until, _, _, row, cell in found]
    return _section("Ends soon", lines, empty=f"Nothing ends within {ENDING_DAYS} days.", more=_the_board())


def _stopped(desk: _Desk) -> Section:
    lines = [
        _standing_line(row.person, cell, f"{cell.standing.state}. {cell.standing.reasons[0]}")
        for row, cell in desk.pairs()
        if cell.standing.state in _STOPPED
    ]
    nothing = "Nobody is suspended, and nothing has lapsed."
    return _section("Stopped or run out", lines, empty=nothing, more=_the_board())


def _thin(desk: _Desk) -> Section:
    lines = [
        Line(
            reverse("standing:task_holders", args=[cover.task.code]),
            str(cover.task),
            "nobody may do it" if cover.holders == 0 else "one person may do it",
        )
        for cover in desk.board.thin
    ]
    return _section("Thin cover today", lines, empty="Every task has two holders or more.", more=_the_board())


# --- instructor -------------------------------------------------------------------------------------------------


def _instructor(desk: _Desk) -> _Part:
    scenarios = Line(reverse("scenarios:scenario_list"), "All scenarios")
    behind_lines = [
        Line(
            reverse("scenarios:scenario_show", args=[revision.scenario.slug]),
            revision.title,
            f"still on sheet revision {revision.sheet.number} of {revision.sheet.machine}",
        )
        for revision in behind_their_sheet()
    ]
    slips = [
        Line(reverse("scenarios:scenario_show", args=[slip.slug]), slip.says, f"{slip.title}: {_times(slip.count)}")
        for slip in slips_since(desk.at - timedelta(days=SLIPS_DAYS), MOST_LINES)
    ]
    behind = _section(
        "Scenarios behind their machine's sheet",
        behind_lines,
        empty="Every scenario is on its machine's newest sheet.",
        more=scenarios,
    )
    made_most = _section(
        f"Slips made most, last {SLIPS_DAYS} days", slips, empty="No slip was named in these days.", more=scenarios
    )
    return _Part(
        _first_of((behind,), "Bring up to date:"),
        replace(slips[0], text="Look at the slip made most", note=slips[0].text) if slips else scenarios,
        (behind, made_most),
    )


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


# --- mechanic and apprentice ------------------------------------------------------------------------------------


def _mechanic(desk: _Desk) -> _Part:
    cells = desk.own_cells()
    open_cells = [cell for cell in cells if not cell.standing.state.holds]
    own_tasks = Line(reverse("standing:own"), "All your tasks")
    return _Part(
        lambda: _open_draw(desk) or _next_lesson(open_cells) or _next_drill(open_cells),
        Line(reverse("drills:drill_list"), "Keep your hand in", "a drill of your choice"),
        (
            _section(
                "What is still missing",
                [_own_line(desk.person, cell, _missing(cell)) for cell in open_cells],
                empty="You hold every task.",
                more=own_tasks,
            ),
            _section(
                "What you hold",
                [_own_line(desk.person, cell, _until(cell)) for cell in cells if cell.standing.state.holds],
                empty="Nothing yet. Lessons and drills come first.",
                more=own_tasks,
            ),
        ),
    )


def _open_draw(desk: _Desk) -> Line | None:
    attempt = newest_open_attempt(desk.person)
    if attempt is None:
        return None
    address = reverse("drills:attempt_answer", args=[attempt.pk])
    return Line(address, f"Go on with: {attempt.revision.title}", "a draw you have open")


def _next_lesson(open_cells: list[Cell]) -> Line | None:
    """The first lesson that a task still waits for, by what its standing says is missing."""
    waited_for = [(missing, cell) for cell in open_cells for missing in cell.standing.missing if "lesson " in missing]
    lessons = current_lessons() if waited_for else []
    for missing, cell in waited_for:
        for lesson in lessons:
            if f"lesson {lesson.slug} " in missing:
                address = reverse("lessons:lesson_show", args=[lesson.slug])
                return Line(address, f"Read: {lesson.title}", f"for {cell.task}")
    return None


def _next_drill(open_cells: list[Cell]) -> Line | None:
    """A scenario of the first open task that still waits for evidence."""
    scenarios = open_scenarios_by_task()
    for cell in open_cells:
        if cell.standing.missing and cell.task.code in scenarios:
            scenario = scenarios[cell.task.code][0]
            address = reverse("drills:scenario_open", args=[scenario.slug])
            return Line(address, f"Practise: {_title(scenario)}", f"for {cell.task}")
    return None


def _title(scenario: Scenario) -> str:
    return scenario.current.title if scenario.current else scenario.slug


def _missing(cell: Cell) -> str:
    missing = cell.standing.missing or cell.standing.reasons
    more = f", and {len(missing) - 1} more" if len(missing) > 1 else ""
    return f"{cell.standing.state}: {missing[0]}{more}"


def _until(cell: Cell) -> str:
    return f"{cell.words}, until {cell.standing.until:%-d %B %Y}" if cell.standing.until else cell.words


# --- auditor and administrator ----------------------------------------------------------------------------------


def _auditor(desk: _Desk) -> _Part:
    """Records in which something was stopped or has run out come first: they have most to be asked about."""
    stopped = {row.person.pk: sum(cell.standing.state in _STOPPED for cell in row.cells) for row in desk.board.rows}
    records = [
        Line(
            reverse("ledger:record_show", args=[row.person.pk]),
            str(row.person),
            f"{row.held} held today, {stopped[row.person.pk]} stopped or run out",
        )
        for row in sorted(desk.board.rows, key=lambda row: -stopped[row.person.pk])
    ]
    return _Part(
        _nothing,
        Line(reverse("standing:board_show"), "Read the board as it stood on any day"),
        (_section("Records, most stopped first", records, empty="There is no record yet.", more=_the_board()),),
    )


def _administrator(desk: _Desk) -> _Part:
    accounts = Line(reverse("people:person_list"), "All people")
    off = [
        Line(reverse("people:person_show", args=[one.pk]), str(one), one.job_title)
        for one in accounts_visible_to(desk.person)
        if not one.is_active
    ]
    return _Part(
        _nothing,
        Line(reverse("people:person_list"), "Look after the accounts"),
        (_section("May not sign in", off, empty="Every account may sign in.", more=accounts),),
    )


_ON_THE_BOARD = (Role.SUPERVISOR, Role.ASSESSOR, Role.AUDITOR)
_FILL: dict[Role, Callable[[_Desk], _Part]] = {
    Role.SUPERVISOR: _supervisor,
    Role.ASSESSOR: _assessor,
    Role.INSTRUCTOR: _instructor,
    Role.MECHANIC: _mechanic,
    Role.AUDITOR: _auditor,
    Role.ADMINISTRATOR: _administrator,
}
