"""People for tests. PASSWORD is everybody's until a test says otherwise."""

from __future__ import annotations

import datetime as dt

import factory

from courses.people.models import Crew, Person, RoleHeld

PASSWORD = "brass hat on a rainy fence"


class CrewFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Crew

    name = factory.Sequence(lambda n: f"Crew {n}")
    shift = "days"


class PersonFactory(factory.django.DjangoModelFactory):
    """``PersonFactory(roles=[Role.ASSESSOR])``; without roles the person holds none."""

    class Meta:
        model = Person
        skip_postgeneration_save = True

    username = factory.Sequence(lambda n: f"p.{n}")
    full_name = factory.Sequence(lambda n: f"Person {n:03}")
    job_title = "mechanic"
    crew = factory.SubFactory(CrewFactory)
    joined_on = dt.date(2024, 2, 29)
    password = factory.django.Password(PASSWORD)

    @factory.post_generation
    def roles(self, create, extracted, **kwargs):
        if create and extracted:
            RoleHeld.objects.bulk_create(RoleHeld(person=self, role=role) for role in extracted)


class RoleHeldFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = RoleHeld

    person = factory.SubFactory(PersonFactory)
    role = "mechanic"
