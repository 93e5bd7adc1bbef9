"""Method 15: the torque for a screw, and what to set on the wrench when an adapter makes it longer.

``F`` is a part of the proof load that the standard's table gives the screw (three quarters of it for a joint that is
taken apart again: textbooks, weak pages); ``T = K D F``, a rule of thumb with K from how it is oiled, whose scatter is
some 25 % either way (weak page). With an adapter in line ``set = T L / (L + E)`` (US Army TM 9-254; TM 9-2350-261-20-1
p. 2-29; NAVEDTRA 14008); an adapter square to the wrench needs no correction. The stress area is that of the thread:
``pi/4 (D - 0.9382 P)^2`` metric, ``pi/4 (D - 0.9743 P)^2`` unified inch (tables of thread charts and of ISO 898-1).

In which order and stages a joint is tightened is in `engine/crossing.py`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from assessments.engine.arithmetic import where
from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.kinds import Kind, Values
from assessments.engine.method import Action, Aim, Band, Condition, Dim, Line, Method, Numbers, Reading, Slip
from assessments.engine.plausible import need_sizes
from assessments.engine.verdicts import Held, Verdict

METRIC, UNIFIED = 1.0, 2.0
_METRES = 1e-3  # N mm to N m
_BARS = 10.0  # in one N/mm2


def check(readings: Numbers, dims: Numbers) -> None:
    need_sizes(dims)
    need_sizes(readings)
    for name, is_so, reason in (
        ("thread", dims["thread"] in {METRIC, UNIFIED}, "The thread is ISO metric, 1, or unified inch, 2."),
        (
            "pitch",
            dims["pitch"] < dims["diameter"] / 2,
            "A pitch is a small part of the diameter: millimetres, not threads an inch.",
        ),
        ("part", dims["part"] < 1, "A screw is tightened to a part of its proof load, less than all of it."),
        ("factor", 0.05 <= dims["factor"] <= 0.5, "K lies between 0.05 and 0.5: from well greased to rusty."),
    ):
        if not is_so:
            raise ImpossibleReadingError(name=name, value=float(dims[name]), reason=reason)


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """A wrench set so that the screw gets a part of its proof load; chance: how long wrench and adapter are."""
    wrench, adapter = 300.0 + 300.0 * chance[0], 80.0 + 120.0 * chance[1]
    at_screw = aims["pull"] * dims["proof"] * dims["factor"] * dims["diameter"] * _METRES
    return {"wrench": wrench, "adapter": adapter, "found": at_screw * wrench / (wrench + adapter)}


def stress_area(diameter: Values, pitch: Values, thread: Values) -> Values:
    """Stress area (mm2) of a screw's thread."""
    core = diameter - where(thread == METRIC, 0.9382, 0.9743) * pitch
    return math.pi / 4 * core * core


def _torque(values: Numbers) -> Values:
    return values["factor"] * values["diameter"] * values["preload"] * _METRES


def _longer(values: Numbers) -> Values:
    """How much longer adapter and wrench are than the wrench."""
    return (values["wrench"] + values["adapter"]) / values["wrench"]


