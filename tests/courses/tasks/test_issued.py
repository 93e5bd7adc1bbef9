from __future__ import annotations

import pytest

from courses.tasks.issued import AlreadyIssuedError
from courses.tasks.models import TaskRevision
from tests.factories.tasks import TaskRevisionFactory

pytestmark = pytest.mark.django_db


def test_an_issued_row_is_not_saved_again():
    revision = TaskRevisionFactory()
    revision.change = "Something else."

    with pytest.raises(AlreadyIssuedError, match="issue a new revision"):
        revision.save()

    assert TaskRevision.objects.get(pk=revision.pk).change == "Wording."


def test_an_issued_row_is_not_deleted():
    revision = TaskRevisionFactory()

    with pytest.raises(AlreadyIssuedError):
        revision.delete()

    assert TaskRevision.objects.filter(pk=revision.pk).exists()


@pytest.mark.parametrize("change", [lambda rows: rows.update(change="x"), lambda rows: rows.delete()])
def test_many_issued_rows_are_not_changed_at_once(change):
    revision = TaskRevisionFactory()

    with pytest.raises(AlreadyIssuedError, match="TaskRevision"):
        change(TaskRevision.objects.all())

    assert TaskRevision.objects.get(pk=revision.pk).change == "Wording."
