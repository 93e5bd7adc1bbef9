"""The marked answer as a document: all that is shown to the learner, as plain data and finished text.

It is written once, when an answer is handed in, and shown from then on, so that an attempt of years
ago reads exactly as it did, whatever the engine has become since.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from assessments.engine.answers import ACTION, VERDICT
from assessments.engine.kinds import Kind
from assessments.engine.quantities import number, show
from assessments.engine.scenario import Scenario
from assessments.engine.scoring import Key, Mark, Part, Score, What
from assessments.engine.sheets import Limit
from assessments.engine.verdicts import ORDER, Verdict
from assessments.engine.working import reading_text, result_text, shown_step, unit_for, unit_of, worked

FORM = 1
"""Raised when the shape of the document changes; readers know every shape from 1 on."""

_FIELD = {What.READING: "reading-{}", What.RESULT: "result-{}", What.VERDICT: VERDICT, What.ACTION: ACTION}


def document(key: Key, score: Score, echoes: Mapping[str, str], system: str) -> dict[str, Any]:
    """The whole marked answer. echoes: field to how the typed text was understood. system: "mm" or "in"."""
    scenario = key.scenario
    lengths = [line.name for line in key.asked if line.kind is Kind.LENGTH]
    # One step for all of them, or the least of two numbers would not look like either.
    coarsest = max((shown_step(scenario, key.allowed[name]) for name in lengths), default=0.0)
    steps = dict.fromkeys(lengths, coarsest)
    return {
        "form": FORM,
        "points": score.points,
        "out_of": score.out_of,
        "is_right": score.is_right,
        "is_unsafe": score.is_unsafe,
        "verdicts": [verdict.value for verdict in score.verdicts],
        # A method that holds nothing against a sheet gives no verdict to be put in words.
        "verdict_words": [verdict_words(scenario, one) for one in score.verdicts if scenario.method.verdict_words],
        "oddity": key.draw.oddity,
        "parts": [_part(key, part, echoes, steps, system) for part in score.parts],
        "slips": _slips(score),
        "working": [
            {
                "name": line.name,
                "symbol": line.symbol,
                "label": line.label,
                "formula": line.formula,
                "numbers": line.numbers,
                "value": line.value,
                "is_result": line.is_result,
            }
            for line in worked(scenario, key.values, steps, system)
        ],
        "held": [] if key.draw.oddity else _held(key, steps, system),
        "action": _right_action(scenario, score.verdicts),
        "source": scenario.method.source,
    }


def verdict_words(scenario: Scenario, verdict: Verdict | str) -> str:
    """What a verdict is called at the bench in this method."""
    return scenario.method.verdict_words[Verdict(verdict)]


def limit_text(limit: Limit, kind: Kind, system: str) -> str:
    """A limit in words and numbers: "0.09 to 0.15 mm", "at most 0.02 mm"."""
    unit = unit_for(kind, system)
    if limit.low is not None and limit.high is not None:
        return f"{number(limit.low, unit)} to {show(limit.high, unit)}"
    if limit.high is not None:
        return f"at most {show(limit.high, unit)}"
    return f"at least {show(limit.low or 0.0, unit)}"


def _part(key: Key, part: Part, echoes: Mapping[str, str], steps: Mapping[str, float], system: str) -> dict[str, Any]:
    field = _FIELD[part.what].format(part.name)
    if part.what is What.VERDICT:
        yours = "" if part.yours is None else verdict_words(key.scenario, str(part.yours))
        right = [verdict_words(key.scenario, str(verdict)) for verdict in part.right]
    elif part.what is What.ACTION:
        words = {action.name: action.words for action in key.scenario.method.actions.values()}
        yours = "" if part.yours is None else words[str(part.yours)]
        right = [words[str(name)] for name in part.right]
    else:
        yours = echoes.get(field, "")
        right = [_number_text(key, part, float(one), steps, system) for one in part.right]
    return {
        "field": field,
        "what": part.what.value,
        "name": part.name,
        "label": part.label,
        "yours": yours,
        "right": right,
        "allowed": _allowed_text(key, part, system),
        "mark": part.mark.value,
        "earns": part.mark in {Mark.RIGHT, Mark.CARRIED},
        "slips": [slip.name for slip in part.slips],
    }


def _number_text(key: Key, part: Part, value: float, steps: Mapping[str, float], system: str) -> str:
    if part.what is What.READING:
        return reading_text(key.scenario, part.name, value)
    line = key.scenario.method.line(part.name)
    return result_text(key.scenario, value, line.kind, system, steps.get(part.name), line.unit)


def _allowed_text(key: Key, part: Part, system: str) -> str:
    if part.allowed is None or part.kind is None:
        return ""
    is_reading = part.what is What.READING
    unit = (
        key.scenario.instruments[part.name].unit if is_reading else unit_of(key.scenario.method.line(part.name), system)
    )
    # Two figures are enough to say how near is near enough.
    return show(part.allowed, unit, 10.0 ** _size(part.allowed)) if part.allowed > 0 else show(0.0, unit, 1.0)


def _size(value: float) -> int:
    figures = f"{value:.1e}"
    return int(figures.split("e")[1]) - 1


def _slips(score: Score) -> list[dict[str, Any]]:
    """Each slip once, with every part it shows in; whether it can be told from others by its number."""
    found: dict[str, dict[str, Any]] = {}
    for part in score.parts:
        for slip in part.slips:
            entry = found.setdefault(
                slip.name,
                {"name": slip.name, "says": slip.says, "parts_at": slip.parts_at, "labels": [], "is_certain": True},
            )
            entry["labels"].append(part.label)
            entry["is_certain"] = entry["is_certain"] and len(part.slips) == 1
    return list(found.values())


def _held(key: Key, steps: Mapping[str, float], system: str) -> list[dict[str, Any]]:
    """Each result that is held against the sheet, with numbers for the drawing of it."""
    scenario = key.scenario
    fallback = min(steps.values(), default=1e-3)
    found = []
    for hold in scenario.method.held:
        line = scenario.method.line(hold.result)
        limit = scenario.limits[hold.limit]
        value = key.values[hold.result]
        unit = unit_of(line, system)
        allowed = key.allowed.get(hold.result, max((key.allowed[name] for name in scenario.asked), default=0.0))
        found.append(
            {
                "result": hold.result,
                "label": line.label,
                "limit": limit_text(limit, line.kind, system),
                "limit_label": scenario.method.limits[hold.limit],
                "source": limit.source,
                "outside": limit.outside,
                "value": value,
                "low": limit.low,
                "high": limit.high,
                # What the method itself leaves open is drawn as what the readings leave open is.
                "allowed": key.values[hold.either_side] if hold.either_side else allowed,
                "value_text": result_text(
                    scenario,
                    value,
                    line.kind,
                    system,
                    steps.get(hold.result, fallback) if line.kind is Kind.LENGTH else None,
                    line.unit,
                ),
                "low_text": "" if limit.low is None else show(limit.low, unit),
                "high_text": "" if limit.high is None else show(limit.high, unit),
                "is_inside": all(limit.holds(float(end)) for end in hold.span(key.values)),
            }
        )
    return found


def _right_action(scenario: Scenario, verdicts: tuple[Verdict, ...]) -> dict[str, str]:
    if not scenario.method.actions:
        return {}
    action = scenario.method.actions[min(verdicts, key=ORDER.index)]
    return {"words": action.words, "because": action.because}
