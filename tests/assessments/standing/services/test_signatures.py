"""Every signature: who may, when, on what, and what is refused. Refused signatures enter nothing."""

from __future__ import annotations

import datetime as dt
import uuid

import pytest
from django.utils import timezone

from assessments.drills.selectors import ResultRow
from assessments.ledger.models import Event, Kind, OccurrenceKind
from assessments.ledger.services import TokenUsedError
from assessments.standing import errors, loading, services
from assessments.standing.mastery import SequentialTest
from assessments.standing.models import CurrentStanding
from assessments.standing.rules import RenewalWindow, Rule, State
from assessments.standing.selectors import standings_of
from courses.people.models import RoleHeld
from courses.people.roles import Role
from tests.factories.people import PersonFactory
from tests.factories.standing import NOW, TODAY, SignatoryFactory, TaskRuleFactory, small_plant
from tests.factories.tasks import TaskFactory

DAY = dt.timedelta(days=1)
MASTERY = SequentialTest(0.6, 0.85, 0.05, 0.1, 40)


def state_of(person, task, on=TODAY):
    return standings_of([person], on)[person.pk][task.code]


def refused(error, service, says=None, **said):
    before = Event.objects.count()
    with pytest.raises(error, match=says) as caught:
        service(**said)
    assert Event.objects.count() == before
    return caught.value


def on(said, days):
    """The same, so many days from now."""
    return {**said, "on": TODAY + days * DAY, "at": NOW + days * DAY}


# --- Grant --------------------------------------------------------------------------------------------------


def test_a_grant_holds_from_its_day_and_stands_in_the_table(plant, said):
    event = services.grant(**said)
    assert (event.kind, event.meaning, event.signed_name) == ("granted", "authorised", "Maren Boss")
    assert event.evidence == {
        "signed_by_right": "named for the task", "state_before": "ready for sign-off", "missing": [], "rule_revision": 1, "lessons_read": [], "drills": None,
        "credits_earlier_training": False,
    }  # fmt: skip
    row = CurrentStanding.objects.get(person=plant.person, task=plant.b1)
    assert (row.state, row.holds_until, row.from_on) == ("qualified", dt.date(2029, 11, 24), TODAY)
    assert row.until_on == dt.date(2029, 10, 25)  # from the day after it is due


def test_a_grant_changes_the_tasks_that_hang_on_it_in_the_same_breath(plant, said):
    assert state_of(plant.person, plant.b4).state is State.NOT_STARTED
    services.grant(**said)
    assert CurrentStanding.objects.get(person=plant.person, task=plant.b4).state == "ready for sign-off"


def test_nobody_signs_for_themself(plant, said):
    refused(errors.NotAuthorisedError, services.grant, "themself", **{**said, "person": plant.boss})


def test_a_role_that_does_not_sign_is_refused(plant, said):
    refused(
        errors.NotAuthorisedError,
        services.grant,
        "is signed by",
        **{**said, "by": PersonFactory(roles=[Role.INSTRUCTOR])},
    )


def test_a_signer_must_hold_the_task_or_be_named_for_it(plant, said):
    refused(errors.NotAuthorisedError, services.grant, "hold it or be named", **{**said, "by": plant.other})
    services.grant(**{**said, "person": plant.other})
    services.grant(**{**said, "by": plant.other})


def test_a_signer_whose_own_task_is_suspended_or_lapsed_is_refused(plant, said):
    services.grant(**{**said, "person": plant.other})
    services.suspend(**{**said, "person": plant.other})
    refused(
        errors.NotAuthorisedError, services.grant, "You are suspended for B1 yourself", **{**said, "by": plant.other}
    )


def test_a_naming_counts_from_its_day_to_the_day_before_its_end(plant, said):
    signer = PersonFactory(roles=[Role.ASSESSOR])
    SignatoryFactory(person=signer, task=plant.b1, named_on=TODAY + DAY, ended_on=TODAY + 2 * DAY)
    refused(errors.NotAuthorisedError, services.grant, **{**said, "by": signer})
    refused(errors.NotAuthorisedError, services.grant, **on({**said, "by": signer}, 2))
    services.grant(**on({**said, "by": signer}, 1))


