"""Method 19: how far two supports lift the shaft as they warm up, and how unevenly.

``growth = a H dT`` for each support (linear expansion): its height from sole plate to shaft centre, and how much
hotter its metal gets than when the machine was aligned. What counts is the temperature of the support's metal, not of
the steam or oil in it. Steel and iron supports grow 0.0063 thousandths of an inch per inch and degree Fahrenheit:
McMillan, Rotating Machinery (2004), p. 146; coefficients in `expansion`.
"""

from __future__ import annotations

from collections.abc import Sequence

from assessments.engine.arithmetic import side, size_of
from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.expansion import FAHRENHEIT, THIRTY_TWO, need_expansions
from assessments.engine.kinds import Kind, Values
from assessments.engine.method import Action, Aim, Band, Condition, Dim, Line, Method, Numbers, Reading, Rule, Slip
from assessments.engine.plausible import need_numbers, need_sizes
from assessments.engine.verdicts import Held, Verdict

COLDEST, WARMEST = 12.0, 28.0
"""Machines are drawn so cold and so warm when they are aligned, degrees Celsius."""
HOTTEST = 700.0
"""No support is hotter, degrees Celsius, and none colder than its opposite number."""

_ENDS = ("governor", "coupling")
_HEIGHTS = tuple(f"height_{end}" for end in _ENDS)


def check(readings: Numbers, dims: Numbers) -> None:
    need_sizes({name: dims[name] for name in _HEIGHTS})
    need_expansions({"a_support": dims["a_support"]})
    need_numbers(readings)
    for name, value in readings.items():
        if not -60 <= value <= HOTTEST:
            raise ImpossibleReadingError(
                name=name,
                value=float(value),
                reason="No support of a turbine is so cold or so hot: look at the scale of the thermometer.",
            )


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """Temperatures behind a mean growth and a difference. chance: how warm it was, and which end grows more."""
    cold = COLDEST + (WARMEST - COLDEST) * chance[0]
    half = side(chance[1]) * aims["tilt"] / 2
    temperatures: dict[str, Values] = {"t_cold": cold}
    for end, growth in zip(_ENDS, (aims["growth"] + half, aims["growth"] - half), strict=True):
        temperatures[f"t_{end}"] = cold + growth / (dims["a_support"] * dims[f"height_{end}"])
    return temperatures


def _warmer(end: str, astray: float = 0.0) -> Rule:
    return lambda values: values[f"t_{end}"] - values["t_cold"] + astray


def _level(end: str, astray: float = 0.0) -> Rule:
    return lambda values: values[f"t_{end}"] + astray


def _grown(end: str, *, height: str = "", times: float = 1.0) -> Rule:
    height = f"height_{height or end}"
    return lambda values: values["a_support"] * values[height] * values[f"warmer_{end}"] * times


def _both(make: str, **rules: Rule) -> dict[str, Rule]:
    return {f"{make}_{end}": rule for end, rule in rules.items()}


