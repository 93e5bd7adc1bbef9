"""Method 2: the clearance of a sleeve bearing as the bore of its liner less the journal.

Both are measured at two planes (governor end, coupling end) in two directions (vertical, horizontal).
The tightest place is the least bore less the greatest journal, the loosest the greatest bore less the
least journal: after Bloch, Improving Machinery Reliability, table 3-2, which prints the same
differences halved, on the radius. Out-of-round is the difference of the two directions in one plane, taper the
difference of the two planes in one direction, each the greater of its two: after engine service
manuals (weak pages); the scale of such limits after US Army TM 9-6115-604-34 p. 9-62.

A negative clearance is not refused: a pinched liner gives one, and so does a turn of the thimble missed.
"""

from __future__ import annotations

from collections.abc import Sequence
from operator import itemgetter

from assessments.engine.arithmetic import greatest, least, side, size_of, where
from assessments.engine.kinds import MM_PER_INCH, Values
from assessments.engine.method import (
    Action,
    Aim,
    Band,
    Condition,
    Dim,
    Line,
    Method,
    Numbers,
    Reading,
    Rule,
    Slip,
)
from assessments.engine.plausible import need_sizes
from assessments.engine.verdicts import Held, Verdict

_PLACES = ("governor_vertical", "governor_horizontal", "coupling_vertical", "coupling_horizontal")
_BORE = tuple(f"bore_{place}" for place in _PLACES)
_JOURNAL = tuple(f"journal_{place}" for place in _PLACES)

_FORMS = ("bore_out_of_round", "journal_out_of_round", "bore_taper", "journal_taper")

WEAR = 0.0005
"""How much a drawn journal is under its size as made, at most, as a part of it: 0.025 mm in 50 mm."""

_TURNS = {"mm": 0.5, "in": 0.025 * MM_PER_INCH}
_TURN_WORDS = {"mm": "0.5 mm", "in": "0.025 in"}
# One turn of a thimble: US Army TM 9-243 p. 7-5, 7-6, where the metric pitch is misprinted as 0.05 mm.


def check(readings: Numbers, dims: Numbers) -> None:
    need_sizes(dims)
    need_sizes(readings)


def simulate(aims: Numbers, dims: Numbers, chance: Sequence[Values]) -> dict[str, Values]:
    """Diameters behind a mean clearance and the greatest out-of-round and taper of bore and journal.

    chance: wear of the journal, then four numbers for the shape of the bore and four for the journal's.
    """
    journal = dims["nominal"] * (1 - WEAR * chance[0])
    bore = journal + aims["clearance"]
    sizes = _shape(bore, aims["bore_out_of_round"], aims["bore_taper"], chance[1:5])
    sizes += _shape(journal, aims["journal_out_of_round"], aims["journal_taper"], chance[5:9])
    return dict(zip(_BORE + _JOURNAL, sizes, strict=True))


def _shape(mean: Values, out_of_round: Values, taper: Values, chance: Sequence[Values]) -> tuple[Values, ...]:
    """Four diameters about a mean: exactly so much out of round in the worse plane, so much taper in the worse direction."""
    long_way = side(chance[0])
    wide_end = side(chance[1])
    # The better plane is rounder by `ease`; what that adds to the taper in one direction is taken off the planes.
    ease = chance[2] * least(taper, out_of_round / 2)
    is_worse = chance[3] < 0.5
    governor = long_way * (out_of_round / 2 - where(is_worse, 0.0, ease))
    coupling = long_way * (out_of_round / 2 - where(is_worse, ease, 0.0))
    half = wide_end * (taper - ease) / 2
    return mean + half + governor, mean + half - governor, mean - half + coupling, mean - half - coupling


def _least_of(names: Sequence[str]) -> Rule:
    pick = itemgetter(*names)
    return lambda values: least(*pick(values))


def _greatest_of(names: Sequence[str]) -> Rule:
    pick = itemgetter(*names)
    return lambda values: greatest(*pick(values))


def _mean_of(names: Sequence[str]) -> Rule:
    first, second, third, fourth = names
    return lambda values: (values[first] + values[second] + values[third] + values[fourth]) / 4