def test_a_signer_who_may_no_longer_sign_in_is_refused(plant, said):
    plant.boss.is_active = False
    refused(errors.NotAuthorisedError, services.grant, **said)


def test_a_task_without_a_rule_cannot_be_granted(plant, said):
    refused(
        errors.NoRuleError, services.grant, "No rule is in force for Z9", **{**said, "task": TaskFactory(code="Z9")}
    )


def test_a_grant_for_a_day_that_has_not_come_is_refused(plant, said):
    refused(errors.NotYetError, services.grant, "25 November 2026", **{**said, "on": TODAY + DAY})


def test_the_plants_own_calendar_says_which_day_it_is(plant, said):
    """23:30 UTC on 30 June is 1 July at the plant (Europe/London)."""
    at = dt.datetime(2026, 6, 30, 23, 30, tzinfo=dt.UTC)
    assert timezone.localdate(at) == dt.date(2026, 7, 1)
    assert services.grant(**{**said, "on": dt.date(2026, 7, 1), "at": at}).sequence == 1


def test_nothing_is_slipped_in_before_what_was_already_entered(plant, said):
    services.grant(**said)
    refused(errors.OutOfOrderError, services.withdraw, "24 November 2026", **{**said, "on": TODAY - DAY})


def test_an_entry_that_was_corrected_does_not_stand_in_the_way(plant, said):
    wrong = services.grant(**said)
    services.correct(event=wrong, by=plant.boss, reason="Wrong person.", at=NOW)
    assert services.suspend(**{**said, "on": TODAY - DAY}).sequence == 3


def test_what_is_held_is_renewed_and_not_granted_again(plant, said):
    services.grant(**said)
    refused(errors.AlreadyHeldError, services.grant, "Renew it instead", **on(said, 1))


def test_what_has_lapsed_is_renewed_and_not_granted_again(plant, said):
    services.grant(**said)
    refused(errors.RenewInsteadError, services.grant, "Lapsed after 24 November 2029", **on(said, 1500))


def test_a_suspended_person_cannot_be_granted(plant, said):
    services.suspend(**said)
    refused(errors.SuspendedError, services.grant, "takes a reinstatement", **on(said, 1))


def test_a_suspension_since_the_day_of_the_grant_stops_it_too(plant, said):
    services.suspend(**said)
    services.correct(event=Event.objects.get(), by=plant.boss, reason="Wrong task.", at=NOW)
    services.grant(**said)
    assert state_of(plant.person, plant.b1).state is State.QUALIFIED


def test_missing_evidence_is_listed_and_nothing_is_granted(plant, said):
    caught = refused(errors.NotReadyError, services.grant, "B1 held first", **{**said, "task": plant.b4})
    assert caught.missing == ("B1 held first (now: ready for sign-off)",)


@pytest.fixture
def lessoned(plant):
    return TaskRuleFactory(task=TaskFactory(code="C1"), rule=Rule("C1", lessons=("rings",)), by=plant.boss).task


def test_a_supervisor_credits_earlier_training_and_what_was_missing_is_signed_with_it(plant, said, lessoned):
    SignatoryFactory(person=plant.boss, task=lessoned, named_by=plant.other)
    event = services.grant(**{**said, "task": lessoned}, credits_earlier_training=True)
    assert event.evidence["missing"] == ["lesson rings read"]
    assert event.evidence["credits_earlier_training"] is True


def test_an_assessor_credits_nothing(plant, said, lessoned):
    SignatoryFactory(person=plant.assessor, task=lessoned, named_by=plant.other)
    refused(
        errors.NotAuthorisedError, services.grant, "Only a supervisor credits",
        **{**said, "task": lessoned, "by": plant.assessor}, credits_earlier_training=True,
    )  # fmt: skip


