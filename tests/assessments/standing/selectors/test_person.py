from __future__ import annotations

import datetime as dt
from types import SimpleNamespace

import pytest

from assessments.standing import loading, selectors, services
from assessments.standing.mastery import SequentialTest
from assessments.standing.rules import Rule
from assessments.standing.selectors.person import LessonLine, MissingLine
from courses.people.roles import Role
from tests.factories.lessons import LessonFactory, LessonReadFactory, LessonRevisionFactory
from tests.factories.people import PersonFactory
from tests.factories.standing import NOW, TODAY, SignatoryFactory, TaskRuleFactory
from tests.factories.tasks import TaskFactory


def page(plant, reader, task=None, on=TODAY):
    return selectors.standing_page(reader, plant.person, task or plant.b1, on, TODAY)


@pytest.mark.parametrize(
    ("prepare", "expected"),
    [
        ((), ("grant", "suspend")),
        (("grant",), ("renew", "suspend", "restrict", "withdraw")),
        (("grant", "suspend"), ("reinstate", "restrict", "withdraw")),
        (("grant", "withdraw"), ("grant", "suspend")),
    ],
)
def test_a_supervisor_is_offered_what_can_be_signed_now(plant, said, prepare, expected):
    for name in prepare:
        getattr(services, name)(**said)
    assert page(plant, plant.boss).acts == expected


def test_an_assessor_is_offered_grants_only(plant, said):
    assert page(plant, plant.assessor).acts == ("grant",)
    services.grant(**{**said, "task": plant.d1})
    assert page(plant, plant.assessor, plant.d1).acts == ("countersign",)


def test_a_supervisor_who_does_not_hold_the_task_is_told_why_they_cannot_grant(plant):
    found = page(plant, plant.other)
    assert found.acts == ("suspend",)
    assert "To sign for B1 you must hold it" in found.cannot_sign


@pytest.mark.parametrize("role", [Role.INSTRUCTOR, Role.AUDITOR, Role.ADMINISTRATOR, Role.MECHANIC])
def test_readers_are_offered_nothing(plant, role):
    assert page(plant, PersonFactory(roles=[role])).acts == ()


def test_nobody_is_offered_anything_about_themself(plant):
    assert selectors.standing_page(plant.boss, plant.boss, plant.b1, TODAY, TODAY).acts == ()


def test_a_task_without_a_rule_has_a_page_too(plant):
    found = page(plant, plant.boss, TaskFactory(code="Z9"))
    assert (found.rule, found.mastery, found.acts) == (None, None, ("suspend",))


def test_the_events_say_which_count_and_which_can_be_lifted(plant, said):
    services.grant(**said)
    bound = services.restrict(**said, restriction="by day only")
    wrong = services.restrict(**said, restriction="never")
    services.correct(event=wrong, by=plant.boss, reason="Wrong.", at=NOW)
    lines = page(plant, plant.boss).events
    assert [(line.event.sequence, line.is_void, line.may_lift) for line in lines] == [
        (1, False, False),
        (2, False, True),
        (3, True, False),
        (4, False, False),
    ]
    services.lift_restriction(**said, about=bound)
    assert not any(line.may_lift for line in page(plant, plant.boss).events)


