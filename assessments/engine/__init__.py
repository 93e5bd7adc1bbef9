"""The clearance engine: every computation of the site.

This is its door for what works in plain numbers: a scenario is built from a method, limits and instruments; `draw` puts
a case, `key_to` works it, `score` marks an answer. Each name stands in a module that says more.

Text has a door of its own, because it converts units and what is here must not: `answers` understands what was typed,
`working` and `marked` write the working and the marked answer out, `quantities` reads and prints.
"""

from __future__ import annotations

from assessments.engine.draws import Draw, Spread, draw, spread, truth
from assessments.engine.errors import EngineError
from assessments.engine.instruments import all_instruments, find_instrument
from assessments.engine.methods import all_methods, find_method
from assessments.engine.scenario import Carry, Scenario
from assessments.engine.scoring import Answer, Key, Mark, Score, key_to, score
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import Verdict

__all__ = [
    "Answer",
    "Carry",
    "Draw",
    "EngineError",
    "Key",
    "Limit",
    "Mark",
    "Scenario",
    "Score",
    "Spread",
    "Verdict",
    "all_instruments",
    "all_methods",
    "draw",
    "find_instrument",
    "find_method",
    "key_to",
    "score",
    "spread",
    "truth",
]