def _greater_difference(first: str, second: str, third: str, fourth: str) -> Rule:
    return lambda values: greatest(size_of(values[first] - values[second]), size_of(values[third] - values[fourth]))


def _out_of_round(names: Sequence[str]) -> Rule:
    return _greater_difference(names[0], names[1], names[2], names[3])


def _taper(names: Sequence[str]) -> Rule:
    return _greater_difference(names[0], names[2], names[1], names[3])


def _less(larger: str, smaller: str, part: float = 1.0) -> Rule:
    return lambda values: (values[larger] - values[smaller]) * part


def _plus(rule: Rule, amount: float) -> Rule:
    return lambda values: rule(values) + amount


def _turn_slip(part: str, way: str, unit: str) -> Slip:
    """A line of the sleeve missed (short) or counted too soon (long), on the reading where it counts most."""
    names = _BORE if part == "bore" else _JOURNAL
    if way == "short":
        place, rule, off = f"{part}_least", _least_of(names), -_TURNS[unit]
        says = f"One {part} reading is a turn of the thimble too small: a line uncovered on the sleeve was missed."
    else:
        place, rule, off = f"{part}_greatest", _greatest_of(names), _TURNS[unit]
        says = f"One {part} reading is a turn of the thimble too large: a line on the sleeve was counted before it was uncovered."
    return Slip(
        name=f"{part}_turn_{way}_{unit}",
        says=f"{says} A turn is {_TURN_WORDS[unit]}.",
        rules={place: _plus(rule, off), f"{part}_mean": _plus(_mean_of(names), off / 4)},
    )


def _readings(part: str, symbol: str, where_to: str) -> tuple[Reading, ...]:
    return tuple(
        Reading(
            name=f"{part}_{end}_{direction}",
            symbol=f"{symbol}{number}",
            label=f"{part.capitalize()}, {end} end, {direction}",
            where=where_to.format(end=end, direction=direction),
            families=("outside_micrometer",),
        )
        for number, (end, direction) in enumerate((place.split("_") for place in _PLACES), start=1)
    )


def _form_lines(part: str, symbol: str, names: Sequence[str]) -> tuple[Line, ...]:
    one, two, three, four = (f"{symbol}{number}" for number in range(1, 5))
    return (
        Line(
            name=f"{part}_out_of_round",
            symbol=f"o{symbol}",
            label=f"Out-of-round of the {part}",
            formula=f"greatest of |{one} − {two}|, |{three} − {four}|",
            rule=_out_of_round(names),
        ),
        Line(
            name=f"{part}_taper",
            symbol=f"t{symbol}",
            label=f"Taper of the {part}",
            formula=f"greatest of |{one} − {three}|, |{two} − {four}|",
            rule=_taper(names),
        ),
    )


def _size_lines(part: str, symbol: str, names: Sequence[str]) -> tuple[Line, ...]:
    one, two, three, four = (f"{symbol}{number}" for number in range(1, 5))
    every = f"{one}, {two}, {three}, {four}"
    return (
        Line(
            name=f"{part}_least",
            symbol=f"{symbol}min",
            label=f"Least {part}",
            formula=f"least of {every}",
            rule=_least_of(names),
            is_result=False,
        ),
        Line(
            name=f"{part}_greatest",
            symbol=f"{symbol}max",
            label=f"Greatest {part}",
            formula=f"greatest of {every}",
            rule=_greatest_of(names),
            is_result=False,
        ),
        Line(
            name=f"{part}_mean",
            symbol=f"{symbol}m",
            label=f"Mean {part}",
            formula=f"({one} + {two} + {three} + {four}) / 4",
            rule=_mean_of(names),
            is_result=False,
        ),
    )


def _sheet_size(values: Numbers) -> Values:
    return values["nominal"]


_SHAPELY = dict.fromkeys(_FORMS, Band.WELL_INSIDE)


def _misshapen(form: str, name: str, words: str) -> Condition:
    """One part out of shape, the size kept to the middle, so that it is the shape that goes wrong."""
    return Condition(name=name, words=words, bands={**_SHAPELY, "clearance": Band.WELL_INSIDE, form: Band.ABOVE})


