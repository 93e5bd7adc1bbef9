"""Method 16: three trips of the overspeed trip, and the regulation of the governor.

The percentage of a trip setting means nothing without its base, so the base is kept beside it. Governor classes count
per cent above rated speed (Bloch and Singh, Steam Turbines, table 8.1); the purchasers' tables for drivers count per
cent of the maximum continuous speed, which is at least 105 % of rated (API 611:2008, definition; its trip table from
memory). Every trip has to lie inside by itself, and trips that drift from one try to the next, above all that rise, are not
steady however well their mean lies. Regulation is the no-load speed less the speed at rated load, by the speed at rated load (the same
book, p. 141, which takes the speed at rated load as rated).
"""

from __future__ import annotations

from collections.abc import Sequence

from assessments.engine.arithmetic import greatest, least, side, size_of, where
from assessments.engine.errors import ImpossibleReadingError
from assessments.engine.kinds import Kind, Values
from assessments.engine.method import Action, Aim, Band, Condition, Dim, Line, Method, Numbers, Reading, Rule, Slip
from assessments.engine.plausible import need_sizes
from assessments.engine.verdicts import Held, Verdict

RATED, CONTINUOUS = 1.0, 2.0
MOST = 1.2
"""No trip is set further above its base: common practice, no source."""

_GRAIN = 1e-9

_TRIPS = ("trip_1", "trip_2", "trip_3")


def check(readings: Numbers, dims: Numbers) -> None:
    need_sizes(dims)
    need_sizes(readings)
    if dims["base_kind"] not in {RATED, CONTINUOUS}:
        _refuse("base_kind", dims, "The base is the rated speed, 1, or the maximum continuous speed, 2.")
    if not 1 < dims["part"] <= MOST:
        _refuse(
            "part", dims, "A trip is set above its base, by a fifth at most: write 110 % or 1.10 for a tenth above it."
        )
    if dims["continuous"] < dims["rated"]:
        _refuse("continuous", dims, "The maximum continuous speed does not lie under the rated speed.")
    if readings and readings["no_load"] < readings["full_load"]:
        _refuse("no_load", readings, "A governed machine runs no slower without its load: look which speed is which.")


def _refuse(name: str, numbers: Numbers, reason: str) -> None:
    raise ImpossibleReadingError(name=name, value=float(numbers[name]), reason=reason)


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """Three trips that drift by one aim and spread by another, about a middle; three in four of them rise."""
    middle = _part_of_base({**dims, "base": _base(dims)}) + aims["trip"]
    half = aims["drift"] / 2 * where(chance[0] < 0.75, 1.0, -1.0)
    # What the spread has over the drift, the second trip makes alone, above or below the others.
    beyond = greatest(aims["spread"] - aims["drift"], 0.0)
    way = side(chance[1])
    between = (chance[1] - 0.5) * aims["drift"]
    second = where(beyond > 0, way * (aims["drift"] / 2 + beyond), between)
    middle = middle - way * beyond / 2
    full = dims["rated"] * (0.995 + 0.01 * chance[2])
    return {
        "trip_1": middle - half,
        "trip_2": middle + second,
        "trip_3": middle + half,
        "no_load": full * (1 + aims["regulation"]),
        "full_load": full,
    }


def _base(values: Numbers) -> Values:
    return where(values["base_kind"] == RATED, values["rated"], values["continuous"])


def _part_of_base(values: Numbers) -> Values:
    return values["part"] * values["base"]


def _off(trip: str) -> Rule:
    """A trip less the setting; what floats leave of 1.1 times 3600 is no speed."""

    def rule(values: Numbers) -> Values:
        off = values[trip] - values["setting"]
        return where(size_of(off) < _GRAIN, 0.0, off)

    return rule


def _mean(values: Numbers) -> Values:
    return (values["trip_1"] + values["trip_2"] + values["trip_3"]) / 3


def _mean_off(values: Numbers) -> Values:
    return _mean(values) - values["setting"]


def _regulation(values: Numbers) -> Values:
    return (values["no_load"] - values["full_load"]) / values["full_load"]


def _speed(name: str, symbol: str, label: str, words: str) -> Reading:
    return Reading(
        name=name, symbol=symbol, label=label, where=words, families=("tachometer", "written_note"), kind=Kind.SPEED
    )