_SET_AGAIN = "set_again"
METHOD = Method(
    number=15,
    name="tightening",
    title="Tightening torque",
    purpose="What to set on the wrench for a screw, with an adapter in line, and what the setting found would have done.",
    readings=(
        Reading(
            name="wrench",
            symbol="L",
            label="Length of the wrench",
            where="middle of the square to the middle of the grip",
            families=("steel_rule", "written_note"),
        ),
        Reading(
            name="adapter",
            symbol="E",
            label="Length of the adapter",
            where="middle of the wrench's square to the middle of the screw, in line with the wrench",
            families=("steel_rule", "written_note"),
        ),
        Reading(
            name="found",
            symbol="X",
            label="Setting found on the wrench",
            where="as the last shift left it",
            families=("written_note",),
            kind=Kind.TORQUE,
        ),
    ),
    dims=(
        Dim(name="diameter", symbol="D", label="Diameter of the thread"),
        Dim(name="pitch", symbol="P", label="Pitch of the thread"),
        Dim(name="thread", symbol="h", label="Thread: 1 for ISO metric, 2 for unified inch", kind=Kind.COUNT),
        Dim(name="proof", symbol="Fp", label="Proof load of the screw, from the standard's table", kind=Kind.FORCE),
        Dim(name="part", symbol="j", label="Part of the proof load wanted", kind=Kind.RATIO),
        Dim(name="factor", symbol="K", label="Nut factor, for how it is oiled", kind=Kind.RATIO),
    ),
    lines=(
        Line(
            name="preload",
            symbol="F",
            label="Preload wanted",
            formula="j × Fp",
            rule=lambda values: values["part"] * values["proof"],
            kind=Kind.FORCE,
            least=0.0,
        ),
        Line(
            name="torque",
            symbol="T",
            label="Torque at the screw",
            formula="K × D × F",
            rule=_torque,
            kind=Kind.TORQUE,
            least=0.0,
        ),
        Line(
            name="setting",
            symbol="Ts",
            label="Setting of the wrench, adapter in line",
            formula="T × L / (L + E)",
            rule=lambda values: values["torque"] / _longer(values),
            kind=Kind.TORQUE,
            least=0.0,
        ),
        Line(
            name="given",
            symbol="Tx",
            label="Torque that the setting found gives the screw",
            formula="X × (L + E) / L",
            rule=lambda values: values["found"] * _longer(values),
            kind=Kind.TORQUE,
            least=0.0,
        ),
        Line(
            name="pull",
            symbol="q",
            label="Part of the proof load that it pulls",
            formula="Tx / (K × D × Fp) × 100 %",
            rule=lambda values: values["given"] / (values["factor"] * values["diameter"] * values["proof"] * _METRES),
            kind=Kind.RATIO,
            least=0.0,
            unit="%",
        ),
        Line(
            name="area",
            symbol="As",
            label="Stress area of the thread",
            formula="π / 4 × (D − 0.9382 × P)² metric, π / 4 × (D − 0.9743 × P)² inch",
            rule=lambda values: stress_area(values["diameter"], values["pitch"], values["thread"]),
            kind=Kind.AREA,
            least=0.0,
        ),
    ),
    limits={"pull": "Preload as a part of the proof load"},
    held=(Held(result="pull", limit="pull"),),
    aims=(Aim(name="pull", limit="pull"),),
    conditions=(
        Condition(name="good", words="a setting that can be used", bands={}),
        Condition(name="slack", words="a setting that leaves the joint slack", bands={"pull": Band.BELOW}),
        Condition(name="over", words="a setting that overloads the screw", bands={"pull": Band.ABOVE}),
    ),
    asked=("preload", "torque", "setting", "pull"),
    check=check,
    simulate=simulate,
    chances=2,
    slips=(
        Slip(
            name="adapter_ignored",
            says="The adapter was ignored. It makes the wrench longer: the screw gets more than the wrench shows.",
            rules={"setting": lambda values: values["torque"], "given": lambda values: values["found"]},
        ),
        Slip(
            name="adapter_inverted",
            says="The correction was turned over. The setting is less than the torque wanted, the torque more than the setting.",
            rules={
                "setting": lambda values: values["torque"] * _longer(values),
                "given": lambda values: values["found"] / _longer(values),
            },
        ),
        Slip(
            name="adapter_taken_off",
            says="The adapter was taken off the wrench's length. In line it is put on.",
            rules={
                "setting": lambda values: values["torque"] * (values["wrench"] - values["adapter"]) / values["wrench"],
            },
        ),
        Slip(
            name="all_of_the_proof_load",
            says="The whole proof load was taken. The joint is to be tightened to a part of it.",
            rules={"preload": lambda values: values["proof"]},
        ),
        Slip(
            name="radius_for_diameter",
            says="The radius was put in for the diameter: half the torque.",
            rules={"torque": lambda values: _torque(values) / 2},
        ),
        Slip(
            name="millimetres_as_metres",
            says="The diameter was put in in millimetres: that gives newton millimetres, a thousand times as many.",
            rules={"torque": lambda values: _torque(values) / _METRES},
        ),
        Slip(
            name="inches_as_feet",
            says="That is in pound-force inches: twelve of them are one pound-force foot.",
            rules={"torque": lambda values: _torque(values) * 12},
        ),
        Slip(
            name="factor_forgotten",
            says="K was left out. Without it no friction is reckoned with, and the figure is several times too high.",
            rules={"torque": lambda values: _torque(values) / values["factor"]},
        ),
        Slip(
            name="plain_shank",
            says="That is the section of a plain shank. A thread carries by its stress area, which is less.",
            rules={"area": lambda values: math.pi / 4 * values["diameter"] * values["diameter"]},
        ),
    ),
    verdict_words={
        Verdict.INSIDE: "tight as the sheet wants it",
        Verdict.LOW: "too slack",
        Verdict.HIGH: "too tight",
    },
    actions={
        Verdict.INSIDE: Action(
            name="tighten",
            words="oil as the sheet says and tighten crosswise, in stages, with this setting last",
            because="With this adapter the setting pulls the screw to what the sheet wants, neither slack nor over.",
            is_accepting=True,
        ),
        Verdict.LOW: Action(
            name=_SET_AGAIN,
            words="set the wrench to the figure worked out before a screw is touched",
            because="A slack joint leaks and works loose, and then its screws break by bending to and fro.",
        ),
        Verdict.HIGH: Action(
            name=_SET_AGAIN,
            words="set the wrench to the figure worked out before a screw is touched",
            because="A screw pulled over its proof load stays longer than it was, and holds less from then on.",
        ),
    },
    caution=(
        "Pull a wrench, never push, on good footing, and not with a pipe on it. A joint that may hold pressure is proved "
        "to be without it, by the site's isolation procedure, before a screw is moved either way."
    ),
    source=(
        "US Army TM 9-254 and TM 9-2350-261-20-1 p. 2-29, NAVEDTRA 14008 (adapter); T = K D F as textbooks give it; "
        "stress area as in the tables of ISO 898-1 and of thread charts."
    ),
)
