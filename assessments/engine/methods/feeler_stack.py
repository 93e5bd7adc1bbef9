"""Method 5: a gap by feeler leaves, between the thickest stack that goes and the next that does not.

Leaves are marked with their thickness and may be stacked and summed; they have to be clean and dry, and are not
wedged (US Army TM 9-243 p. 16-2; TM 1-1500-204). The gap is no single number: it is at least the sum that goes and
less than the sum that does not. So a bound of the sheet that lies between the two cannot be told from, and the honest
verdict then is that it has to be measured otherwise (the idea of ISO 14253-1: prove it inside, or prove it outside).
"""

from __future__ import annotations

from collections.abc import Sequence

from assessments.engine.arithmetic import where
from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.kinds import MM_PER_INCH, Values
from assessments.engine.method import Action, Aim, Band, Condition, Dim, Line, Method, Numbers, Reading, Slip
from assessments.engine.plausible import need_sizes
from assessments.engine.verdicts import Held, Verdict

SKIPPED = 0.15
"""Part of the draws in which the stack that does not go is two thin leaves thicker, not one."""

THOU_READ_AS_HUNDREDTHS = MM_PER_INCH / 10
"""A leaf marked .010 is 0.254 mm; taken for ten hundredths of a millimetre it is so many times too thin."""


def check(readings: Numbers, dims: Numbers) -> None:
    need_sizes(dims)
    need_sizes(readings)
    if "no_go" in readings and not readings["go"] < readings["no_go"]:
        raise ImpossibleReadingError(
            name="no_go",
            value=float(readings["no_go"]),
            reason="A stack that does not go is thicker than one that goes: add both up again.",
        )


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """Two stacks about a gap, a thinnest leaf apart, sometimes two. chance: where between them it lies, and which."""
    apart = dims["leaf"] * where(chance[1] < SKIPPED, 2.0, 1.0)
    go = aims["gap"] - chance[0] * apart
    return {"go": go, "no_go": go + apart}


def _middle(values: Numbers) -> Values:
    return (values["at_least"] + values["less_than"]) / 2


