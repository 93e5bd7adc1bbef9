"""The tables of DEVELOPERS.md say what the code says.

Under the headings Apps, Settings, Checks, Methods and Instruments stands a table whose first column, in backticks, is
the name: `courses.people`, `DATA_DIR`, `courses.E001`, `squashed_strip`, `steel_rule`.
"""

from __future__ import annotations

import ast
import re

from assessments.engine.instruments import all_instruments
from assessments.engine.methods import all_methods
from tests.house.reading import ROOT, column_one, files, floors

READERS = {"_is_on", "_words"}
MAY_READ_ENVIRONMENT = {
    "courses/settings.py",
    "courses/wsgi.py",
    "courses/asgi.py",
    "courses/management/commands/bench.py",  # these three start programs and hand them an environment
    "courses/management/commands/demo.py",
    "courses/management/commands/test.py",
}


def variables_read(source):
    """Names of the environment variables that a settings file reads."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Call) or not node.args or not isinstance(node.args[0], ast.Constant):
            continue
        function = node.func
        is_reader = isinstance(function, ast.Name) and function.id in READERS
        is_get = isinstance(function, ast.Attribute) and ast.unparse(function) in {"os.environ.get", "os.getenv"}
        if is_reader or is_get:
            found.append(node.args[0].value)
    return found


def test_a_variable_is_found_however_it_is_read():
    source = 'A = os.environ.get("A", "")\nB = _is_on("B") and 1\nC = _words("C", "x y")\nD = len("D")\nE = os.environ.get(name).replace(",", " ")'

    assert sorted(variables_read(source)) == ["A", "B", "C"]


def test_the_table_of_settings_lists_what_settings_read():
    read = variables_read((ROOT / "courses/settings.py").read_text())

    assert sorted(column_one("Settings")) == sorted(set(read))


def test_only_settings_read_the_environment():
    readers = {
        name
        for name in files()
        if name.endswith(".py")
        and name.startswith(("courses/", "assessments/", "fixtures_demo/"))
        and re.search(r"os\.environ|getenv", (ROOT / name).read_text())
    }

    assert readers <= MAY_READ_ENVIRONMENT


def test_the_table_of_checks_lists_every_check_id():
    ids = {
        one
        for name in files()
        if name.endswith("/checks.py") and not name.startswith("tests/")
        for one in re.findall(r'"([a-z_]+\.[EWI]\d{3})"', (ROOT / name).read_text())
    }

    assert sorted(column_one("Checks")) == sorted(ids)


def test_the_table_of_methods_lists_every_method():
    assert sorted(column_one("Methods")) == sorted(all_methods())


def test_the_table_of_instruments_lists_every_family():
    families = {instrument.family for instrument in all_instruments().values()}

    assert sorted(column_one("Instruments")) == sorted(families)


def test_the_table_of_apps_goes_from_the_lowest_floor_to_the_highest():
    standing = [app for app in floors() if (ROOT / app.replace(".", "/")).is_dir() and app != "courses.management"]
    listed = column_one("Apps")

    assert sorted(listed) == sorted(standing)
    assert listed == sorted(listed, key=lambda app: floors()[app])
