"""Reading standings: the board, one person's task, who may do a task, what one still misses."""

from assessments.standing.selectors.audit import differences
from assessments.standing.selectors.board import (
    KEY,
    READERS,
    Board,
    BoardRow,
    Cell,
    board,
    people_on_board,
    standings_of,
)
from assessments.standing.selectors.entering import Entering, entering
from assessments.standing.selectors.holders import Holders, holders, holders_today
from assessments.standing.selectors.person import (
    StandingPage,
    get_person_for,
    get_task,
    own,
    rights,
    signing,
    standing_page,
)
from assessments.standing.selectors.waiting import Waiting, waiting_for

__all__ = [
    "KEY",
    "READERS",
    "Board",
    "BoardRow",
    "Cell",
    "Entering",
    "Holders",
    "StandingPage",
    "Waiting",
    "board",
    "differences",
    "entering",
    "get_person_for",
    "get_task",
    "holders",
    "holders_today",
    "own",
    "people_on_board",
    "rights",
    "signing",
    "standing_page",
    "standings_of",
    "waiting_for",
]