METHOD = Method(
    number=5,
    name="feeler_stack",
    title="A gap by feeler leaves",
    purpose="Whether a gap lies inside the sheet, as nearly as feeler leaves can tell.",
    readings=(
        Reading(
            name="go",
            symbol="G",
            label="Thickest stack that goes",
            where="slides through along its whole length with a light drag, pushed by two fingers",
            families=("feeler_leaves",),
        ),
        Reading(
            name="no_go",
            symbol="N",
            label="Next stack, that does not go",
            where="the next thicker stack, tried at the same place: does not enter",
            families=("feeler_leaves",),
        ),
    ),
    dims=(Dim(name="leaf", symbol="f", label="Thinnest leaf of the set"),),
    lines=(
        Line(
            name="at_least",
            symbol="gmin",
            label="The gap is at least",
            formula="G",
            rule=lambda values: values["go"],
            least=0.0,
        ),
        Line(
            name="less_than",
            symbol="gmax",
            label="The gap is less than",
            formula="N",
            rule=lambda values: values["no_go"],
            least=0.0,
        ),
        Line(
            name="middle",
            symbol="m",
            label="Midway between",
            formula="(gmin + gmax) / 2",
            rule=_middle,
            least=0.0,
        ),
        Line(
            name="open",
            symbol="o",
            label="Left open, either side of midway",
            formula="(gmax − gmin) / 2",
            rule=lambda values: (values["less_than"] - values["at_least"]) / 2,
        ),
    ),
    limits={"gap": "Gap"},
    held=(Held(result="middle", limit="gap", either_side="open"),),
    aims=(Aim(name="gap", limit="gap"),),
    conditions=(
        Condition(name="good", words="a gap that can be left", bands={"gap": Band.WELL_INSIDE}),
        Condition(name="narrow", words="too narrow", bands={"gap": Band.BELOW}),
        Condition(name="wide", words="too wide", bands={"gap": Band.ABOVE}),
        Condition(
            name="edge_low",
            words="so near the low limit that leaves may not tell",
            bands={"gap": Band.JUST_INSIDE_LOW},
        ),
        Condition(
            name="edge_high",
            words="so near the high limit that leaves may not tell",
            bands={"gap": Band.JUST_INSIDE_HIGH},
        ),
        Condition(name="worn", words="a leaf worn or bent at its end", bands={}, oddity="worn"),
    ),
    asked=("at_least", "less_than", "middle"),
    check=check,
    simulate=simulate,
    chances=2,
    slips=(
        Slip(
            name="no_go_as_gap",
            says=(
                "The stack that does not go was taken as the gap. It is thicker than the gap: the gap is at least what "
                "goes, and less than what does not."
            ),
            rules={"at_least": lambda values: values["no_go"], "middle": lambda values: values["no_go"]},
        ),
        Slip(
            name="stacks_exchanged",
            says="The two stacks were exchanged. What goes is the least the gap can be; what does not go is too much.",
            rules={"at_least": lambda values: values["no_go"], "less_than": lambda values: values["go"]},
        ),
        Slip(
            name="go_as_gap",
            says=(
                "The stack that goes was written as if it were the gap itself. The gap may be anything from there up to the next "
                "stack: midway is the best single figure."
            ),
            rules={"less_than": lambda values: values["go"], "middle": lambda values: values["at_least"]},
        ),
        Slip(
            name="middle_alone_held",
            says=(
                "Only the middle was held against the sheet. Both stacks have to say the same: where a limit lies between them, "
                "leaves cannot tell."
            ),
            rules={"open": lambda _: 0.0},
        ),
        Slip(
            name="inch_leaf_as_metric",
            says="A leaf marked in thousandths of an inch was read as hundredths of a millimetre: .010 is 0.254 mm, not 0.10 mm.",
            rules={
                "at_least": lambda values: values["go"] / THOU_READ_AS_HUNDREDTHS,
                "less_than": lambda values: values["no_go"] / THOU_READ_AS_HUNDREDTHS,
            },
        ),
        Slip(
            name="metric_leaf_as_inch",
            says="A leaf marked in hundredths of a millimetre was read as thousandths of an inch: 0.10 mm is about .004 in.",
            rules={
                "at_least": lambda values: values["go"] * THOU_READ_AS_HUNDREDTHS,
                "less_than": lambda values: values["no_go"] * THOU_READ_AS_HUNDREDTHS,
            },
        ),
    ),
    verdict_words={
        Verdict.INSIDE: "inside the sheet",
        Verdict.LOW: "too narrow",
        Verdict.HIGH: "too wide",
        Verdict.VOID: "cannot be told with these leaves",
    },
    actions={
        Verdict.INSIDE: Action(
            name="leave",
            words="write down both stacks and leave the gap as it is",
            because="What goes is not under the low limit and what does not go is not over the high one: the gap is inside.",
            is_accepting=True,
        ),
        Verdict.LOW: Action(
            name="correct",
            words="do not close up; find the cause, correct the gap and measure again",
            because="Even the stack that does not go is under the low limit: the gap is too narrow, and parts may touch.",
        ),
        Verdict.HIGH: Action(
            name="correct",
            words="do not close up; find the cause, correct the gap and measure again",
            because="Even the stack that goes is over the high limit: the gap is too wide.",
        ),
        Verdict.VOID: Action(
            name="measure_otherwise",
            words="measure it otherwise: sound leaves, thinner ones between these two stacks, a taper gauge or a dial",
            because=(
                "Where a limit lies between what goes and what does not, or a leaf is not what is etched on it, whoever "
                "takes the good side accepts on a guess."
            ),
        ),
    },
    caution=(
        "Machine isolated and locked, parts that can move blocked, before a hand goes to a gap. Wipe leaves and gap dry and clean, "
        "turn none of them in, never wedge or force a leaf: edges cut, and a piece broken off stays in the machine."
    ),
    source="US Army TM 9-243 p. 16-2, TM 1-1500-204 (leaves stacked and summed, clean, not wedged); verdict after ISO 14253-1's idea.",
)
