"""Method 8: the clearance of a carbon ring, cold on the bench and hot in the gland.

Segments are held together by a garter spring and keep their size by their butt joints, so the inside diameter is
measured on the assembled ring with its joints closed. Cold: ring less shaft. Hot: each grows by its own coefficient
over the difference from the temperature at which it was measured, and steel grows more than carbon: the clearance
closes, ``hot = Dr (1 + ar dT) - Ds (1 + as dT)`` (linear expansion; the differential of 4.0e-6 per degree Fahrenheit
between shaft steel and carbon is in Bloch and Geitner, Practical Machinery Management for Process Plants, vol. 4, p.
344; coefficients in `expansion`).

Ring and shaft are taken at one running temperature, from the sheet. Where a sheet gives a steam pressure instead, the
temperature has to be looked up by whoever writes the sheet: the engine does not turn a pressure into a saturation
temperature. A ring in a steel band grows more than bare carbon (a journal abstract): the sheet's own coefficient goes
before any table.
"""

from __future__ import annotations

from collections.abc import Sequence

from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.expansion import FAHRENHEIT, THIRTY_TWO, need_expansions
from assessments.engine.kinds import Kind, Values
from assessments.engine.method import Action, Aim, Band, Condition, Dim, Line, Method, Numbers, Reading, Rule, Slip
from assessments.engine.plausible import need_numbers, need_sizes
from assessments.engine.verdicts import Held, Verdict

WEAR = 0.0005
"""How much a drawn shaft is under its size as made, at most, as a part of it."""
COLDEST, WARMEST = 14.0, 28.0
"""Benches are drawn so cold and so warm, degrees Celsius."""

_SIZES = ("ring", "shaft")
_COEFFICIENTS = ("a_ring", "a_shaft")


def check(readings: Numbers, dims: Numbers) -> None:
    need_sizes({"nominal": dims["nominal"]})
    need_expansions({name: dims[name] for name in _COEFFICIENTS})
    need_numbers({"t_run": dims["t_run"]})
    need_sizes({name: readings[name] for name in _SIZES if name in readings})
    need_numbers(readings)
    if "t_bench" in readings and not readings["t_bench"] < dims["t_run"]:
        raise ImpossibleReadingError(
            name="t_bench",
            value=float(readings["t_bench"]),
            reason="The bench cannot be as hot as the gland runs: look at the temperatures and their scales again.",
        )


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """Ring and shaft behind a cold clearance; chance: wear of the shaft, and the bench's temperature."""
    shaft = dims["nominal"] * (1 - WEAR * chance[0])
    return {
        "ring": shaft + aims["cold"],
        "shaft": shaft,
        "t_bench": COLDEST + (WARMEST - COLDEST) * chance[1],
    }


def _difference(values: Numbers) -> Values:
    return values["t_run"] - values["t_bench"]


def _hot(ring: str = "a_ring", shaft: str = "a_shaft", times: float = 1.0) -> Rule:
    return lambda values: (
        values["ring"] * (1 + values[ring] * times * values["difference"])
        - values["shaft"] * (1 + values[shaft] * times * values["difference"])
    )


