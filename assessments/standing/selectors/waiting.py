"""What waits for a signature that the reader can give."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from assessments.standing.loading import load_book
from assessments.standing.rules import Act, State
from assessments.standing.signers import SIGNERS, Signer, named_for

if TYPE_CHECKING:
    from datetime import date

    from assessments.standing.selectors.board import Board, Cell
    from courses.people.models import Person


@dataclass(frozen=True, slots=True)
class Waiting:
    """A person and task that wants a first or a second signature."""

    person: Person
    cell: Cell


def waiting_for(reader: Person, board: Board, today: date) -> list[Waiting]:
    """What on today's board is ready for sign-off or awaits a second signature, and is for this reader to sign.

    Where the reader stands themself is taken from the board: whoever is not on it never held anything.
    """
    if not reader.has_role(*SIGNERS):
        return []
    book = load_book(tasks=board.tasks)
    own = {cell.task.code: cell.standing for row in board.rows if row.person.pk == reader.pk for cell in row.cells}
    signer = Signer(reader, own, named_for(reader, today))
    found = []
    for row in board.rows:
        for cell in row.cells:
            waits = cell.standing.state is State.READY or cell.standing.next_act is Act.COUNTERSIGN
            rule = book.rule_on(cell.task.code, today) if waits else None
            if rule and signer.refusal(rule, row.person.pk, cell.standing) is None:
                found.append(Waiting(row.person, cell))
    return found
