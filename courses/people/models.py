"""People who sign in, the crews they work in, and the roles they hold."""

from __future__ import annotations

from typing import ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.core.validators import RegexValidator
from django.db import models
from django.db.models.functions import Lower
from django.utils.functional import cached_property

from courses.people.roles import Role


class Crew(models.Model):
    """A crew that works together, usually one shift."""

    name = models.CharField(max_length=60, unique=True)
    shift = models.CharField(max_length=60, blank=True)

    class Meta:
        ordering: ClassVar = ["name"]

    def __str__(self) -> str:
        return self.name


class PersonManager(BaseUserManager["Person"]):
    def get_by_natural_key(self, username: str | None) -> Person:
        """The person of a sign-in name, typed in small or capital letters."""
        return self.get(username=(username or "").strip().lower())


class Person(AbstractBaseUser):
    """One human being. A sign-in name is never given to a second person."""

    username = models.CharField(
        "sign-in name",
        max_length=40,
        unique=True,
        validators=[RegexValidator(r"^[a-z][a-z0-9.-]*\Z", "Small letters, digits, dot and hyphen only.")],
    )
    full_name = models.CharField("name", max_length=120)
    job_title = models.CharField(max_length=60, blank=True, help_text="As people say it: apprentice, mechanic, fitter.")
    crew = models.ForeignKey(Crew, on_delete=models.PROTECT, null=True, blank=True, related_name="people")
    joined_on = models.DateField()
    is_active = models.BooleanField("may sign in", default=True)

    objects: ClassVar[PersonManager] = PersonManager()

    USERNAME_FIELD = "username"
    REQUIRED_FIELDS: ClassVar = ["full_name", "joined_on"]

    class Meta:
        ordering: ClassVar = ["full_name"]
        constraints: ClassVar = [
            # One spelling only, so that "Tamm" and "tamm" can never be two people.
            models.CheckConstraint(condition=models.Q(username=Lower("username")), name="people_username_small"),
        ]

    def __str__(self) -> str:
        return self.full_name

    @cached_property
    def roles(self) -> frozenset[str]:
        """The roles held now, one query (none if they were fetched with the person), then remembered."""
        return frozenset(held.role for held in self.roles_held.all())

    @property
    def role_names(self) -> list[str]:
        """The roles in words, in the order in which Role lists them."""
        return [str(role.label) for role in Role if role in self.roles]

    def has_role(self, *roles: Role) -> bool:
        """True if the person may sign in and holds at least one of the roles."""
        return self.is_active and not self.roles.isdisjoint(roles)


class RoleHeld(models.Model):
    """One role of one person."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="roles_held")
    role = models.CharField(max_length=20, choices=Role.choices)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["person", "role"], name="people_role_held_once"),
            models.CheckConstraint(condition=models.Q(role__in=Role.values), name="people_role_known"),
        ]

    def __str__(self) -> str:
        return f"{self.person}: {self.get_role_display()}"
