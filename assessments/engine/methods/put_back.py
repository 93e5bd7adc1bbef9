"""Method 10: put back where it was: the same dimension as found and as left.

What was measured before the machine was taken apart is measured again from the same faces; as left less as found is
the change, and it is held against a plus and minus tolerance. Arithmetic; that what is taken apart goes back where it
was found unless the sheet says otherwise is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

from assessments.engine.arithmetic import size_of
from assessments.engine.kinds import Values
from assessments.engine.method import Action, Aim, Band, Condition, Dim, Line, Method, Numbers, Reading, Slip
from assessments.engine.plausible import need_sizes
from assessments.engine.verdicts import Held, Verdict

SCATTER = 0.02
"""Machines of one type as found differ by this part of the dimension, either way."""


def check(readings: Numbers, dims: Numbers) -> None:
    need_sizes(dims)
    need_sizes(readings)


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """A dimension as found, about as large as the sister machine's, and as left. chance: how much it differs from that."""
    found = dims["sister"] * (1 + SCATTER * (2 * chance[0] - 1))
    return {"found": found, "left": found + aims["change"]}


_MOVE = "move"
METHOD = Method(
    number=10,
    name="put_back",
    title="Put back where it was",
    purpose="Whether a part stands again where it stood before the machine was taken apart.",
    readings=(
        Reading(
            name="found",
            symbol="Df",
            label="As found",
            where="from this machine's own record, taken before it was taken apart",
            families=("written_note",),
        ),
        Reading(
            name="left",
            symbol="Dl",
            label="As left",
            where="measured now, between the same two faces, wiped clean",
            families=("depth_micrometer", "vernier_caliper", "steel_rule", "outside_micrometer"),
        ),
    ),
    dims=(Dim(name="sister", symbol="Ds", label="As found on the sister machine"),),
    lines=(
        Line(
            name="change",
            symbol="x",
            label="Change, as left less as found",
            formula="Dl − Df",
            rule=lambda values: values["left"] - values["found"],
        ),
    ),
    limits={"change": "Change from as found"},
    held=(Held(result="change", limit="change"),),
    aims=(Aim(name="change", limit="change"),),
    conditions=(
        Condition(name="good", words="back where it was", bands={}),
        Condition(name="short", words="less than it was found", bands={"change": Band.BELOW}),
        Condition(name="long", words="more than it was found", bands={"change": Band.ABOVE}),
    ),
    asked=("change",),
    check=check,
    simulate=simulate,
    chances=1,
    slips=(
        Slip(
            name="subtracted_backwards",
            says="As left was taken from as found. The change is as left less as found: plus means there is more now.",
            rules={"change": lambda values: values["found"] - values["left"]},
        ),
        Slip(
            name="sign_dropped",
            says="The minus was dropped. Which way the part has moved decides which way it has to go back.",
            rules={"change": lambda values: size_of(values["left"] - values["found"])},
        ),
        Slip(
            name="sister_machine",
            says="The figure of the sister machine was used as found. Machines of one type differ: only its own record counts.",
            rules={"change": lambda values: values["left"] - values["sister"]},
        ),
        Slip(
            name="dimension_as_change",
            says="The dimension itself was written down. The change is what is left when the figure as found is taken off.",
            rules={"change": lambda values: values["left"]},
        ),
    ),
    verdict_words={
        Verdict.INSIDE: "back where it was",
        Verdict.LOW: "less than it was",
        Verdict.HIGH: "more than it was",
    },
    actions={
        Verdict.INSIDE: Action(
            name="record",
            words="write as found and as left on the sheet and go on",
            because="The change lies inside, and the next who opens the machine will need both figures.",
            is_accepting=True,
        ),
        Verdict.LOW: Action(
            name=_MOVE,
            words="wipe the faces, measure again, then move it back towards as found",
            because="A part that is not back where it was puts every fit set from it out by as much.",
        ),
        Verdict.HIGH: Action(
            name=_MOVE,
            words="wipe the faces, measure again, then move it back towards as found",
            because="A part that is not back where it was puts every fit set from it out by as much.",
        ),
    },
    caution=(
        "Block the part before a hand or a measuring tool goes under it or behind it, as the site's lifting procedure says. "
        "No record of this machine as found: stop and ask, and never borrow another machine's figure."
    ),
    source="As left less as found: arithmetic; back where it was found: common practice, no source.",
)
