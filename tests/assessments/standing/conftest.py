from __future__ import annotations

import pytest

from tests.factories.standing import NOW, TODAY, small_plant
from tests.threads import in_threads  # noqa: F401  (a fixture)


@pytest.fixture
def plant(db):
    return small_plant()


@pytest.fixture
def said(plant):
    """What every signature says, unless a test says otherwise."""
    return {
        "person": plant.person,
        "task": plant.b1,
        "by": plant.boss,
        "reason": "Watched twice.",
        "on": TODAY,
        "at": NOW,
    }