def test_no_credit_replaces_a_task_that_must_be_held_first(plant, said):
    refused(
        errors.DoesNotHelpError,
        services.grant,
        "B1 must be held first",
        **{**said, "task": plant.b4},
        credits_earlier_training=True,
    )
    assert state_of(plant.person, plant.b4).state is State.NOT_STARTED


def test_an_assessor_grants_where_named(plant, said):
    assert services.grant(**{**said, "by": plant.assessor}).signed_name == "Ada Assessor"


# --- On the day of signing, and on no other -------------------------------------------------------------------


LETS_WORK = [services.grant, services.renew, services.countersign, services.lift_restriction, services.reinstate]


@pytest.mark.parametrize("service", LETS_WORK)
def test_what_lets_somebody_work_is_not_dated_back(plant, said, service):
    event = services.grant(**on(said, -9))
    refused(
        errors.OnTheDayError, service, "takes effect on the day of signing, 24 November 2026, and not on 23 November 2026",
        **{**said, "on": TODAY - DAY}, **more_for(service, event),
    )  # fmt: skip


def test_a_grant_dated_before_todays_unsafe_drill_is_refused(plant, said, monkeypatch):
    task = TaskRuleFactory(task=TaskFactory(code="C1"), rule=Rule("C1", mastery=MASTERY), by=plant.boss).task
    SignatoryFactory(person=plant.boss, task=task, named_by=plant.other)
    drills = [
        ResultRow(plant.person.pk, "C1", NOW - 2 * DAY, is_right=True, is_unsafe=False, scenario="strip")
        for _ in range(9)
    ]
    unsafe = ResultRow(plant.person.pk, "C1", NOW, is_right=False, is_unsafe=True, scenario="strip")
    monkeypatch.setattr(loading, "results_by_task", lambda people: [*drills, unsafe])
    refused(errors.OnTheDayError, services.grant, **{**said, "task": task, "on": TODAY - DAY})
    refused(errors.NotReadyError, services.grant, **{**said, "task": task})
    assert not state_of(plant.person, task).state.holds


def test_a_stricter_rule_from_today_is_not_evaded_by_yesterdays_date(plant, said):
    TaskRuleFactory(task=plant.b1, rule=Rule("B1", lessons=("caps",)), effective_on=TODAY, by=plant.boss)
    refused(errors.OnTheDayError, services.grant, **{**said, "on": TODAY - DAY})
    refused(errors.NotReadyError, services.grant, "lesson caps read", **said)


def test_a_renewal_after_the_window_is_not_dated_into_it(plant, said):
    task = TaskRuleFactory(
        task=TaskFactory(code="C1"), rule=Rule("C1", valid_months=36, renewal=RenewalWindow(6, 12)), by=plant.boss
    ).task
    SignatoryFactory(person=plant.boss, task=task, named_by=plant.other)
    services.grant(**{**said, "task": task})
    late = on({**said, "task": task}, 1462)  # the window closed the day before
    refused(errors.OnTheDayError, services.renew, **{**late, "on": late["on"] - DAY})
    assert state_of(plant.person, task, late["on"]).state is State.LAPSED


def test_a_reinstatement_does_not_rewrite_the_day_of_the_suspension(plant, said):
    services.grant(**said)
    services.suspend(**on(said, 1))
    refused(errors.OnTheDayError, services.reinstate, **{**on(said, 3), "on": TODAY + DAY})
    services.reinstate(**on(said, 3))
    assert state_of(plant.person, plant.b1, TODAY + 2 * DAY).state is State.SUSPENDED


def test_days_with_one_signature_stay_without_the_second(plant, said):
    critical = {**said, "task": plant.d1}
    services.grant(**critical)
    later = on({**critical, "by": plant.assessor}, 3)
    refused(errors.OnTheDayError, services.countersign, **{**later, "on": TODAY})
    services.countersign(**later)
    assert [state_of(plant.person, plant.d1, TODAY + days * DAY).state.holds for days in (2, 3)] == [False, True]


@pytest.mark.parametrize("service", [services.suspend, services.restrict, services.withdraw])
def test_what_stops_somebody_may_be_dated_back(plant, said, service):
    event = services.grant(**on(said, -9))
    assert service(**{**said, "on": TODAY - DAY}, **more_for(service, event)).effective_on == TODAY - DAY


