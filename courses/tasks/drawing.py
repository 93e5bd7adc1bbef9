"""Where each task stands in the drawing of the order of work. Geometry only; the template draws it."""

from __future__ import annotations

from dataclasses import dataclass

from courses.tasks.rules import After, bare_edges, ranks

WIDTH = 360
BOX_WIDTH, BOX_HEIGHT = 62, 34
RANK_STEP = 74
MARGIN = 20


@dataclass(frozen=True, slots=True)
class Box:
    """One task's box: `x`, `y` its upper left corner, `middle_x`, `letter_y` where its code is lettered."""

    code: str
    x: float
    y: float
    middle_x: float
    letter_y: float


@dataclass(frozen=True, slots=True)
class OrderDrawing:
    """Boxes, and for each line from one box to the next its path."""

    width: int
    height: int
    box_width: int
    box_height: int
    boxes: tuple[Box, ...]
    paths: tuple[str, ...]


def draw_order(after: After) -> OrderDrawing:
    """Ranks from top to bottom. A line that passes a rank gets a place of its own there, so that it meets no box."""
    rows = ranks(after)
    if not rows:
        return OrderDrawing(WIDTH, 2 * MARGIN, BOX_WIDTH, BOX_HEIGHT, (), ())
    rank_of = {code: index for index, row in enumerate(rows) for code in row}
    lines = bare_edges(after)
    places = _places(rows, rank_of, lines)
    boxes = tuple(
        Box(
            code=code,
            x=round(places[index, code] - BOX_WIDTH / 2, 1),
            y=_top(index),
            middle_x=round(places[index, code], 1),
            letter_y=_top(index) + BOX_HEIGHT / 2 + 6,
        )
        for code, index in rank_of.items()
    )
    paths = tuple(_path(before, code, rank_of, places) for before, code in lines)
    height = 2 * MARGIN + RANK_STEP * (len(rows) - 1) + BOX_HEIGHT
    return OrderDrawing(WIDTH, height, BOX_WIDTH, BOX_HEIGHT, boxes, paths)


def _top(rank: int) -> float:
    return MARGIN + RANK_STEP * rank


def _passing(before: str, code: str) -> str:
    return f"{before}>{code}"


def _places(
    rows: list[list[str]], rank_of: dict[str, int], lines: list[tuple[str, str]]
) -> dict[tuple[int, str], float]:
    """The middle x of whatever stands in each rank: boxes, and lines that only pass through it."""
    parents: dict[tuple[int, str], list[tuple[int, str]]] = {}
    full_rows = [list(row) for row in rows]
    for before, code in lines:
        step = (rank_of[before], before)
        for rank in range(rank_of[before] + 1, rank_of[code]):
            full_rows[rank].append(_passing(before, code))
            parents.setdefault((rank, _passing(before, code)), []).append(step)
            step = (rank, _passing(before, code))
        parents.setdefault((rank_of[code], code), []).append(step)
    places: dict[tuple[int, str], float] = {}
    for rank, row in enumerate(full_rows):

        def pull(name: str, rank: int = rank) -> tuple[float, str]:
            above = [places[parent] for parent in parents.get((rank, name), [])]
            return (sum(above) / len(above) if above else WIDTH / 2, name)

        slot = WIDTH / len(row)
        for index, name in enumerate(sorted(row, key=pull)):
            places[rank, name] = slot * (index + 0.5)
    return places


def _path(before: str, code: str, rank_of: dict[str, int], places: dict[tuple[int, str], float]) -> str:
    """A line from the foot of one box to the head of the next, straight down where it passes a rank."""
    x = places[rank_of[before], before]
    y = _top(rank_of[before]) + BOX_HEIGHT
    words = [f"M{x:.1f} {y:.1f}"]
    for rank in range(rank_of[before] + 1, rank_of[code] + 1):
        is_last = rank == rank_of[code]
        to_x = places[rank, code if is_last else _passing(before, code)]
        to_y = _top(rank) - (2 if is_last else 0)
        bend = (to_y - y) / 2
        words.append(f"C{x:.1f} {y + bend:.1f} {to_x:.1f} {to_y - bend:.1f} {to_x:.1f} {to_y:.1f}")
        x, y = to_x, to_y
        if not is_last:
            y = _top(rank) + BOX_HEIGHT
            words.append(f"L{x:.1f} {y:.1f}")
    return " ".join(words)
