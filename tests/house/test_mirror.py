"""Every module has its test file, every test file runs, and no file is called by a drawer's name."""

from __future__ import annotations

import subprocess
import sys
from pathlib import PurePosixPath

from tests.house.reading import ROOT, files, not_yet

NO_MIRROR = {"__init__.py", "apps.py", "urls.py", "wsgi.py", "asgi.py", "settings.py"}
DRAWERS = {"utils", "util", "helpers", "helper", "common", "misc", "core", "stuff", "tools"}
TOP = {"README.md", "DEVELOPERS.md", "manage.py", "pyproject.toml", "courses", "assessments", "tests", "fixtures_demo"}


def _modules():
    for name in files():
        path = PurePosixPath(name)
        is_ours = path.suffix == ".py" and path.parts[0] in {"courses", "assessments"}
        if is_ours and "migrations" not in path.parts and path.name not in NO_MIRROR:
            yield path


def _has_mirror(path):
    """A test file of its name, or a folder of its name with test files in it."""
    folder = ROOT / "tests" / path.parent
    return (folder / f"test_{path.name}").exists() or any((folder / path.stem).glob("test_*.py"))


def test_every_module_has_a_test_file_of_its_name():
    missing = {str(path) for path in _modules() if not _has_mirror(path)}

    assert sorted(missing - set(not_yet()["mirror"]["modules"])) == []


def test_the_list_of_modules_without_a_test_file_only_shrinks():
    known = not_yet()["mirror"]
    missing = {str(path) for path in _modules() if not _has_mirror(path)}

    assert sorted(set(known["modules"]) - missing) == [], "these have their test now: take them out of not_yet.toml"
    assert len(known["modules"]) == known["at_most"], "lower at_most together with the list"


def test_every_test_file_has_its_module():
    """A test file whose module is gone mirrors nothing. A second file adds a word: test_draws_spread.py."""
    stray = []
    for name in files():
        path = PurePosixPath(name)
        if path.parts[:2] in {("tests", "courses"), ("tests", "assessments")} and path.name.startswith("test_"):
            folder = ROOT / path.parent.relative_to("tests")
            about = path.stem.removeprefix("test_")
            homes = {one.stem for one in folder.glob("*")} | ({about} if folder.with_suffix(".py").exists() else set())
            if not any(about == home or about.startswith(f"{home}_") for home in homes):
                stray.append(name)

    assert stray == []


def test_every_test_file_is_collected():
    collected = subprocess.run(
        [sys.executable, "-m", "pytest", "--collect-only", "-qq", "-p", "no:randomly", "tests"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    ).stdout
    tests = [name for name in files() if name.startswith("tests/") and "def test_" in _text(name)]
    missing = [name for name in tests if name not in collected]

    assert len(tests) > 10
    assert missing == [], collected[-2000:]


def _text(name):
    return (ROOT / name).read_text() if name.endswith(".py") else ""


def test_no_file_is_called_by_a_drawers_name():
    wrong = [name for name in files() if DRAWERS & set(PurePosixPath(name).with_suffix("").parts)]

    assert wrong == []


def test_the_top_level_holds_what_it_is_meant_to():
    tops = {name.split("/")[0] for name in files()}
    odd = {one for one in tops - TOP if not one.startswith(".") and not one.endswith(".lock")}

    assert odd == set()


def test_test_folders_are_no_packages():
    inits = {name for name in files() if name.startswith("tests/") and name.endswith("__init__.py")}

    assert inits <= {"tests/__init__.py", "tests/factories/__init__.py"}
