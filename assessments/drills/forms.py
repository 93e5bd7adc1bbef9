"""The form of a drill, made from what the scenario asks."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.core import signing

from assessments.drills.models import Attempt
from assessments.drills.services import LONGEST_TYPED
from assessments.engine.answers import ACTION, VERDICT, Question, Understood, questions, understand
from assessments.engine.scenario import Scenario

TOKEN = "attempt"  # noqa: S105
_SALT = "drills.attempt"


def token_of(attempt: Attempt) -> str:
    """What the hidden field of an attempt's page holds, signed: which attempt it was made for, and what was kept then."""
    made_for = {"attempt": attempt.pk, "person": attempt.person_id, "kept": attempt.typed}
    return signing.dumps(made_for, salt=_SALT, compress=True)


def kept_in(attempt: Attempt, token: str) -> dict[str, str] | None:
    """What was kept when the page was made. None for a hidden field that was changed, or is another attempt's."""
    try:
        made_for = signing.loads(token, salt=_SALT)
    except signing.BadSignature:
        return None
    if (made_for["attempt"], made_for["person"]) != (attempt.pk, attempt.person_id):
        return None
    return dict(made_for["kept"])


def typed_in(scenario: Scenario, system: str, sent: Mapping[str, Any]) -> dict[str, str]:
    """Every field of the drill as it was sent; a field that was not sent is blank, and nothing else is taken."""
    method = scenario.method
    fields = [question.field for question in questions(scenario, system)]
    fields += [VERDICT] if method.verdict_words else []
    fields += [ACTION] if method.actions else []
    return {field: str(sent.get(field, "")) for field in fields}


class AnswerForm(forms.Form):
    """Readings, results, verdict and action of one attempt; the engine reads what is typed.

    Made from what is kept. A blank field is no error here: the look-over page says what was left blank.
    """

    understood: Understood

    def __init__(self, scenario: Scenario, system: str, kept: Mapping[str, str]) -> None:
        super().__init__(kept if any(kept.values()) else None)
        self.scenario = scenario
        self.system = system
        self.asked = questions(scenario, system)
        for question in self.asked:
            self.fields[question.field] = _number(question)
        method = scenario.method
        if method.verdict_words:
            words = [(verdict.value, called) for verdict, called in method.verdict_words.items()]
            self.fields[VERDICT] = _choice("Held against the sheet, it is", words)
        if method.actions:
            actions = {action.name: action.words for action in method.actions.values()}
            # By their words: the order in which the method lists them would give the verdicts away.
            in_order = sorted(actions.items(), key=lambda action: action[1])
            self.fields[ACTION] = _choice("So you would", in_order)

    def clean(self) -> dict[str, Any]:
        self.understood = understand(self.scenario, self.system, self.data)
        for field, sentence in self.understood.errors.items():
            self.add_error(field, sentence)
        return super().clean() or {}


def _number(question: Question) -> forms.CharField:
    return forms.CharField(
        label=f"{question.label} ({question.unit})" if question.unit else question.label,
        required=False,
        strip=False,
        help_text=question.where,
        widget=forms.TextInput(
            attrs={
                "autocomplete": "off",
                "inputmode": "text",
                "autocapitalize": "off",
                "spellcheck": "false",
                "maxlength": LONGEST_TYPED,
                "data-echo": "",
            }
        ),
    )


def _choice(label: str, choices: list[tuple[str, str]]) -> forms.CharField:
    return forms.CharField(label=label, required=False, widget=forms.RadioSelect(choices=choices))