@pytest.mark.parametrize("service", [services.grant, services.renew, services.restrict, services.suspend])
@pytest.mark.parametrize("until_on", [TODAY - DAY, dt.date(2046, 11, 25), dt.date.max])
def test_a_last_day_before_the_signature_or_beyond_twenty_years_is_refused(plant, said, service, until_on):
    if service is not services.grant:
        services.grant(**said)
    refused(
        errors.LastDayError, service, "between 24 November 2026 and 24 November 2046",
        **said, **more_for(service, None), until_on=until_on,
    )  # fmt: skip


def test_the_last_day_of_twenty_years_is_still_a_last_day(plant, said):
    services.grant(**said, until_on=dt.date(2046, 11, 24))
    assert state_of(plant.person, plant.b1).until == dt.date(2029, 11, 24)


def test_a_naming_does_not_help_who_is_stopped_or_bound_themself(plant, said):
    """Named for B1 all along; suspended, restricted or withdrawn there themself."""
    own = {**said, "person": plant.boss, "by": plant.assessor}
    services.grant(**own)
    bound = services.restrict(**{**own, "by": plant.other}, restriction="by day only")
    refused(errors.NotAuthorisedError, services.grant, "under a restriction", **said)
    services.lift_restriction(**{**own, "by": plant.other}, about=bound)
    services.suspend(**{**own, "by": plant.other})
    refused(errors.NotAuthorisedError, services.grant, "You are suspended", **said)
    services.reinstate(**{**own, "by": plant.other})
    services.withdraw(**{**own, "by": plant.other})
    refused(errors.NotAuthorisedError, services.grant, "You are withdrawn", **said)


def test_by_which_right_the_signer_signed_is_signed_with_it(plant, said):
    assert services.grant(**{**said, "person": plant.other}).evidence["signed_by_right"] == "named for the task"
    assert services.grant(**{**said, "by": plant.other}).evidence["signed_by_right"] == "holds the task"
    assert services.renew(**on({**said, "by": plant.other}, 1)).evidence["signed_by_right"] == "holds the task"


# --- Two signatures -------------------------------------------------------------------------------------------------


def test_a_critical_task_is_held_from_the_second_signature_on(plant, said):
    critical = {**said, "task": plant.d1}
    first = services.grant(**critical)
    assert state_of(plant.person, plant.d1).state is State.READY
    refused(errors.WaitsForSecondError, services.grant, **critical)
    refused(errors.WaitsForSecondError, services.renew, **critical)
    refused(errors.NotAuthorisedError, services.countersign, "another person", **critical)
    second = services.countersign(**{**critical, "by": plant.assessor})
    assert (second.about, second.meaning, second.evidence) == (
        first,
        "approved",
        {"countersigns": 1, "hash": first.hash, "signed_by_right": "named for the task"},
    )
    assert state_of(plant.person, plant.d1).state is State.QUALIFIED
    refused(errors.NothingWaitsError, services.countersign, **{**critical, "by": plant.assessor})


# --- Renew ------------------------------------------------------------------------------------------------------------


def test_a_renewal_begins_a_new_term(plant, said):
    services.grant(**said)
    services.renew(**on(said, 1000))
    assert state_of(plant.person, plant.b1, TODAY + 1100 * DAY).state is State.QUALIFIED


def test_what_was_never_held_or_was_withdrawn_cannot_be_renewed(plant, said):
    refused(errors.NotHeldError, services.renew, "no grant to act on", **said)
    services.grant(**said)
    services.withdraw(**said)
    refused(errors.NotHeldError, services.renew, "withdrawn", **said)