_LEAST = _less("bore_least", "journal_greatest")
_GREATEST = _less("bore_greatest", "journal_least")
_MEAN = _less("bore_mean", "journal_mean")

METHOD = Method(
    number=2,
    name="bore_less_journal",
    title="Clearance by bore less journal",
    purpose="The clearance of a sleeve bearing where it is tightest and where it is loosest, and the shape of both parts.",
    readings=(
        *_readings(
            "bore",
            "B",
            "liner in its housing, cap tightened; telescoping gauge at the {end} end, {direction}, "
            "then the micrometer over the gauge",
        ),
        *_readings("journal", "J", "micrometer over the journal, {end} end, {direction} with the keyway on top"),
    ),
    dims=(Dim(name="nominal", symbol="D", label="Diameter of the journal as made"),),
    lines=(
        *_size_lines("bore", "B", _BORE),
        *_size_lines("journal", "J", _JOURNAL),
        Line(
            name="least_clearance",
            symbol="cmin",
            label="Clearance at the tightest place",
            formula="Bmin − Jmax",
            rule=_LEAST,
        ),
        Line(
            name="greatest_clearance",
            symbol="cmax",
            label="Clearance at the loosest place",
            formula="Bmax − Jmin",
            rule=_GREATEST,
        ),
        Line(name="mean_clearance", symbol="cm", label="Mean clearance", formula="Bm − Jm", rule=_MEAN),
        *_form_lines("bore", "B", _BORE),
        *_form_lines("journal", "J", _JOURNAL),
    ),
    limits={
        "clearance": "Clearance on the diameter",
        "out_of_round": "Out-of-round of bore or journal",
        "taper": "Taper of bore or journal",
    },
    held=(
        Held(result="least_clearance", limit="clearance"),
        Held(result="greatest_clearance", limit="clearance"),
        Held(result="bore_out_of_round", limit="out_of_round", above=Verdict.FORM),
        Held(result="journal_out_of_round", limit="out_of_round", above=Verdict.FORM),
        Held(result="bore_taper", limit="taper", above=Verdict.FORM),
        Held(result="journal_taper", limit="taper", above=Verdict.FORM),
    ),
    aims=(
        Aim(name="clearance", limit="clearance"),
        Aim(name="bore_out_of_round", limit="out_of_round"),
        Aim(name="journal_out_of_round", limit="out_of_round"),
        Aim(name="bore_taper", limit="taper"),
        Aim(name="journal_taper", limit="taper"),
    ),
    conditions=(
        Condition(name="good", words="a bearing that can be closed", bands=_SHAPELY),
        Condition(name="tight", words="too tight all over", bands={"clearance": Band.BELOW}),
        Condition(name="loose", words="too loose all over", bands={"clearance": Band.ABOVE}),
        Condition(
            name="tight_place",
            words="one place too tight though the mean is inside",
            bands={"clearance": Band.JUST_INSIDE_LOW, "bore_out_of_round": Band.JUST_INSIDE_HIGH},
        ),
        Condition(
            name="loose_place",
            words="one place too loose though the mean is inside",
            bands={"clearance": Band.JUST_INSIDE_HIGH, "bore_out_of_round": Band.JUST_INSIDE_HIGH},
        ),
        _misshapen("bore_out_of_round", "oval_bore", "right in size, but the liner is worn oval"),
        _misshapen("journal_out_of_round", "oval_journal", "right in size, but the journal is worn oval"),
        _misshapen("bore_taper", "tapered_bore", "right in size, but the liner is tapered"),
        _misshapen("journal_taper", "tapered_journal", "right in size, but the journal is tapered"),
    ),
    asked=("least_clearance", "greatest_clearance", "journal_out_of_round"),
    check=check,
    simulate=simulate,
    chances=9,
    slips=(
        Slip(
            name="halved",
            says=(
                "The difference was halved, as if for the radius. Bore and journal are diameters, and the sheet "
                "gives the clearance on the diameter."
            ),
            rules={
                "least_clearance": _less("bore_least", "journal_greatest", 0.5),
                "greatest_clearance": _less("bore_greatest", "journal_least", 0.5),
                "mean_clearance": _less("bore_mean", "journal_mean", 0.5),
            },
        ),
        Slip(
            name="least_journal",
            says=(
                "The wrong end of the journal's readings was taken. It is tightest where the journal is thickest, "
                "and loosest where it is thinnest."
            ),
            rules={
                "least_clearance": _less("bore_least", "journal_least"),
                "greatest_clearance": _less("bore_greatest", "journal_greatest"),
            },
        ),
        Slip(
            name="greatest_bore",
            says=(
                "The wrong end of the bore's readings was taken. It is tightest where the bore is narrowest, "
                "and loosest where it is widest."
            ),
            rules={
                "least_clearance": _less("bore_greatest", "journal_greatest"),
                "greatest_clearance": _less("bore_least", "journal_least"),
            },
        ),
        Slip(
            name="places_exchanged",
            says="The tightest and the loosest place were exchanged: the least bore goes with the greatest journal.",
            rules={"least_clearance": _GREATEST, "greatest_clearance": _LEAST},
        ),
        Slip(
            name="mean_taken",
            says="The means were subtracted. The shaft touches at the tightest place, not at the mean.",
            rules={"least_clearance": _MEAN, "greatest_clearance": _MEAN},
        ),
        Slip(
            name="subtracted_backwards",
            says=(
                "The bore was taken from the journal. Bore less journal is the clearance; the other way round it "
                "comes out negative, as if the shaft did not go in."
            ),
            rules={
                "least_clearance": _less("journal_greatest", "bore_least"),
                "greatest_clearance": _less("journal_least", "bore_greatest"),
                "mean_clearance": _less("journal_mean", "bore_mean"),
            },
        ),
        Slip(
            name="sheet_journal",
            says="The sheet's size was used for the journal. A journal wears: what counts is what was measured.",
            rules={
                "journal_least": _sheet_size,
                "journal_greatest": _sheet_size,
                "journal_mean": _sheet_size,
            },
        ),
        Slip(
            name="form_exchanged",
            says=(
                "Out-of-round and taper were exchanged. Out-of-round is across one plane; "
                "taper is between the two planes, in the same direction."
            ),
            rules={
                "bore_out_of_round": _taper(_BORE),
                "bore_taper": _out_of_round(_BORE),
                "journal_out_of_round": _taper(_JOURNAL),
                "journal_taper": _out_of_round(_JOURNAL),
            },
        ),
        *(
            _turn_slip(part, way, unit)
            for unit in ("mm", "in")
            for part, way in (("bore", "short"), ("bore", "long"), ("journal", "short"), ("journal", "long"))
        ),
    ),
    verdict_words={
        Verdict.INSIDE: "inside the sheet",
        Verdict.LOW: "too tight",
        Verdict.HIGH: "too loose",
        Verdict.FORM: "out of shape",
    },
    actions={
        Verdict.INSIDE: Action(
            name="close",
            words="oil the journal and close up with this liner",
            because="The tightest and the loosest place lie inside the sheet, and both parts are round and straight.",
            is_accepting=True,
        ),
        Verdict.LOW: Action(
            name="refit",
            words="take the liner out, clean it and its seat, refit it and measure again",
            because=(
                "A tight place runs dry and wipes. Dirt or a high seat pinches a liner; "
                "metal is not to be scraped away on a guess."
            ),
        ),
        Verdict.HIGH: Action(
            name="replace",
            words="replace the liner and measure again",
            because="Metal that is gone does not come back; a loose bearing lets the rotor drop and rub.",
        ),
        Verdict.FORM: Action(
            name="ask",
            words="stop, tag the part and ask",
            because=(
                "Neither a shim nor oil makes a part round. Whether a liner is replaced or a journal ground "
                "is for whoever answers for the machine."
            ),
        ),
    },
    caution=(
        "Lift the rotor only as the site's lifting procedure says, and have it blocked before a hand goes under it. "
        "Gauge the bore clear of the relief at the split. Let the parts come to one temperature first: a warm journal "
        "measures large."
    ),
    source=(
        "Bloch, Improving Machinery Reliability, table 3-2 (printed on the radius); "
        "out-of-round and taper as in US Army TM 9-6115-604-34 p. 9-62."
    ),
)
