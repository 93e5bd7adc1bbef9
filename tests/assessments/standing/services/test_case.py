"""What is known while a person's line is held; the refusals that follow are in test_signatures.py."""

from __future__ import annotations

import pytest
from django.db import transaction

from assessments.ledger.models import Line
from assessments.standing import errors
from assessments.standing.services.case import open_case
from tests.factories.standing import NOW, TODAY
from tests.factories.tasks import TaskFactory


def test_opening_a_case_makes_and_holds_the_line_and_knows_both_people(plant):
    with transaction.atomic():
        case = open_case(plant.person, plant.b1, plant.boss, TODAY, NOW)
    assert Line.objects.get(person=plant.person).length == 0
    assert (case.dossier.person, case.signer.person) == (plant.person.pk, plant.boss.pk)
    assert case.rule.task == "B1"


def test_a_line_cannot_be_held_outside_a_transaction(transactional_db):
    from tests.factories.standing import small_plant

    plant = small_plant()
    with pytest.raises(transaction.TransactionManagementError):
        open_case(plant.person, plant.b1, plant.boss, TODAY, NOW)


def test_a_task_without_a_rule_has_none_to_go_by(plant):
    with transaction.atomic():
        case = open_case(plant.person, TaskFactory(code="Z9"), plant.boss, TODAY, NOW)
    with pytest.raises(errors.NoRuleError):
        _ = case.rule


def test_what_stood_behind_a_signature_is_whole_numbers_and_words(plant):
    with transaction.atomic():
        case = open_case(plant.person, plant.b1, plant.boss, TODAY, NOW)
    assert case.seen(case.standing()) == {
        "signed_by_right": "", "state_before": "ready for sign-off", "missing": [], "rule_revision": 1, "lessons_read": [], "drills": None,
    }  # fmt: skip