def test_a_renewal_outside_its_window_is_refused(plant, said):
    task = TaskRuleFactory(
        task=TaskFactory(code="C1"), rule=Rule("C1", valid_months=36, renewal=RenewalWindow(6, 12)), by=plant.boss
    ).task
    SignatoryFactory(person=plant.boss, task=task, named_by=plant.other)
    windowed = {**said, "task": task}
    services.grant(**windowed)
    refused(
        errors.OutsideWindowError, services.renew, "counts from 24 May 2029 to 24 November 2030", **on(windowed, 10)
    )
    refused(errors.StartAgainError, services.renew, "takes a new grant", **on(windowed, 1462))
    services.renew(**on(windowed, 1461))


def test_a_renewal_waits_for_lessons_that_have_changed(plant, said, lessoned):
    SignatoryFactory(person=plant.boss, task=lessoned, named_by=plant.other)
    services.grant(**{**said, "task": lessoned}, credits_earlier_training=True)
    refused(errors.NotReadyError, services.renew, "lesson rings read", **on({**said, "task": lessoned}, 1))


def test_a_renewal_that_answers_no_call_is_refused(plant, said):
    task = TaskRuleFactory(task=TaskFactory(code="C1"), rule=Rule("C1", refresher_days=0), by=plant.boss).task
    SignatoryFactory(person=plant.boss, task=task, named_by=plant.other)
    seen = {**said, "task": task}
    services.grant(**seen)
    later = on(seen, 1)
    services.record_occurrence(
        person=plant.person,
        task=task,
        kind=OccurrenceKind.NEAR_MISS,
        on=later["on"],
        note="Sling.",
        by=plant.boss,
        at=later["at"],
    )
    refused(errors.DoesNotHelpError, services.renew, "near miss on 25 November 2026", **later)
    services.renew(**on(seen, 2))
    assert state_of(plant.person, task, TODAY + 2 * DAY).state is State.QUALIFIED


def test_a_suspended_person_cannot_be_renewed_or_countersigned(plant, said):
    services.grant(**{**said, "task": plant.d1})
    services.suspend(**{**said, "task": plant.d1})
    for service in (services.renew, services.countersign):
        refused(errors.SuspendedError, service, **{**said, "task": plant.d1, "by": plant.assessor})


# --- A supervisor's acts ------------------------------------------------------------------------------------------------


SUPERVISORS_ACTS = [
    services.suspend,
    services.reinstate,
    services.restrict,
    services.withdraw,
    services.lift_restriction,
]


def more_for(service, event):
    return {services.restrict: {"restriction": "by day only"}, services.lift_restriction: {"about": event}}.get(
        service, {}
    )


@pytest.mark.parametrize("service", SUPERVISORS_ACTS)
def test_only_a_supervisor_and_never_for_themself(plant, said, service):
    event = services.grant(**said)
    more = more_for(service, event)
    refused(errors.NotAuthorisedError, service, "for a supervisor", **{**said, "by": plant.assessor}, **more)
    refused(errors.NotAuthorisedError, service, "themself", **{**said, "person": plant.boss}, **more)


@pytest.mark.parametrize("service", SUPERVISORS_ACTS)
def test_no_act_for_a_day_that_has_not_come(plant, said, service):
    event = services.grant(**said)
    refused(errors.NotYetError, service, **{**said, "on": TODAY + DAY}, **more_for(service, event))


def test_suspend_and_reinstate(plant, said):
    services.grant(**said)
    services.suspend(**said, until_on=TODAY + 9 * DAY)
    assert state_of(plant.person, plant.b1).state is State.SUSPENDED
    refused(errors.AlreadySuspendedError, services.suspend, **on(said, 1))
    services.reinstate(**on(said, 2))
    assert state_of(plant.person, plant.b1, TODAY + 2 * DAY).state is State.QUALIFIED
    refused(errors.NotSuspendedError, services.reinstate, "qualified", **on(said, 3))


def test_a_supervisor_suspends_for_a_task_that_they_do_not_hold(plant, said):
    assert services.suspend(**{**said, "by": plant.other}).kind == Kind.SUSPENDED


