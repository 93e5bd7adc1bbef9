"""Who may reach whom, beyond what an import statement shows."""

from __future__ import annotations

import re

import pytest
from django.apps import apps
from importlinter import cli

from tests.house.reading import ROOT, app_of, files, floors, may_reach, project

OURS = [model for model in apps.get_models() if model.__module__.split(".")[0] in {"courses", "assessments"}]
REACHES = re.compile(r"{%-?\s*(?:include|extends)\s+(\S+)")

# Includes of a name held in a variable, and where those names come from.
NAMED_ELSEWHERE = {
    "courses/lessons/templates/lessons/_figure.html": "the lesson's own figures, listed in courses/lessons",
}


def test_the_nine_import_contracts_hold():
    assert len(project()["tool"]["importlinter"]["contracts"]) == 9
    assert cli.lint_imports(config_filename=str(ROOT / "pyproject.toml")) == cli.EXIT_STATUS_SUCCESS


def test_every_installed_app_of_ours_has_a_floor():
    ours = {config.name for config in apps.get_app_configs() if config.name.startswith(("courses.", "assessments."))}

    assert ours <= set(floors())


@pytest.mark.parametrize("model", OURS, ids=lambda model: model._meta.label)
def test_a_foreign_key_points_at_its_own_floor_or_lower(model):
    targets = [one.related_model for one in model._meta.get_fields() if one.is_relation and not one.auto_created]
    wrong = [
        target
        for target in targets
        if target in OURS and not may_reach(app_of(model.__module__), app_of(target.__module__))
    ]

    assert wrong == []


def _reach_of(path, name):
    """What is wrong with a template's reaching for another, or nothing."""
    package, app = path.split("/")[:2]
    own = f"{package}.{app}"
    if name[0] not in "\"'":
        return None if path in NAMED_ELSEWHERE else f"{path}: {name} is not a name that can be followed"
    space = name.strip("\"'").split("/")[0] if "/" in name else ""
    homes = {one.split(".")[1]: one for one in floors()}
    if app == "templates":
        return f"{path}: {name} lies above" if space in homes else None
    if space in homes and not may_reach(own, homes[space]):
        return f"{path}: {name} lies beside or above"
    return None


def test_a_template_reaches_its_own_app_a_lower_floor_or_the_shared_ones():
    templates = [path for path in files() if "/templates/" in path and path.startswith(("courses/", "assessments/"))]
    wrong = [
        fault
        for path in templates
        for name in REACHES.findall((ROOT / path).read_text())
        if (fault := _reach_of(path, name))
    ]

    assert templates
    assert wrong == []


def test_a_template_that_reaches_up_sideways_or_nowhere_is_found():
    assert _reach_of("courses/tasks/templates/tasks/a.html", '"machines/_b.html"')
    assert _reach_of("assessments/ledger/templates/ledger/a.html", '"drills/_b.html"')
    assert _reach_of("courses/templates/base.html", '"people/_b.html"')
    assert _reach_of("courses/tasks/templates/tasks/a.html", "name")
    assert not _reach_of("courses/machines/templates/machines/a.html", '"tasks/_b.html"')
    assert not _reach_of("courses/tasks/templates/tasks/a.html", '"_pager.html"')
