"""The door of the engine."""

from __future__ import annotations

import subprocess
import sys

import assessments.engine as door


def test_everything_on_the_door_is_there():
    assert [name for name in door.__all__ if not hasattr(door, name)] == []
    assert door.__all__ == sorted(door.__all__)


def test_who_comes_by_the_door_meets_no_library_of_units():
    found = subprocess.run(
        [sys.executable, "-c", "import sys, assessments.engine; print(sorted({'pint', 'django'} & set(sys.modules)))"],
        capture_output=True,
        text=True,
        check=True,
    )

    assert found.stdout.strip() == "[]"


def test_a_case_goes_through_the_door_from_end_to_end():
    method = door.find_method("squashed_strip")
    strip = door.find_instrument("squashed_strip_metric")
    scenario = door.Scenario(
        name="by the door",
        method=method,
        dims={"strip": 0.6},
        limits={
            "clearance": door.Limit.between(0.09, 0.15, source="invented"),
            "taper": door.Limit.at_most(0.02, source="invented"),
        },
        instruments={reading.name: strip for reading in method.readings},
        shares={"good": 1.0},
        asked=method.asked,
    )
    key = door.key_to(scenario, door.draw(scenario, 1))
    answer = door.Answer(
        readings=key.draw.readings,
        results={name: key.values[name] for name in scenario.asked},
        verdict=key.verdicts[0],
        action=key.actions[0],
    )

    assert door.score(key, answer).is_right
