"""Reading the project's own files, for the tests of the house."""

from __future__ import annotations

import re
import subprocess
import tomllib
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent


@cache
def files() -> tuple[str, ...]:
    """Every file that is tracked or about to be, as a path from the top."""
    listed = subprocess.run(
        ["git", "-c", "safe.directory=*", "ls-files", "-co", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    return tuple(sorted(path for path in listed.stdout.splitlines() if (ROOT / path).is_file()))


@cache
def project() -> dict:
    return tomllib.loads((ROOT / "pyproject.toml").read_text())


@cache
def not_yet() -> dict:
    """What is known to be missing. See not_yet.toml."""
    return tomllib.loads((ROOT / "tests/house/not_yet.toml").read_text())


@cache
def floors() -> dict[str, int]:
    """Dotted app to its floor, 0 lowest, as the import contracts have it."""
    contracts = {one["name"][0]: one for one in project()["tool"]["importlinter"]["contracts"]}
    found = {}
    height = 0
    for package, number in (("courses", "5"), ("assessments", "4")):
        for layer in reversed(contracts[number]["layers"]):
            for name in re.split(r"[|:]", layer):
                found[f"{package}.{name.strip(' ()')}"] = height
            height += 1
    return found


def app_of(dotted: str) -> str:
    """The app a module belongs to: its first two names."""
    return ".".join(dotted.split(".")[:2])


def may_reach(source: str, target: str) -> bool:
    """True if what lives in one app may point at what lives in the other: itself, or a lower floor."""
    return source == target or floors()[target] < floors()[source]


def column_one(section: str) -> list[str]:
    """First cells in backticks of the table under that heading in DEVELOPERS.md, in their order."""
    text = (ROOT / "DEVELOPERS.md").read_text()
    part = re.search(rf"^#+ {re.escape(section)}\n(.*?)(?=^#|\Z)", text, re.MULTILINE | re.DOTALL)
    assert part, f"DEVELOPERS.md has no heading '{section}'"
    return re.findall(r"^\|\s*`([^`]+)`\s*\|", part[1], re.MULTILINE)