_WITH_32 = (
    "That temperature difference was converted with the 32. The 32 is where the Fahrenheit scale begins, and a difference has no "
    "beginning: one degree Celsius of it is 1.8 degrees Fahrenheit, and nothing else."
)
_HOT_ALONE = (
    "The hot temperature itself was taken. What counts is how much hotter that is than when it was aligned: subtract."
)
_RETARGET = "retarget"
METHOD = Method(
    number=19,
    name="support_growth",
    title="Growth of the supports",
    purpose="How far the supports lift the shaft when they are warm, and whether the alignment allows for it.",
    readings=(
        Reading(
            name="t_cold",
            symbol="tc",
            label="Temperature when aligned",
            where="metal of the supports, machine cold, when it was aligned",
            families=("written_note",),
            kind=Kind.TEMPERATURE,
        ),
        *(
            Reading(
                name=f"t_{end}",
                symbol=f"t{number}",
                label=f"Temperature running, {end} end",
                where=f"metal of the {end}-end support, mean of foot, middle and top, machine warm and steady",
                families=("written_note",),
                kind=Kind.TEMPERATURE,
            )
            for number, end in enumerate(_ENDS, start=1)
        ),
    ),
    dims=(
        *(
            Dim(name=f"height_{end}", symbol=f"H{number}", label=f"Height of the {end}-end support, to shaft centre")
            for number, end in enumerate(_ENDS, start=1)
        ),
        Dim(name="a_support", symbol="a", label="Expansion of the supports", kind=Kind.EXPANSION),
    ),
    lines=(
        *(
            Line(
                name=f"warmer_{end}",
                symbol=f"dT{number}",
                label=f"Warmer by, {end} end",
                formula=f"t{number} − tc",
                rule=_warmer(end),
                kind=Kind.TEMPERATURE_STEP,
            )
            for number, end in enumerate(_ENDS, start=1)
        ),
        *(
            Line(
                name=f"growth_{end}",
                symbol=f"g{number}",
                label=f"Growth, {end} end",
                formula=f"a × H{number} × dT{number}",
                rule=_grown(end),
            )
            for number, end in enumerate(_ENDS, start=1)
        ),
        Line(
            name="tilt",
            symbol="x",
            label="Difference between the ends",
            formula="|g1 − g2|",
            rule=lambda values: size_of(values["growth_governor"] - values["growth_coupling"]),
            least=0.0,
        ),
    ),
    limits={"growth": "Growth that the alignment allows for", "tilt": "Difference between the ends"},
    held=(
        Held(result="growth_governor", limit="growth"),
        Held(result="growth_coupling", limit="growth"),
        Held(result="tilt", limit="tilt", above=Verdict.FORM),
    ),
    aims=(Aim(name="growth", limit="growth"), Aim(name="tilt", limit="tilt")),
    conditions=(
        Condition(name="good", words="grows as the alignment allows for", bands={"growth": Band.WELL_INSIDE}),
        Condition(name="less", words="grows less than that", bands={"growth": Band.BELOW}),
        Condition(name="more", words="grows more than that", bands={"growth": Band.ABOVE}),
        Condition(
            name="uneven",
            words="right in the mean, but one end grows more than the other",
            bands={"growth": Band.WELL_INSIDE, "tilt": Band.ABOVE},
        ),
    ),
    asked=("warmer_governor", "growth_governor", "growth_coupling", "tilt"),
    check=check,
    simulate=simulate,
    chances=2,
    slips=(
        Slip(
            name="converted_with_32_taken_off",
            says=_WITH_32,
            rules=_both("warmer", **{end: _warmer(end, -THIRTY_TWO) for end in _ENDS}),
        ),
        Slip(
            name="converted_with_32_added",
            says=_WITH_32,
            rules=_both("warmer", **{end: _warmer(end, THIRTY_TWO) for end in _ENDS}),
        ),
        Slip(
            name="level_for_difference_celsius",
            says=_HOT_ALONE,
            rules=_both("warmer", **{end: _level(end) for end in _ENDS}),
        ),
        Slip(
            name="level_for_difference_fahrenheit",
            says=_HOT_ALONE,
            rules=_both("warmer", **{end: _level(end, THIRTY_TWO) for end in _ENDS}),
        ),
        Slip(
            name="fahrenheit_with_coefficient_per_celsius",
            says=(
                "A difference in degrees Fahrenheit was used with a coefficient per degree Celsius: 1.8 times too much growth. "
                "Both have to be of one scale."
            ),
            rules=_both("growth", **{end: _grown(end, times=1 / FAHRENHEIT) for end in _ENDS}),
        ),
        Slip(
            name="celsius_with_coefficient_per_fahrenheit",
            says=(
                "A difference in degrees Celsius was used with a coefficient per degree Fahrenheit: growth 1.8 times too small. "
                "Both have to be of one scale."
            ),
            rules=_both("growth", **{end: _grown(end, times=FAHRENHEIT) for end in _ENDS}),
        ),
        Slip(
            name="made_to_shrink",
            says="The supports were made to shrink. A support that gets warmer grows and lifts the shaft.",
            rules=_both("growth", **{end: _grown(end, times=-1.0) for end in _ENDS}),
        ),
        Slip(
            name="heights_exchanged",
            says="The heights were exchanged: each support grows by its own height.",
            rules=_both(
                "growth",
                governor=_grown("governor", height="coupling"),
                coupling=_grown("coupling", height="governor"),
            ),
        ),
        Slip(
            name="one_temperature_for_both",
            says="The governor end's temperature was used for both ends. Each support has its own: the steam end is hotter.",
            rules={"warmer_coupling": _warmer("governor")},
        ),
        Slip(
            name="growths_added",
            says="The two growths were added. What tilts the shaft is their difference.",
            rules={"tilt": lambda values: size_of(values["growth_governor"] + values["growth_coupling"])},
        ),
    ),
    verdict_words={
        Verdict.INSIDE: "as the alignment allows for",
        Verdict.LOW: "grows less than allowed for",
        Verdict.HIGH: "grows more than allowed for",
        Verdict.FORM: "one end grows more than the other",
    },
    actions={
        Verdict.INSIDE: Action(
            name="keep",
            words="write the temperatures and growths on the sheet and keep the cold target",
            because="Both ends grow as the cold target allows for, so the shafts meet when the machine is warm.",
            is_accepting=True,
        ),
        Verdict.LOW: Action(
            name=_RETARGET,
            words="do not keep the cold target; work out a new one from these growths and have it agreed",
            because="A machine set low for a growth that does not come runs with its shaft too low.",
        ),
        Verdict.HIGH: Action(
            name=_RETARGET,
            words="do not keep the cold target; work out a new one from these growths and have it agreed",
            because="A machine that grows more than it was set low for lifts its shaft over the other one when it is warm.",
        ),
        Verdict.FORM: Action(
            name="each_end",
            words="find why one end is hotter, then give each end a target of its own and have it agreed",
            because="An end that grows more tilts the shaft: one offset for both ends cannot make up for an angle.",
        ),
    },
    caution=(
        "Measure on a running machine only where the site allows it, with gloves, sleeves buttoned and clear of everything that turns. Hot "
        "metal burns, and lagging may hold asbestos: leave it on until it is known not to. Take the support's metal, not the steam or the oil in it."
    ),
    source="Growth is a H dT: McMillan, Rotating Machinery (2004), p. 146; coefficients: Callister, table B.6.",
)