def test_restrict_and_lift(plant, said):
    refused(errors.NotHeldError, services.restrict, **said, restriction="by day only")
    services.grant(**said)
    bound = services.restrict(**said, restriction="by day only")
    assert state_of(plant.person, plant.b1).restrictions == ("by day only",)
    other = services.restrict(**said, restriction="under supervision")
    services.lift_restriction(**said, about=bound)
    assert state_of(plant.person, plant.b1).restrictions == ("under supervision",)
    refused(errors.NoSuchRestrictionError, services.lift_restriction, **said, about=bound)
    refused(errors.NoSuchRestrictionError, services.lift_restriction, **{**said, "task": plant.b4}, about=other)
    refused(errors.NoSuchRestrictionError, services.lift_restriction, **{**said, "person": plant.assessor}, about=other)


def test_withdraw(plant, said):
    refused(errors.NotHeldError, services.withdraw, "ready for sign-off", **said)
    services.grant(**said)
    services.withdraw(**said)
    assert state_of(plant.person, plant.b1).state is State.WITHDRAWN
    refused(errors.NotHeldError, services.withdraw, **said)


def test_correct_voids_an_entry_once(plant, said):
    wrong = services.grant(**said)
    refused(errors.NotAuthorisedError, services.correct, event=wrong, by=plant.assessor, reason="Mine.", at=NOW)
    correction = services.correct(event=wrong, by=plant.boss, reason="Wrong person.", at=NOW)
    assert (correction.about, correction.evidence) == (wrong, {"corrects": 1, "hash": wrong.hash})
    assert state_of(plant.person, plant.b1).state is State.READY
    refused(errors.AlreadyCorrectedError, services.correct, event=wrong, by=plant.boss, reason="Again.", at=NOW)
    services.correct(event=correction, by=plant.boss, reason="It was right.", at=NOW)
    assert state_of(plant.person, plant.b1).state is State.QUALIFIED


# --- The same form twice ---------------------------------------------------------------------------------------------------


def test_the_same_form_sent_twice_enters_one_event(plant, said):
    def twice(service, **more):
        token = uuid.uuid4()
        first, second = service(**more, token=token), service(**more, token=token)
        assert first == second
        return first

    critical = {**said, "task": plant.d1}
    granted = twice(services.grant, **critical)
    twice(services.countersign, **{**critical, "by": plant.assessor})
    twice(services.renew, **critical)
    bound = twice(services.restrict, **critical, restriction="by day only")
    twice(services.lift_restriction, **critical, about=bound)
    twice(services.suspend, **critical)
    twice(services.reinstate, **critical)
    twice(services.withdraw, **critical)
    twice(services.correct, event=granted, by=plant.boss, reason="Wrong.", at=NOW)
    assert Event.objects.count() == 9


def test_a_form_of_another_signature_is_refused(plant, said):
    token = uuid.uuid4()
    services.grant(**said, token=token)
    refused(TokenUsedError, services.withdraw, **said, token=token)


def test_a_role_taken_away_a_moment_ago_counts_at_the_next_request(plant, said):
    RoleHeld.objects.filter(person=plant.boss).delete()
    fresh = type(plant.boss).objects.get(pk=plant.boss.pk)
    refused(errors.NotAuthorisedError, services.suspend, **{**said, "by": fresh})


def test_a_signature_takes_a_fixed_number_of_queries(plant, said, django_assert_max_num_queries):
    with django_assert_max_num_queries(50) as first:
        services.grant(**said)
    for days in range(1, 9):
        service = services.suspend if days % 2 else services.reinstate
        service(**on(said, days))
    with django_assert_max_num_queries(len(first)):
        services.suspend(**on(said, 9))


def test_of_two_who_sign_the_same_thing_at_once_one_is_told(in_threads):
    plant = small_plant()
    said = {"person": plant.person, "task": plant.b1, "reason": "Watched.", "on": TODAY, "at": NOW}
    jobs = [lambda by=by: services.suspend(**said, by=by) for by in (plant.boss, plant.other)]
    answers = in_threads(*jobs)
    assert sorted(type(answer).__name__ for answer in answers) == ["AlreadySuspendedError", "Event"]
    assert in_threads(Event.objects.count) == [1]
