"""`manage.py bench`: measures what the site promises, one line a figure."""

from __future__ import annotations

import importlib
import os
import subprocess
import sys
import tempfile
from argparse import ArgumentParser
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.core.management import BaseCommand

from courses.signing_key import keep_key

if TYPE_CHECKING:
    from tests.benches.figure import Figure

FOLDER = "tests/benches"


def benches(folder: Path, words: Iterable[str]) -> Iterator[Any]:
    """The benches listed as BENCHES in the folder's bench_*.py files, those whose file and name hold all the words."""
    for path in sorted(folder.glob("bench_*.py")):
        module = importlib.import_module(f"tests.benches.{path.stem}")
        for bench in module.BENCHES:
            called = f"{path.stem}.{getattr(bench, '__name__', getattr(bench, 'name', ''))}"
            if all(word in called for word in words):
                yield bench


def line(figure: Figure) -> str:
    """Name, ratio, limit, and whether it holds."""
    held = "OVER" if figure.is_over else "ok"
    return f"{figure.name:<52}{figure.ratio:>9.2f}{figure.limit:>9.2f}  {held:<5} {figure.detail}".rstrip()


class Command(BaseCommand):
    help = "Measure what the site promises: name, ratio and limit of each figure. Exit status 1 if one is over."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("words", nargs="*", help="only benches with these words in their file or name")

    def handle(self, *, words: list[str], **options: Any) -> None:
        if not getattr(settings, "IS_BENCH", False):
            sys.exit(self._in_own_folder(words))
        print(f"{'figure':<52}{'ratio':>9}{'limit':>9}", flush=True)
        is_over = False
        for bench in benches(settings.BASE_DIR / FOLDER, words):
            found = bench()
            for figure in found if isinstance(found, list) else [found]:
                print(line(figure), flush=True)
                is_over |= figure.is_over
        sys.exit(1 if is_over else 0)

    def _in_own_folder(self, words: list[str]) -> int:
        """The same command again, with a database and a key that are thrown away afterwards."""
        with tempfile.TemporaryDirectory() as folder:
            keep_key(Path(folder))
            own = {
                "DATA_DIR": folder,
                "DATABASE_URL": f"sqlite:///{folder}/site.sqlite3",
                "DJANGO_SETTINGS_MODULE": "tests.benches.settings",
            }
            again = [sys.executable, "manage.py", "bench", *words]
            return subprocess.run(again, env={**os.environ, **own}, cwd=settings.BASE_DIR, check=False).returncode
