"""What a person may be at the plant. A person can be several of these at once."""

from django.db.models import TextChoices


class Role(TextChoices):
    MECHANIC = "mechanic", "mechanic or apprentice"
    INSTRUCTOR = "instructor", "instructor"
    ASSESSOR = "assessor", "assessor"
    SUPERVISOR = "supervisor", "supervisor"
    AUDITOR = "auditor", "auditor"
    ADMINISTRATOR = "administrator", "administrator"
