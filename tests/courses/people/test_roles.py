from __future__ import annotations

from courses.people.models import RoleHeld
from courses.people.roles import Role


def test_every_role_fits_its_column_and_reads_as_a_word():
    longest = RoleHeld._meta.get_field("role").max_length
    assert all(len(role.value) <= longest and role.label.islower() for role in Role)


def test_the_stored_words_of_the_roles_stay_as_they_are():
    """They stand in the database and in its constraint: a change needs a migration."""
    assert Role.values == ["mechanic", "instructor", "assessor", "supervisor", "auditor", "administrator"]