_STEADY = {"trip": Band.WELL_INSIDE, "spread": Band.WELL_INSIDE, "drift": Band.WELL_INSIDE}
_RESET = "reset"
METHOD = Method(
    number=16,
    name="trip_speed",
    title="Trip speed and regulation",
    purpose="Whether the overspeed trip acts where it is set to, each time, and how far the governor lets the speed fall.",
    readings=(
        *(
            _speed(name, f"T{number}", f"Trip {number}", "highest speed shown as the trip acts, the machine uncoupled")
            for number, name in enumerate(_TRIPS, start=1)
        ),
        _speed("no_load", "N0", "Speed without load", "governor in charge, no load"),
        _speed("full_load", "N1", "Speed at rated load", "governor in charge, rated load, steady"),
    ),
    dims=(
        Dim(name="rated", symbol="NR", label="Rated speed", kind=Kind.SPEED),
        Dim(name="continuous", symbol="NC", label="Maximum continuous speed", kind=Kind.SPEED),
        Dim(
            name="part", symbol="p", label="Trip setting as a part of its base (1.10 is 10 % above it)", kind=Kind.RATIO
        ),
        Dim(
            name="base_kind",
            symbol="B",
            label="Base of that part: 1 for rated, 2 for maximum continuous speed",
            kind=Kind.COUNT,
        ),
    ),
    lines=(
        Line(
            name="base",
            symbol="NB",
            label="Base of the trip setting",
            formula="NR for base 1, NC for base 2",
            rule=_base,
            kind=Kind.SPEED,
            is_result=False,
        ),
        Line(
            name="setting",
            symbol="NT",
            label="Trip setting",
            formula="p × NB",
            rule=_part_of_base,
            kind=Kind.SPEED,
            least=0.0,
        ),
        Line(
            name="mean",
            symbol="Tm",
            label="Mean of the three trips",
            formula="(T1 + T2 + T3) / 3",
            rule=_mean,
            kind=Kind.SPEED,
            least=0.0,
        ),
        Line(
            name="highest",
            symbol="Th",
            label="Highest trip",
            formula="greatest of T1, T2, T3",
            rule=lambda values: greatest(*(values[name] for name in _TRIPS)),
            kind=Kind.SPEED,
            is_result=False,
        ),
        Line(
            name="lowest",
            symbol="Tl",
            label="Lowest trip",
            formula="least of T1, T2, T3",
            rule=lambda values: least(*(values[name] for name in _TRIPS)),
            kind=Kind.SPEED,
            is_result=False,
        ),
        Line(
            name="over",
            symbol="dh",
            label="Highest trip above the setting by",
            formula="Th − NT",
            rule=_off("highest"),
            kind=Kind.SPEED,
        ),
        Line(
            name="under",
            symbol="dl",
            label="Lowest trip above the setting by (minus: below)",
            formula="Tl − NT",
            rule=_off("lowest"),
            kind=Kind.SPEED,
        ),
        Line(
            name="spread",
            symbol="s",
            label="Spread of the trips",
            formula="Th − Tl",
            rule=lambda values: values["highest"] - values["lowest"],
            kind=Kind.SPEED,
        ),
        Line(
            name="drift",
            symbol="c",
            label="Drift from the first trip to the last, up or down",
            formula="|T3 − T1|",
            rule=lambda values: size_of(values["trip_3"] - values["trip_1"]),
            kind=Kind.SPEED,
            least=0.0,
        ),
        Line(
            name="regulation",
            symbol="g",
            label="Regulation",
            formula="(N0 − N1) / N1 × 100 %",
            rule=_regulation,
            kind=Kind.RATIO,
            unit="%",
        ),
    ),
    limits={
        "trip": "Each trip, off its setting",
        "spread": "Spread of three trips",
        "drift": "Drift from first to last trip",
        "regulation": "Regulation",
    },
    held=(
        Held(result="over", limit="trip"),
        Held(result="under", limit="trip"),
        Held(result="spread", limit="spread", above=Verdict.FORM),
        Held(result="drift", limit="drift", above=Verdict.FORM),
        Held(result="regulation", limit="regulation", above=Verdict.FORM),
    ),
    aims=tuple(Aim(name=name, limit=name) for name in ("trip", "spread", "drift", "regulation")),
    conditions=(
        Condition(name="good", words="a trip and a governor that can be put in charge", bands=_STEADY),
        Condition(name="low", words="trips too low", bands={**_STEADY, "trip": Band.BELOW}),
        Condition(name="high", words="trips too high", bands={**_STEADY, "trip": Band.ABOVE}),
        Condition(
            name="scattered", words="the mean is right, but the trips scatter", bands={**_STEADY, "spread": Band.ABOVE}
        ),
        Condition(
            name="rising", words="the mean is right, but each trip lies higher", bands={**_STEADY, "drift": Band.ABOVE}
        ),
        Condition(
            name="droops", words="the governor lets the speed fall too far", bands={**_STEADY, "regulation": Band.ABOVE}
        ),
    ),
    asked=("setting", "over", "under", "drift", "regulation"),
    check=check,
    simulate=simulate,
    chances=3,
    slips=(
        Slip(
            name="other_base",
            says=(
                "The percentage was taken of the other base. Per cent of rated and per cent of maximum continuous speed "
                "are different speeds: the sheet says which."
            ),
            rules={"base": lambda values: values["rated"] + values["continuous"] - _base(values)},
        ),
        Slip(
            name="percentage_forgotten",
            says="The base itself was taken as the setting. The trip is set above it by the sheet's percentage.",
            rules={"setting": lambda values: values["base"]},
        ),
        Slip(
            name="mean_taken",
            says="The mean was held against the sheet. Each trip has to lie inside: the machine meets one at a time.",
            rules={"over": _mean_off, "under": _mean_off},
        ),
        Slip(
            name="ends_exchanged",
            says="The highest and the lowest trip were exchanged.",
            rules={
                "over": lambda values: values["lowest"] - values["setting"],
                "under": lambda values: values["highest"] - values["setting"],
            },
        ),
        Slip(
            name="off_the_other_way",
            says="The trips were taken from the setting. Trip less setting is plus for a trip that acts too late.",
            rules={
                "over": lambda values: values["setting"] - values["highest"],
                "under": lambda values: values["setting"] - values["lowest"],
            },
        ),
        Slip(
            name="first_to_last",
            says="The spread was taken from the first trip to the last. It runs from the lowest to the highest.",
            rules={"spread": lambda values: size_of(values["trip_3"] - values["trip_1"])},
        ),
        Slip(
            name="lowest_to_highest",
            says="That is the spread. The drift is from the first trip to the last, whatever the second was.",
            rules={"drift": lambda values: values["highest"] - values["lowest"]},
        ),
        Slip(
            name="by_no_load_speed",
            says="The difference was divided by the speed without load. Regulation is a part of the speed at rated load.",
            rules={"regulation": lambda values: (values["no_load"] - values["full_load"]) / values["no_load"]},
        ),
        Slip(
            name="regulation_backwards",
            says="The speeds were subtracted the other way round. Without load the machine runs faster.",
            rules={"regulation": lambda values: -_regulation(values)},
        ),
        Slip(
            name="a_hundredth",
            says="The part was written where per cent are asked: 0.04 of it are 4 %.",
            rules={"regulation": lambda values: _regulation(values) / 100},
        ),
    ),
    verdict_words={
        Verdict.INSIDE: "trips where it is set, each time",
        Verdict.LOW: "trips too low",
        Verdict.HIGH: "trips too high",
        Verdict.FORM: "not steady: trip or governor",
    },
    actions={
        Verdict.INSIDE: Action(
            name="record",
            words="record all three trips and both speeds, and go on",
            because="Each trip lies inside by itself, they do not drift, and the governor holds its speed.",
            is_accepting=True,
        ),
        Verdict.LOW: Action(
            name=_RESET,
            words="shut down, have the trip set by the maker's procedure, and try it three times again",
            because="A trip that acts early stops a sound machine, and tempts people to tie it up.",
        ),
        Verdict.HIGH: Action(
            name=_RESET,
            words="shut down, have the trip set by the maker's procedure, and try it three times again",
            because="A trip that acts late lets the rotor go where its parts no longer hold.",
        ),
        Verdict.FORM: Action(
            name="find_cause",
            words="keep it shut down and tagged until the cause in trip or governor is found",
            because=(
                "Trips that scatter or rise stick or wear, and the next may be higher still. A governor that droops "
                "too far does not hold the load."
            ),
        ),
    },
    caution=(
        "An overspeed test is done by the maker's procedure and the site's permit, the machine uncoupled, nobody in the "
        "plane of the wheel. One person stands at the hand trip and trips it by hand if the trip has not acted where the "
        "procedure says. Never tie up or block a trip."
    ),
    source=(
        "Bloch and Singh, Steam Turbines: Design, Applications, and Rerating, table 8.1 and p. 141; limits on spread "
        "and drift as the sheet gives them."
    ),
)
