"""Pages that people open most, each against the empty page."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

from django.urls import reverse
from django.utils import timezone

from tests.benches.figure import Figure
from tests.benches.page_against_empty import PageAgainstEmpty, queries_stay
from tests.benches.site import prepare, signed_in

USERNAME = "p.achterberg"
STRIP = "bearing-governor-strip"
NINE_DIALS = "coupling-run-out"
MANY = 2000


def _open(slug: str) -> Callable[[], str]:
    """The form of a draw that the person has open."""

    def path() -> str:
        from assessments.drills.services import open_attempt
        from assessments.scenarios.models import Scenario
        from courses.people.models import Person

        scenario = Scenario.objects.select_related("current__sheet").get(slug=slug)
        scenario.current.scenario = scenario
        attempt = open_attempt(
            person=Person.objects.get(username=USERNAME),
            scenario=scenario,
            revision=scenario.current,
            seed=7,
            at=timezone.now(),
        )
        return reverse("drills:attempt_answer", args=[attempt.pk])

    return path


def _scored(slug: str) -> Callable[[], str]:
    """The page of a draw that the person has handed in."""

    def path() -> str:
        from assessments.drills.models import Attempt
        from assessments.drills.services import hand_in, keep_typed

        number = int(_open(slug)().rstrip("/").rsplit("/", 1)[1])
        attempt = Attempt.objects.get(pk=number)
        typed = {"reading-w_governor": "2.5", "result-c_governor": "0.2 mm", "verdict": "low", "action": "refit"}
        keep_typed(attempt=attempt, typed=typed, at=timezone.now())
        hand_in(attempt=attempt, at=timezone.now())
        return reverse("drills:attempt_result", args=[number])

    return path


def drill_page() -> list[Figure]:
    return PageAgainstEmpty(name="drill page", path=_open(STRIP), username=USERNAME)()


def scored_page() -> list[Figure]:
    return PageAgainstEmpty(name="scored page", path=_scored(STRIP), username=USERNAME)()


def nine_dials() -> list[Figure]:
    return PageAgainstEmpty(name="drill page with nine dials", path=_open(NINE_DIALS), username=USERNAME)()


def first_page() -> list[Figure]:
    return PageAgainstEmpty(
        name="first page", path=lambda: reverse("desks:bench"), username=USERNAME, query_limit=15, cpu_limit=15
    )()


def queries_with_many_attempts() -> list[Figure]:
    """The same number of queries with 2,000 attempts in the table as with 20."""
    prepare()
    client = signed_in(USERNAME)

    def fill() -> None:
        from assessments.drills.models import Attempt

        some = Attempt.objects.filter(handed_in_at__isnull=False).first()
        assert some is not None
        Attempt.objects.bulk_create(
            Attempt(
                **{
                    field.attname: getattr(some, field.attname)
                    for field in Attempt._meta.concrete_fields
                    if field.attname not in {"id", "opened_at"}
                },
                opened_at=some.opened_at - timedelta(minutes=number),
            )
            for number in range(MANY)
        )

    scored = _scored(STRIP)()
    return [
        queries_stay("drill page, 2,000 attempts", client, _open(STRIP)(), fill),
        queries_stay("scored page, 2,000 attempts more", client, scored, fill),
    ]


BENCHES = [drill_page, scored_page, nine_dials, first_page, queries_with_many_attempts]
