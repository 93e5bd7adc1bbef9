"""`manage.py test`: everything that is checked, by one command; with arguments, pytest alone with them."""

from __future__ import annotations

import os
import secrets
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path
from xml.etree import ElementTree as ET

from django.conf import settings
from django.core.management import BaseCommand
from django.db import connection

PYTHON = sys.executable
TOOLS = Path(sys.executable).parent
NOT_AVAILABLE = 69  # what .ci/with_postgres says where there is no PostgreSQL (EX_UNAVAILABLE of sysexits.h)
GET_CHROMIUM = "sudo apt-get install chromium (or name one: CHROMIUM=/path)"
GET_POSTGRES = "sudo apt-get install postgresql-15"


class Outcome(StrEnum):
    OK = "ok"
    FAILED = "failed"
    NOT_RUN = "did not run"


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One program that must end with status 0. to_get: how to get what it needs, where that can be missing."""

    name: str
    command: tuple[str, ...]
    environment: Mapping[str, str] = field(default_factory=dict)
    to_get: str = ""
    is_possible: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    step: Step
    outcome: Outcome
    seconds: float
    closing: str


def templates() -> list[str]:
    """Every template of ours, for a formatter that takes no folders."""
    return sorted(
        str(path) for root in ("courses", "assessments") for path in Path(root).glob("**/templates/**/*.html")
    )


def source_steps() -> list[Step]:
    """What is read off the source, without running a test."""
    manage = (PYTHON, "manage.py")
    production = {"PRODUCTION": "1", "SECRET_KEY": secrets.token_urlsafe(50), "ALLOWED_HOSTS": "school.example"}
    return [
        Step(name="ruff check", command=(PYTHON, "-m", "ruff", "check", ".")),
        Step(name="ruff format", command=(PYTHON, "-m", "ruff", "format", "--check", ".")),
        Step(name="djade", command=(str(TOOLS / "djade"), "--check", *templates())),
        Step(name="djlint", command=(PYTHON, "-m", "djlint", "--lint", "courses", "assessments")),
        Step(name="import contracts", command=(str(TOOLS / "lint-imports"),)),
        Step(name="types", command=(PYTHON, "-m", "mypy")),
        Step(name="migrations", command=(*manage, "makemigrations", "--check", "--dry-run")),
        Step(
            name="check --deploy, in production",
            command=(*manage, "check", "--deploy", "--fail-level", "WARNING"),
            environment=production,
        ),
        Step(name="spelling", command=(str(TOOLS / "codespell"),)),
    ]


def test_steps(reports: Path) -> list[Step]:
    """All tests on the database in use and, if that is SQLite, again on a PostgreSQL made for them."""
    has_chromium = Path(settings.CHROMIUM).exists()
    here = "SQLite" if connection.vendor == "sqlite" else "PostgreSQL"
    elsewhere = [("PostgreSQL", (".ci/with_postgres",))] if connection.vendor == "sqlite" else []
    shared = ("-n", "2", "--dist", "loadgroup", "--ignore=tests/browser")
    steps = []
    for database, through in [(here, ()), *elsewhere]:
        pytest = (*through, PYTHON, "-m", "pytest", "-q", "--tb=short", "--cov", "--cov-append", "--cov-report=")
        again = ("--ignore=tests/assessments/engine", "--ignore=tests/house") if through else ()  # no database in them
        steps += [
            Step(
                name=f"tests on {database}",
                command=(*pytest, *shared, *again, f"--junitxml={reports / f'{database}.xml'}"),
                to_get=GET_POSTGRES if through else "",
            ),
            Step(
                name=f"browser tests on {database}",
                command=(*pytest, "tests/browser", f"--junitxml={reports / f'{database}-browser.xml'}"),
                to_get=GET_POSTGRES if through and has_chromium else GET_CHROMIUM,
                is_possible=has_chromium,
            ),
        ]
    floors = (PYTHON, "-m", "tests.house.coverage_floors")
    return [*steps, Step(name="coverage floors", command=floors)]


def run(step: Step) -> Done:
    """Run a step, its output passed on as it comes."""
    print(f"\n== {step.name}", flush=True)
    if not step.is_possible:
        print(f"   did not run: {step.to_get}")
        return Done(step=step, outcome=Outcome.NOT_RUN, seconds=0, closing="")
    began = time.monotonic()
    closing = ""
    with subprocess.Popen(
        step.command,
        env={**os.environ, **step.environment},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    ) as program:
        for line in program.stdout or ():
            print(line, end="", flush=True)
            closing = line.strip() or closing
    status = program.returncode
    outcome = Outcome.OK if status == 0 else Outcome.FAILED
    if step.to_get and status == NOT_AVAILABLE:
        outcome = Outcome.NOT_RUN
    seconds = time.monotonic() - began
    print(f"   {outcome}, {seconds:.1f} s", flush=True)
    return Done(step=step, outcome=outcome, seconds=seconds, closing=closing)


def never_run(reports: Iterable[Path]) -> list[str]:
    """Tests that every run skipped, of pytest's own reports. A test may skip one database, never all of them."""
    skipped: set[str] = set()
    ran: set[str] = set()
    for report in reports:
        for case in ET.parse(report).iter("testcase"):  # noqa: S314  (written by pytest a moment ago)
            where = skipped if case.find("skipped") is not None else ran
            where.add(f"{case.get('classname')}.{case.get('name')}")
    return sorted(skipped - ran)


def summary(done: list[Done], skipped: list[str], *, is_ci: bool) -> tuple[list[str], bool]:
    """The last lines, and whether all is well. In CI what did not run counts as failed."""
    lines = [f"{one.outcome:<12}{one.seconds:7.1f} s  {one.step.name}" for one in done]
    lines += [f"Skipped in every run: {name}" for name in skipped]
    missing = [one.step for one in done if one.outcome is Outcome.NOT_RUN]
    lines += [f"Did not run: {step.name}. To get it: {step.to_get}" for step in missing]
    failed = [one.step.name for one in done if one.outcome is Outcome.FAILED]
    is_well = not failed and not (is_ci and (missing or skipped))
    lines += [f"{one.step.name}: {one.closing}" for one in done if "pytest" in one.step.command and one.closing]
    if failed:
        lines.append(f"FAILED: {', '.join(failed)}")
    elif not is_well:
        lines.append("FAILED: in CI everything has to run")
    else:
        lines.append("All is well." if not missing else "What ran is well.")
    return lines, is_well


def everything() -> int:
    """Every step, also after one has failed. Returns the exit status."""
    Path(".coverage").unlink(missing_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        done = [run(step) for step in [*source_steps(), *test_steps(Path(folder))]]
        skipped = never_run(sorted(Path(folder).glob("*.xml")))
    lines, is_well = summary(done, skipped, is_ci=settings.IS_CI)
    print("\n== summary")
    print("\n".join(lines), flush=True)
    return 0 if is_well else 1


class Command(BaseCommand):
    help = "Run everything that is checked; with arguments, pytest alone with them."
    requires_system_checks = ()

    def run_from_argv(self, argv: list[str]) -> None:
        """Arguments are pytest's, so they are passed on unread."""
        os.chdir(settings.BASE_DIR)
        arguments = argv[2:]
        if arguments in (["-h"], ["--help"]):
            self.print_help(*argv[:2])
        elif arguments:
            os.execv(PYTHON, [PYTHON, "-m", "pytest", *arguments])
        else:
            sys.exit(everything())
