from __future__ import annotations

import datetime as dt

import pytest
from django.db import IntegrityError, transaction

from assessments.standing.models import CurrentStanding, Signatory
from tests.factories.standing import TODAY, CurrentStandingFactory, SignatoryFactory

pytestmark = pytest.mark.django_db


def test_a_person_and_a_task_have_one_row():
    row = CurrentStandingFactory()
    with pytest.raises(IntegrityError), transaction.atomic():
        CurrentStandingFactory(person=row.person, task=row.task)
    with pytest.raises(IntegrityError), transaction.atomic():
        CurrentStanding.objects.update(state="promoted")


def test_nobody_names_themself_and_nobody_is_named_twice_at_once():
    named = SignatoryFactory()
    with pytest.raises(IntegrityError), transaction.atomic():
        SignatoryFactory(person=named.person, task=named.task)
    with pytest.raises(IntegrityError), transaction.atomic():
        Signatory.objects.update(named_by=named.person)
    with pytest.raises(IntegrityError), transaction.atomic():
        Signatory.objects.update(ended_on=named.named_on - dt.timedelta(days=1))
    Signatory.objects.update(ended_on=TODAY)
    SignatoryFactory(person=named.person, task=named.task)