@pytest.fixture
def drilled(plant, monkeypatch):
    task = TaskFactory(code="C1")
    TaskRuleFactory(
        task=task, rule=Rule("C1", lessons=("rings",), mastery=SequentialTest(0.6, 0.85, 0.05, 0.1, 40)), by=plant.boss
    )
    SignatoryFactory(person=plant.boss, task=task, named_by=plant.other)
    pk = plant.person.pk
    read = SimpleNamespace(person_id=pk, task_code="C1", lesson_slug="rings", read_at=NOW, changed_majorly_since=False)
    handed = [
        SimpleNamespace(
            person_id=pk,
            task_code="C1",
            handed_in_at=NOW + dt.timedelta(days=number // 3),
            is_right=right,
            is_unsafe=False,
            scenario=("strip", "inch")[number % 2],
        )
        for number, right in enumerate([False] * 3 + [True] * 9)
    ]
    monkeypatch.setattr(loading, "readings_by_task", lambda people, at=None: [read])
    monkeypatch.setattr(loading, "results_by_task", lambda people: handed)
    return task


def test_the_drills_stand_against_the_two_lines_as_of_the_day(plant, drilled):
    then = page(plant, plant.boss, drilled)
    assert (then.mastery.progress.runs, then.mastery.progress.last.answers) == (1, ())
    assert then.lessons == (LessonLine("rings", "", TODAY, True),)
    later = page(plant, plant.boss, drilled, TODAY + dt.timedelta(days=3))
    assert later.mastery.progress.has_passed
    assert later.mastery.once_in_words == "4.1%"  # stopped at 40: a little below the untruncated 4.3 %
    assert later.mastery.by_now_in_words == "8.1%"
    assert later.standing.next_act.value == "a grant"


def test_the_first_signer_is_not_offered_the_second_signature(plant, said):
    services.grant(**{**said, "task": plant.d1})
    found = page(plant, plant.boss, plant.d1)
    assert "countersign" not in found.acts
    assert found.cannot_sign == "The second signature takes another person than the first."
    assert page(plant, plant.assessor, plant.d1).cannot_sign == ""


def test_why_one_cannot_sign_is_said_to_those_who_sign_and_nobody_else(plant):
    for role in (Role.INSTRUCTOR, Role.AUDITOR, Role.ADMINISTRATOR, Role.MECHANIC):
        assert page(plant, PersonFactory(roles=[role])).cannot_sign == ""
    assert page(plant, plant.boss, TaskFactory(code="Z9")).cannot_sign == ""
    assert "you must hold it" in page(plant, PersonFactory(roles=[Role.ASSESSOR])).cannot_sign


def test_a_past_day_is_judged_by_the_lesson_as_it_was_read_then(plant):
    """Revision 1 was read; 2, marked major, came later and was read later still: then it counted, and it counts now."""
    lesson = LessonFactory(task=plant.b1, slug="caps", title="Close the caps")
    TaskRuleFactory(task=plant.b1, rule=Rule("B1", lessons=("caps",)), effective_on=dt.date(2024, 1, 3), by=plant.boss)
    days = [NOW - dt.timedelta(days=number) for number in (40, 30, 20, 10)]
    first = LessonRevisionFactory(lesson=lesson, number=1, published_at=days[0])
    LessonReadFactory(person=plant.person, revision=first, read_at=days[1])

    def missing(at):
        return [line.text for line in page(plant, plant.boss, on=at.date()).missing]

    assert missing(days[1]) == []
    second = LessonRevisionFactory(lesson=lesson, number=2, is_major=True, published_at=days[2])
    assert missing(days[1]) == []
    assert missing(days[2]) == ["lesson \u201cClose the caps\u201d read again: it has changed since"]
    LessonReadFactory(person=plant.person, revision=second, read_at=days[3])
    assert missing(days[0]) == ["lesson \u201cClose the caps\u201d read"]
    assert missing(days[1]) == []
    assert missing(days[2]) == ["lesson \u201cClose the caps\u201d read again: it has changed since"]
    assert missing(NOW) == []
    cells = {day: selectors.standings_of([plant.person], day.date())[plant.person.pk]["B1"].state for day in days}
    assert list(cells.values()) == ["not started", "ready for sign-off", "in training", "ready for sign-off"]


def test_what_can_be_signed_is_todays_also_on_the_page_of_a_past_day(plant, said):
    services.grant(**said)
    assert "renew" in page(plant, plant.boss, on=TODAY - dt.timedelta(days=9)).acts


def test_the_drills_behind_a_grant_are_signed_with_it(plant, said, drilled):
    at = NOW + dt.timedelta(days=3)
    event = services.grant(**{**said, "task": drilled, "on": TODAY + dt.timedelta(days=3), "at": at})
    assert event.evidence["drills"] == {"series": 2, "right": 9, "answers": 9, "scenarios": 2, "decision": "pass"}
    assert event.evidence["lessons_read"] == ["rings on 2026-11-24"]


def test_work_done_is_shown_latest_first(plant):
    for days in (3, 1, 2):
        services.record_work(
            person=plant.person, task=plant.b1, on=TODAY - dt.timedelta(days=days), note="Done.", by=plant.boss, at=NOW
        )
    assert [(TODAY - day).days for day in page(plant, plant.boss).work_done] == [1, 2, 3]


def test_ones_own_tasks_in_order(plant):
    assert [cell.task.code for cell in selectors.own(plant.person, TODAY)] == ["B1", "B4", "D1"]


def test_a_mechanic_sees_nobody_elses_standing(plant):
    assert selectors.get_person_for(plant.person, plant.boss.pk) is None
    assert selectors.get_person_for(plant.person, plant.person.pk) == plant.person
    assert selectors.get_person_for(plant.boss, 10**9) is None


@pytest.mark.parametrize(
    ("reader", "person", "code", "is_there"),
    [
        ("boss", "person", "B1", True),
        ("assessor", "person", "B1", False),
        ("boss", "boss", "B1", False),
        ("boss", "person", "Q1", False),
    ],
)
def test_a_signing_page_is_there_only_for_its_roles_and_somebody_else(plant, reader, person, code, is_there):
    found = selectors.signing(getattr(plant, reader), getattr(plant, person).pk, code, (Role.SUPERVISOR,), None)
    assert (found is not None) is is_there


def test_a_signing_page_about_an_event_needs_that_event_in_that_line(plant, said):
    event = services.grant(**said)
    roles = (Role.SUPERVISOR,)
    assert selectors.signing(plant.boss, plant.person.pk, "B1", roles, event.pk).event == event
    assert selectors.signing(plant.boss, plant.person.pk, "B4", roles, event.pk) is None
    assert selectors.signing(plant.boss, plant.other.pk, "B1", roles, event.pk) is None


def test_credit_is_offered_to_a_supervisor_where_something_is_missing(plant):
    assert selectors.signing(plant.boss, plant.person.pk, "B4", (Role.SUPERVISOR,), None).may_credit(TODAY)
    assert not selectors.signing(plant.boss, plant.person.pk, "B1", (Role.SUPERVISOR,), None).may_credit(TODAY)
    assert not selectors.signing(plant.assessor, plant.person.pk, "B4", (Role.ASSESSOR,), None).may_credit(TODAY)


def test_rights_on_the_page(plant):
    assert selectors.rights(plant.boss, plant.person) == {
        "may_correct": True,
        "may_read_record": True,
        "may_enter_evidence": True,
    }
    instructor = PersonFactory(roles=[Role.INSTRUCTOR])
    assert selectors.rights(instructor, plant.person) == {
        "may_correct": False,
        "may_read_record": False,
        "may_enter_evidence": True,
    }


def test_lessons_go_by_their_titles_and_lead_to_themselves(plant):
    caps, _strips = (
        LessonRevisionFactory(lesson=LessonFactory(task=plant.b1, slug=slug, title=title))
        for slug, title in (("caps", "Close the caps"), ("strips", "Squash a strip"))
    )
    rule = Rule("B1", lessons=("caps", "strips", "gone"))
    TaskRuleFactory(task=plant.b1, rule=rule, effective_on=TODAY, by=plant.boss)
    LessonReadFactory(person=plant.person, revision=caps)
    found = page(plant, plant.boss)
    assert [(line.title, line.slug) for line in found.lessons] == [("Close the caps", "caps")]
    assert found.missing == (
        MissingLine("lesson \u201cSquash a strip\u201d read", "strips"),
        MissingLine("lesson gone read"),
    )


def test_what_was_known_once_shows_no_later_entry_and_offers_nothing_to_sign(plant, said):
    services.grant(**said)
    before = NOW - dt.timedelta(days=1)
    then = selectors.standing_page(plant.boss, plant.person, plant.b1, TODAY, TODAY, before)
    assert (then.events, then.acts, then.cannot_sign) == ((), (), "")
    assert then.standing.state == "ready for sign-off"
