"""The rules are those of NIST SP 800-63B-4, 3.1.1.2 (design notes, checks_assessment.md, Passwords and ASVS)."""

from __future__ import annotations

import pytest
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from courses.people.passwords import PlantWordsValidator
from tests.factories.people import PASSWORD, CrewFactory, PersonFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def person():
    crew = CrewFactory(name="Heron crew", shift="nightfall")
    return PersonFactory(username="r.tamm", full_name="Rein Aleksander Tamm", job_title="apprentice", crew=crew)


def refusal(password, person=None):
    with pytest.raises(ValidationError) as refused:
        PlantWordsValidator().validate(password, person)
    return refused.value.code


@pytest.mark.parametrize(
    "password",
    [
        "Alder Ferry maintenance school",
        "alderferrymaintenanceschool2027",
        "turbine bearing journal",
        "Turbine-Bearing-Journal-99",
        "nozzle casing rotor 123456789",
        "password1234567890",
        "Welcome Monday 2027",
        "qwertyuiopasdfghjkl",
        "abcdefghijklmnopqrstuvwxyz",
        "987654321987654321x",
        "xxxxxxxxxxxxxxxx1y",
    ],
)
def test_words_that_anyone_here_would_try_are_refused(password):
    assert refusal(password) == "plant_words"


@pytest.mark.parametrize(
    "password", ["Rein Aleksander Tamm", "reinaleksandertamm1", "aleksander tamm 2027", "HeronCrew nightfall 7"]
)
def test_own_names_and_the_crew_are_refused(password, person):
    assert refusal(password, person) == "plant_words"


@pytest.mark.parametrize(
    "password", ["jolly.jolly.jolly", "mugwump7mugwump7", "aaaaaaaaaaaaaaaa", "pot pot pot pot pot"]
)
def test_a_short_piece_repeated_is_refused(password):
    assert refusal(password) == "piece_repeated"


@pytest.mark.parametrize(
    "password",
    [
        PASSWORD,
        "seven green kettles sing",
        "the trip lever of my uncle Oskar",  # trade words may be part of it
        "ünlü çağlayan kürekçi",
        "kukk laulis kuuvalgel katusel",
        "Tr0ub4dor&3xylophone",
    ],
)
def test_words_that_have_nothing_to_do_with_each_other_pass_every_check(password, person):
    validate_password(password, person)


def test_fourteen_characters_are_too_few_and_fifteen_enough(person):
    with pytest.raises(ValidationError) as refused:
        validate_password("kettle bravo x", person)
    assert [error.code for error in refused.value.error_list] == ["password_too_short"]
    validate_password("kettle bravo xy", person)


@pytest.mark.parametrize("length", [64, 128])
def test_long_passwords_are_taken(length, person):
    validate_password(("seven green kettles sing while nobody looks; " * 3)[:length], person)


def test_no_kind_of_character_is_asked_for(person):
    validate_password("mielenkiintoinenhevonen", person)


def test_every_refusal_and_the_help_say_what_to_do():
    with pytest.raises(ValidationError) as refused:
        PlantWordsValidator().validate("turbine bearing journal", None)
    assert "Add something that only you would think of" in refused.value.messages[0]
    assert "Spaces are allowed" in PlantWordsValidator().get_help_text()


def test_signs_count_as_much_as_letters():
    PlantWordsValidator().validate("#%^&*()_+@<>?;:", None)
    assert refusal("!?!?!?!?!?!?!?!?") == "piece_repeated"
