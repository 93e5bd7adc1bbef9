"""Holds what the tests reach against its floors: `coverage` has to have been collected before.

The engine, every rules.py and every services.py are reached to the last branch; not_yet.toml lists the exceptions,
and all files together have a floor that only rises.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path

from tests.house.reading import ROOT, not_yet

TO_THE_LAST_BRANCH = re.compile(r"^assessments/engine/|(^|/)(rules|services)(\.py$|/)")
SLACK = 1.0  # per cent


def faults(report: Mapping, known: Mapping) -> Iterator[str]:
    """Sentences about what lies under its floor, or so far over it that the floor has to rise.

    report: coverage's own JSON report. known: the [coverage] table of not_yet.toml.
    """
    exceptions = known["files"]
    if len(exceptions) > known["at_most"]:
        yield f"not_yet.toml lists {len(exceptions)} files, and at most {known['at_most']} are allowed."
    for path, one in report["files"].items():
        reached, floor = one["summary"]["percent_covered"], exceptions.get(path, 100.0)
        if not TO_THE_LAST_BRANCH.search(path):
            continue
        if reached < floor:
            lines = ", ".join(str(line) for line in one.get("missing_lines", []))
            branches = ", ".join(f"{a}->{b}" for a, b in one.get("missing_branches", []))
            yield f"{path}: {reached:.1f} % of {floor:g} %. Lines {lines or '-'}; branches {branches or '-'}"
        elif path in exceptions and (reached > floor + SLACK or reached == 100):
            yield f"{path}: {reached:.1f} % is reached. Raise its floor in not_yet.toml, or take it out."
    for path in exceptions:
        if path not in report["files"]:
            yield f"{path} is gone. Take it out of not_yet.toml."
    everything, floor = report["totals"]["percent_covered"], known["everything"]
    if everything < floor:
        yield f"All files together: {everything:.1f} % of {floor:g} %."
    elif everything > floor + 2 * SLACK:
        yield f"All files together: {everything:.1f} % is reached. Raise `everything` in not_yet.toml from {floor:g}."


def main() -> int:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "coverage.json"
        subprocess.run([sys.executable, "-m", "coverage", "json", "-q", "-o", path], cwd=ROOT, check=True)
        report = json.loads(path.read_text())
    found = list(faults(report, not_yet()["coverage"]))
    print("\n".join(found) or f"All floors hold; all files together: {report['totals']['percent_covered']:.1f} %.")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
