"""Rows that are issued once and then stand: a change is a new issue, never an edit."""

from __future__ import annotations

from typing import Any, NoReturn, TypeVar

from django.db import models


class AlreadyIssuedError(Exception):
    """Somebody tried to change or to delete a row that has been issued."""

    def __init__(self, row: str) -> None:
        self.row = row
        super().__init__(f"{row} has been issued and stands as it is: issue a new revision instead.")


Row = TypeVar("Row", bound="IssuedOnce")


class IssuedQuerySet(models.QuerySet[Row]):
    """Rows can be added and read; a change to many at once is refused like a change to one."""

    def update(self, **_kwargs: Any) -> NoReturn:
        raise AlreadyIssuedError(self.model.__name__)

    def delete(self) -> NoReturn:
        raise AlreadyIssuedError(self.model.__name__)


class IssuedOnce(models.Model):
    """A row that is written once. Raises AlreadyIssuedError when saved again or deleted."""

    objects = IssuedQuerySet.as_manager()

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise AlreadyIssuedError(str(self))
        super().save(*args, **kwargs)

    def delete(self, *_args: Any, **_kwargs: Any) -> NoReturn:
        raise AlreadyIssuedError(str(self))
