"""Reads a lesson from a readable file (TOML). What a lesson file may hold is said by the drafts below."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

FIRST_ISSUE: Final = "First issue."
SLUG: Final = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
LISTS: Final = {
    "tools": "tool",
    "parts": "part",
    "sheet_entries": "sheet entry",
    "mistakes": "mistake",
    "write_down": "write down",
    "terms": "term",
}
"""The lists of a file, and the kind of line each one holds."""
PAIRS: Final = {"mistakes": "instead", "terms": "meaning"}
"""Lists whose lines are tables of `text` and this second field; the others are lists of plain lines."""


class LessonFileError(ValueError):
    """A lesson file that cannot be used. Names the file and the place in it."""

    def __init__(self, *, file: str, where: str, reason: str) -> None:
        self.file = file
        self.where = where
        self.reason = reason
        super().__init__(f"{file}, {where}: {reason}")


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureDraft:
    """A drawing: its file's name without ending, its title, what is seen in it, and what it means."""

    name: str
    title: str
    alternative: str
    caption: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StepDraft:
    """One step as written."""

    heading: str
    text: str
    reason: str
    goes_wrong: str
    is_hold_point: bool = False
    working: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    figures: tuple[FigureDraft, ...] = ()
    sheet_entries: tuple[str, ...] = ()
    scenario: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LineDraft:
    """One line of the lists: a tool, a part, a line of the sheet, a mistake, a thing to write down, a term."""

    kind: str
    text: str
    detail: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LessonDraft:
    """A whole lesson as written."""

    slug: str
    task: str
    title: str
    aims: tuple[str, ...]
    steps: tuple[StepDraft, ...]
    cautions: tuple[str, ...] = ()
    figures: tuple[FigureDraft, ...] = ()
    lines: tuple[LineDraft, ...] = ()
    change: str = FIRST_ISSUE
    is_major: bool = False


@dataclass(frozen=True, slots=True)
class _Table:
    """One table of the file, read field by field: whatever is not asked for is a mistake."""

    file: str
    where: str
    values: Mapping[str, Any]

    def refuse(self, reason: str) -> LessonFileError:
        return LessonFileError(file=self.file, where=self.where, reason=reason)

    def close(self, *known: str) -> None:
        for name in self.values:
            if name not in known:
                raise self.refuse(f"There is no field {name}.")

    def text(self, name: str, *, needed: bool = True) -> str:
        value = self.values.get(name, "")
        if not isinstance(value, str):
            raise self.refuse(f"{name} has to be text in quotes.")
        if needed and not value.strip():
            raise self.refuse(f"{name} is missing.")
        return value.strip()

    def words(self, name: str, *, needed: bool = True) -> str:
        """Text whose single line ends are only where the file's lines end: paragraphs are kept."""
        paragraphs = re.split(r"\n\s*\n", self.text(name, needed=needed))
        return "\n\n".join(" ".join(paragraph.split()) for paragraph in paragraphs)

    def flag(self, name: str) -> bool:
        value = self.values.get(name, False)
        if not isinstance(value, bool):
            raise self.refuse(f"{name} has to be true or false.")
        return value

    def lines(self, name: str) -> tuple[str, ...]:
        value = self.values.get(name, [])
        if not isinstance(value, list) or not all(isinstance(line, str) and line.strip() for line in value):
            raise self.refuse(f"{name} has to be a list of lines of text.")
        return tuple(" ".join(line.split()) for line in value)

    def tables(self, name: str) -> list[_Table]:
        value = self.values.get(name, [])
        if not isinstance(value, list) or not all(isinstance(row, dict) for row in value):
            raise self.refuse(f"{name} has to be a list of tables.")
        place = "" if self.where == "top" else f"{self.where}, "
        return [_Table(self.file, f"{place}{name} {index}", row) for index, row in enumerate(value, start=1)]


def read_lesson(path: Path) -> LessonDraft:
    """The lesson in a file. Raises LessonFileError naming the file, the line or the field, and what is wrong."""
    try:
        document = tomllib.loads(path.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as error:
        raise LessonFileError(file=path.name, where="as a whole", reason=str(error)) from None
    top = _Table(path.name, "top", document)
    top.close("slug", "task", "title", "aims", "step", "cautions", "figure", "change", "is_major", *LISTS)
    slug = top.text("slug")
    if not SLUG.fullmatch(slug):
        raise top.refuse("slug holds small letters, digits and hyphens only.")
    draft = LessonDraft(
        slug=slug,
        task=top.text("task"),
        title=top.text("title"),
        aims=top.lines("aims"),
        steps=tuple(_step(table) for table in top.tables("step")),
        cautions=top.lines("cautions"),
        figures=tuple(_figure(table) for table in top.tables("figure")),
        lines=_lines(top),
        change=top.words("change", needed=False) or FIRST_ISSUE,
        is_major=top.flag("is_major"),
    )
    if not draft.aims:
        raise top.refuse("aims is missing: what will the reader be able to do?")
    if not draft.steps:
        raise top.refuse("A lesson needs at least one step.")
    return draft


def read_lessons(folder: Path) -> list[LessonDraft]:
    """Every lesson of a folder, by file name."""
    return [read_lesson(path) for path in sorted(folder.glob("*.toml"))]


def _step(table: _Table) -> StepDraft:
    table.close(
        "heading", "text", "reason", "goes_wrong", "hold_point", "working",
        "cautions", "figure", "sheet_entries", "scenario",
    )  # fmt: skip
    working = table.lines("working")
    for line in working:
        if "|" not in line:
            raise table.refuse(f"A line of the working is “what | how”, and “{line}” has no bar.")
    return StepDraft(
        heading=table.text("heading"),
        text=table.words("text"),
        reason=table.words("reason"),
        goes_wrong=table.words("goes_wrong"),
        is_hold_point=table.flag("hold_point"),
        working=working,
        cautions=table.lines("cautions"),
        figures=tuple(_figure(row) for row in table.tables("figure")),
        sheet_entries=table.lines("sheet_entries"),
        scenario=table.text("scenario", needed=False),
    )


def _figure(table: _Table) -> FigureDraft:
    table.close("name", "title", "alternative", "caption")
    name = table.text("name")
    if not SLUG.fullmatch(name):
        raise table.refuse("name holds small letters, digits and hyphens only.")
    return FigureDraft(
        name=name,
        title=table.text("title"),
        alternative=table.words("alternative"),
        caption=table.words("caption"),
    )


def _lines(top: _Table) -> tuple[LineDraft, ...]:
    found = []
    for name, kind in LISTS.items():
        second = PAIRS.get(name)
        if second is None:
            found += [LineDraft(kind=kind, text=line) for line in top.lines(name)]
            continue
        for table in top.tables(name):
            table.close("text", second)
            found.append(LineDraft(kind=kind, text=table.words("text"), detail=table.words(second)))
    return tuple(found)