_WITH_32 = (
    "That temperature difference was converted with the 32. The 32 is where the Fahrenheit scale begins, and a difference has no "
    "beginning: one degree Celsius of it is 1.8 degrees Fahrenheit, and nothing else."
)
_LEVEL = "The running temperature itself was taken. What counts is how much hotter that is than the bench: subtract."
METHOD = Method(
    number=8,
    name="carbon_ring",
    title="Carbon ring, cold and hot",
    purpose="Whether a carbon ring has the right clearance on the bench, and still some when the gland is hot.",
    readings=(
        Reading(
            name="ring",
            symbol="Dr",
            label="Inside diameter of the ring",
            where="ring assembled under its spring, joints closed, across its bore",
            families=("telescoping_gauge",),
        ),
        Reading(
            name="shaft",
            symbol="Ds",
            label="Diameter of the shaft",
            where="on the shaft where the ring runs",
            families=("outside_micrometer",),
        ),
        Reading(
            name="t_bench",
            symbol="tb",
            label="Temperature of ring and shaft when measured",
            where="thermometer laid on the bench beside both, long enough to settle",
            families=("written_note",),
            kind=Kind.TEMPERATURE,
        ),
    ),
    dims=(
        Dim(name="nominal", symbol="Dn", label="Diameter of the shaft on the sheet"),
        Dim(name="t_run", symbol="tr", label="Running temperature in the gland", kind=Kind.TEMPERATURE),
        Dim(name="a_ring", symbol="ar", label="Expansion of the ring", kind=Kind.EXPANSION),
        Dim(name="a_shaft", symbol="as", label="Expansion of the shaft", kind=Kind.EXPANSION),
    ),
    lines=(
        Line(
            name="cold",
            symbol="cc",
            label="Cold clearance",
            formula="Dr − Ds",
            rule=lambda values: values["ring"] - values["shaft"],
        ),
        Line(
            name="difference",
            symbol="dT",
            label="Hotter in the gland by",
            formula="tr − tb",
            rule=_difference,
            kind=Kind.TEMPERATURE_STEP,
        ),
        Line(
            name="hot",
            symbol="ch",
            label="Hot clearance",
            formula="Dr × (1 + ar × dT) − Ds × (1 + as × dT)",
            rule=_hot(),
        ),
        Line(
            name="closes",
            symbol="x",
            label="Closes by",
            formula="cc − ch",
            rule=lambda values: values["cold"] - values["hot"],
        ),
    ),
    limits={"cold": "Cold clearance on the diameter", "hot": "Hot clearance on the diameter"},
    held=(Held(result="cold", limit="cold"), Held(result="hot", limit="hot")),
    aims=(Aim(name="cold", limit="cold"),),
    conditions=(
        Condition(name="good", words="a ring that can be fitted", bands={}),
        Condition(name="tight", words="too tight", bands={"cold": Band.BELOW}),
        Condition(name="loose", words="too loose", bands={"cold": Band.ABOVE}),
        Condition(
            name="just_open",
            words="only just inside cold: what is left of it hot?",
            bands={"cold": Band.JUST_INSIDE_LOW},
        ),
    ),
    asked=("cold", "difference", "hot"),
    check=check,
    simulate=simulate,
    chances=2,
    slips=(
        Slip(
            name="no_expansion",
            says="The cold clearance was taken as the hot one. Ring and shaft both grow, and the shaft grows more: it closes.",
            rules={"hot": lambda values: values["cold"]},
        ),
        Slip(
            name="wrong_sign",
            says="Ring and shaft were made to shrink with heat. Both grow, the steel more: the clearance closes and does not open.",
            rules={"hot": _hot(times=-1.0)},
        ),
        Slip(
            name="shaft_s_coefficient_for_both",
            says="One coefficient was used for both, the shaft's. Carbon grows less than steel: each has its own.",
            rules={"hot": _hot(ring="a_shaft")},
        ),
        Slip(
            name="ring_s_coefficient_for_both",
            says="One coefficient was used for both, the ring's. Steel grows more than carbon: each has its own.",
            rules={"hot": _hot(shaft="a_ring")},
        ),
        Slip(
            name="coefficients_exchanged",
            says="The coefficients were exchanged: the steel's is the larger one.",
            rules={"hot": _hot(ring="a_shaft", shaft="a_ring")},
        ),
        Slip(
            name="shaft_alone_grows",
            says="Only the shaft was made to grow. The ring grows too, if less, and gives some of it back.",
            rules={
                "hot": lambda values: values["ring"] - values["shaft"] * (1 + values["a_shaft"] * values["difference"])
            },
        ),
        Slip(
            name="converted_with_32_taken_off",
            says=_WITH_32,
            rules={"difference": lambda values: _difference(values) - THIRTY_TWO},
        ),
        Slip(
            name="converted_with_32_added",
            says=_WITH_32,
            rules={"difference": lambda values: _difference(values) + THIRTY_TWO},
        ),
        Slip(
            name="level_for_difference_celsius",
            says=_LEVEL,
            rules={"difference": lambda values: values["t_run"]},
        ),
        Slip(
            name="level_for_difference_fahrenheit",
            says=_LEVEL,
            rules={"difference": lambda values: values["t_run"] + THIRTY_TWO},
        ),
        Slip(
            name="fahrenheit_with_coefficient_per_celsius",
            says=(
                "A difference in degrees Fahrenheit was used with coefficients per degree Celsius: 1.8 times too much "
                "growth. Both have to be of one scale."
            ),
            rules={"hot": _hot(times=1 / FAHRENHEIT)},
        ),
        Slip(
            name="celsius_with_coefficient_per_fahrenheit",
            says=(
                "A difference in degrees Celsius was used with coefficients per degree Fahrenheit: growth 1.8 times too small. "
                "Both have to be of one scale."
            ),
            rules={"hot": _hot(times=FAHRENHEIT)},
        ),
        Slip(
            name="sheet_shaft",
            says="The sheet's size was used for the shaft. A shaft wears: what counts is what was measured.",
            rules={
                "cold": lambda values: values["ring"] - values["nominal"],
                "hot": lambda values: (
                    values["ring"] * (1 + values["a_ring"] * values["difference"])
                    - values["nominal"] * (1 + values["a_shaft"] * values["difference"])
                ),
            },
        ),
        Slip(
            name="halved",
            says="The difference was halved, as if for the radius. Ring and shaft are diameters, and so is the clearance.",
            rules={
                "cold": lambda values: (values["ring"] - values["shaft"]) / 2,
                "hot": lambda values: _hot()(values) / 2,
            },
        ),
    ),
    verdict_words={
        Verdict.INSIDE: "inside the sheet",
        Verdict.LOW: "too tight",
        Verdict.HIGH: "too loose",
    },
    actions={
        Verdict.INSIDE: Action(
            name="fit",
            words="fit the ring with its own segments in their own order",
            because="The clearance lies inside cold, and enough of it is left when the gland is hot.",
            is_accepting=True,
        ),
        Verdict.LOW: Action(
            name="replace",
            words="do not fit it; take a ring of the right size and measure again",
            because=(
                "A tight ring grabs the hot shaft, breaks and scores it. Carbon is not opened with emery on a guess, and joints are "
                "not filed to make room."
            ),
        ),
        Verdict.HIGH: Action(
            name="replace",
            words="do not fit it; take a ring of the right size and measure again",
            because="Steam blows past a loose ring, along the shaft and into the bearing oil.",
        ),
    },
    caution=(
        "Gland isolated, drained and cold before it is opened, as the site's procedure says: hot steam parts burn. The garter spring is under "
        "load: wear eye protection and keep hold of its ends. Carbon chips; do not breathe its dust. Warm the machine slowly as the maker "
        "says: too fast a warm-up makes rings grab the shaft and break (Bloch and Geitner, vol. 4, p. 344)."
    ),
    source=(
        "Linear expansion; steel less carbon 4.0e-6 per degree Fahrenheit: Bloch and Geitner, Practical Machinery Management for "
        "Process Plants, vol. 4, p. 344; coefficients: Callister, table B.6."
    ),
)
