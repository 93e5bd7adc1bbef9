"""Reads a task list from a readable file (TOML: one [[task]] each)."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any


class TaskListError(ValueError):
    """A task list that cannot be read. Names the file and where in it."""

    def __init__(self, *, file: str, where: str, reason: str) -> None:
        self.file = file
        self.where = where
        self.reason = reason
        super().__init__(f"{file}, {where}: {reason}")


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskDraft:
    """A task as the list gives it."""

    code: str
    title: str
    short_title: str
    is_critical: bool = False
    critical_because: str = ""
    after: tuple[str, ...] = ()


FIELDS: dict[str, type] = {
    "code": str,
    "title": str,
    "short_title": str,
    "is_critical": bool,
    "critical_because": str,
    "after": list,
}
NEEDED = ("code", "title", "short_title")


def read_tasks(path: Path) -> list[TaskDraft]:
    """The tasks of a file, in its order. Raises TaskListError."""
    try:
        document = tomllib.loads(path.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as error:
        raise TaskListError(file=path.name, where="as a whole", reason=str(error)) from None
    return [_task(path.name, index, table) for index, table in enumerate(document.get("task", []), start=1)]


def _task(file: str, index: int, table: dict[str, Any]) -> TaskDraft:
    where = f"task {index} ({table.get('code', 'no code')})"
    for name in NEEDED:
        if name not in table:
            raise TaskListError(file=file, where=where, reason=f"{name} is missing.")
    for name, value in table.items():
        if name not in FIELDS:
            raise TaskListError(file=file, where=where, reason=f"There is no field {name}.")
        if not isinstance(value, FIELDS[name]):
            raise TaskListError(file=file, where=where, reason=f"{name} has the wrong kind of value.")
    values = {**table, "after": tuple(table.get("after", ()))}
    return TaskDraft(**values)
