"""The form of a drill, made from what the scenario asks."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core import signing

from assessments.drills.models import Attempt
from assessments.engine.answers import ACTION, VERDICT, Understood, questions, understand
from assessments.engine.scenario import Scenario

TOKEN = "attempt"  # noqa: S105
_signer = signing.Signer(salt="drills.attempt")


def token_of(attempt: Attempt) -> str:
    """What the hidden field of an attempt's form holds: which attempt it was made for, signed."""
    return _signer.sign(f"{attempt.pk}.{attempt.person_id}")


def is_token_of(attempt: Attempt, token: str) -> bool:
    """False for a hidden field that was changed, or taken from another attempt's form."""
    try:
        return _signer.unsign(token) == f"{attempt.pk}.{attempt.person_id}"
    except signing.BadSignature:
        return False


class AnswerForm(forms.Form):
    """Readings, results, verdict and action of one attempt; the engine reads what is typed.

    A blank field is no error here: the look-over page says what was left blank.
    """

    understood: Understood

    def __init__(self, scenario: Scenario, system: str, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.scenario = scenario
        self.system = system
        for question in questions(scenario, system):
            self.fields[question.field] = forms.CharField(
                label=question.label,
                required=False,
                strip=False,
                help_text=question.where if question.is_reading else "",
                widget=forms.TextInput(
                    attrs={
                        "autocomplete": "off",
                        "inputmode": "text",
                        "autocapitalize": "off",
                        "spellcheck": "false",
                        "placeholder": question.unit,
                        "maxlength": 80,
                        "data-echo": "",
                    }
                ),
            )
        method = scenario.method
        if method.verdict_words:
            self.fields[VERDICT] = forms.CharField(
                label="Held against the sheet, it is",
                required=False,
                widget=forms.RadioSelect(
                    choices=[(verdict.value, words) for verdict, words in method.verdict_words.items()]
                ),
            )
            actions: dict[str, str] = {action.name: action.words for action in method.actions.values()}
            by_words = sorted((words, name) for name, words in actions.items())
            self.fields[ACTION] = forms.CharField(
                label="So you would",
                required=False,
                widget=forms.RadioSelect(choices=[(name, words) for words, name in by_words]),
            )

    @property
    def typed(self) -> dict[str, str]:
        """Every field as typed."""
        return {name: str(self.data.get(name, "")) for name in self.fields}

    def clean(self) -> dict[str, Any]:
        self.understood = understand(self.scenario, self.system, self.typed)
        for field, sentence in self.understood.errors.items():
            self.add_error(field, sentence)
        return super().clean() or {}
