"""Where a person stands. Expected states are worked out by hand from the published rules named beside each case
(records.md, checks_assessment.md C); boundary days are those suggested there."""

from __future__ import annotations

import dataclasses
import datetime as dt

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assessments.ledger.models import Kind as LedgerKind
from assessments.standing.mastery import SequentialTest
from assessments.standing.rules import (
    Absence,
    Act,
    Event,
    Evidence,
    Interruption,
    Kind,
    MajorRevision,
    Occurrence,
    Reading,
    RenewalWindow,
    Result,
    Rule,
    Standing,
    State,
    in_force,
    mastery_progress,
    refusal_to_sign,
    standing,
    suspension,
    voided,
    without_rule,
)

ME, BOSS, SECOND = 1, 2, 3


def day(text):
    return dt.date.fromisoformat(text)


def event(sequence, kind, on, **more):
    return Event(sequence, Kind(kind), day(on), more.pop("by", BOSS), reason=more.pop("reason", "so."), **more)


def stand(rule, events=(), on="2026-11-24", **evidence):
    return standing(rule, events, Evidence(ME, **evidence), day(on))


GRANT = event(1, "granted", "2024-02-29", signed_name="M. Oduya")
HELD = Standing(State.QUALIFIED, ("held",))


def test_the_kinds_of_event_are_those_of_the_ledger():
    assert [kind.value for kind in Kind] == LedgerKind.values


# --- Before a grant -----------------------------------------------------------------------------------------


def test_nobody_holds_a_task_without_a_rule():
    answer = without_rule("D1")
    assert (answer.state, answer.next_act) == (State.NOT_STARTED, None)


def test_a_person_who_did_nothing_yet_has_not_started():
    answer = stand(Rule("B4", lessons=("caps",)))
    assert (answer.state, answer.missing, answer.next_act) == (State.NOT_STARTED, ("lesson caps read",), Act.GRANT)


def test_a_first_lesson_or_drill_begins_the_training():
    rule = Rule("B4", lessons=("caps", "strip"))
    answer = stand(rule, readings=(Reading("caps", day("2026-03-03"), True),))
    assert (answer.state, answer.reasons) == (State.IN_TRAINING, ("Started on 3 March 2026.",))
    assert answer.missing == ("lesson strip read",)
    assert stand(rule, results=(Result(day("2026-03-04"), False),)).state is State.IN_TRAINING


def test_with_everything_there_the_signature_is_all_that_waits():
    answer = stand(Rule("B4", lessons=("caps",)), readings=(Reading("caps", day("2026-03-03"), True),))
    assert (answer.state, answer.missing, answer.next_act) == (State.READY, (), Act.GRANT)


def test_a_lesson_that_changed_since_is_to_be_read_again():
    answer = stand(Rule("B4", lessons=("caps",)), readings=(Reading("caps", day("2026-03-03"), False),))
    assert answer.missing == ("lesson caps read again: it has changed since",)


def test_what_is_read_tomorrow_does_not_count_today():
    rule = Rule("B4", lessons=("caps",))
    read = (Reading("caps", day("2026-11-25"), True),)
    answer = stand(rule, readings=read)
    assert (answer.state, answer.steady_until) == (State.NOT_STARTED, day("2026-11-24"))
    assert stand(rule, on="2026-11-25", readings=read).state is State.READY


def test_tasks_that_come_first_must_be_held_and_not_merely_passed_once():
    rule = Rule("B4", tasks_first=("B1", "B2"))
    lapsed = Standing(State.LAPSED, ("gone",))
    answer = stand(rule, other_tasks={"B1": HELD, "B2": lapsed})
    assert answer.missing == ("B2 held first (now: lapsed)",)
    assert stand(rule, other_tasks={"B1": HELD}).missing == ("B2 held first (now: unknown)",)
    assert stand(rule, other_tasks={"B1": HELD, "B2": HELD}).state is State.READY


def test_a_task_that_is_due_still_counts_as_held():
    due = Standing(State.DUE, ("soon",), until=day("2026-12-01"))
    assert stand(Rule("B4", tasks_first=("B1",)), other_tasks={"B1": due}).state is State.READY


DRILLS = SequentialTest(0.60, 0.85, 0.05, 0.10, 40)


def results(pattern, on="2026-03-03"):
    return tuple(Result(day(on), mark == "r", mark == "u") for mark in pattern)


def test_drill_mastery_is_asked_for_and_says_what_would_do():
    rule = Rule("B4", mastery=DRILLS)
    answer = stand(rule, results=results("rrrrrr"))
    assert answer.missing == ("drill mastery: 6 right of 6 in this series, 3 more right in a row would do",)
    assert stand(rule, results=results("rrrrrrrrr")).state is State.READY


def test_a_further_series_is_named():
    answer = stand(Rule("B4", mastery=DRILLS), results=results("wwwrr"))
    assert answer.missing[0].endswith("(series 2)")
    assert "series" not in stand(Rule("B4", mastery=DRILLS), results=results("rr")).missing[0].replace(
        "this series", ""
    )


def test_ready_without_a_lesson_or_a_drill_says_that_none_is_asked_for():
    assert "no lesson and no drill" in stand(Rule("A1")).reasons[0]
    ready = stand(Rule("B4", mastery=DRILLS), results=results("rrrrrrrrr"))
    assert ready.reasons == ("Everything the rule asks for is there; the signature is not.",)


def test_an_unsafe_drill_takes_mastery_back():
    assert stand(Rule("B4", mastery=DRILLS), results=results("rrrrrrrrru")).state is State.IN_TRAINING


def test_a_rule_without_drills_has_no_progress_to_show():
    assert mastery_progress(Rule("B4"), ()) is None


# --- Valid for a time ------------------------------------------------------------------------------------------


def test_sixty_months_from_29_february_2024_end_on_28_february_2029_and_that_day_still_holds():
    # ISO 9712: 5 years; last day included (checks_assessment.md C, boundary tests).
    rule = Rule("E2", valid_months=60)
    last = stand(rule, [GRANT], on="2029-02-28")
    assert (last.state, last.until) == (State.QUALIFIED, day("2029-02-28"))
    over = stand(rule, [GRANT], on="2029-03-01")
    assert (over.state, over.until, over.next_act) == (State.LAPSED, day("2029-02-28"), Act.RENEW)


def test_three_years_as_for_operators_of_powered_trucks():
    # 29 CFR 1910.178(l)(4)(iii): an evaluation at least once every three years.
    rule = Rule("C2", valid_months=36)
    grant = event(1, "granted", "2026-08-31")
    assert stand(rule, [grant], on="2029-08-31").state is State.QUALIFIED
    assert stand(rule, [grant], on="2029-09-01").state is State.LAPSED


def test_without_a_term_a_grant_holds_with_no_end():
    # 29 CFR 1910.147(c)(7)(iii) knows no calendar end.
    answer = stand(Rule("A1"), [GRANT], on="2099-01-01")
    assert (answer.state, answer.until, answer.steady_until) == (State.QUALIFIED, None, None)


def test_a_grant_is_due_inside_the_notice_window():
    rule = Rule("E2", valid_months=60, notice_days=30)
    assert stand(rule, [GRANT], on="2029-01-29").state is State.QUALIFIED
    first = stand(rule, [GRANT], on="2029-01-30")
    assert (first.state, first.next_act) == (State.DUE, Act.RENEW)


def test_without_notice_nothing_is_ever_due():
    assert stand(Rule("E2", valid_months=60), [GRANT], on="2029-02-28").state is State.QUALIFIED


def test_a_grant_can_be_signed_for_less_than_the_rule_allows():
    grant = event(1, "granted", "2026-01-01", until_on=day("2026-06-30"))
    answer = stand(Rule("E2", valid_months=60), [grant], on="2026-07-01")
    assert (answer.state, answer.until) == (State.LAPSED, day("2026-06-30"))


def test_a_grant_does_not_hold_before_its_day():
    assert stand(Rule("A1"), [GRANT], on="2024-02-28").state is State.READY


# --- Practised or lost --------------------------------------------------------------------------------------------


PRACTISED = Rule("B1", valid_months=60, practised_every_months=6)
AUGUST = event(1, "granted", "2026-08-31")


def test_six_months_from_31_august_end_on_the_last_day_of_february():
    # ISO 9606-1 9.2: confirmed every 6 months.
    assert stand(PRACTISED, [AUGUST], on="2027-02-28").state is State.QUALIFIED
    assert stand(PRACTISED, [AUGUST], on="2027-03-01").state is State.LAPSED


def test_work_on_the_last_day_keeps_the_task():
    done = (day("2027-02-28"),)
    answer = stand(PRACTISED, [AUGUST], on="2027-08-28", work_done=done)
    assert (answer.state, answer.until) == (State.QUALIFIED, day("2027-08-28"))


def test_work_a_day_late_brings_nothing_back_whatever_the_end_date():
    # ISO 9606-1 9.2, ASME IX QW-322: missed once, it lapses, though the 60 months run on.
    answer = stand(PRACTISED, [AUGUST], on="2027-03-05", work_done=(day("2027-03-01"),))
    assert (answer.state, answer.until) == (State.LAPSED, day("2027-02-28"))
    assert "not done since it was signed on 31 August 2026, the rule says at least every 6 months" in answer.reasons[0]


def test_work_before_the_grant_does_not_count():
    assert stand(PRACTISED, [AUGUST], on="2027-02-28", work_done=(day("2026-08-01"),)).until == day("2027-02-28")


def test_work_done_later_does_not_change_how_it_looked_before():
    work = (day("2027-02-20"),)
    rule = dataclasses.replace(PRACTISED, notice_days=30)
    assert stand(rule, [AUGUST], on="2027-02-10", work_done=work).state is State.DUE
    assert stand(rule, [AUGUST], on="2027-02-20", work_done=work).state is State.QUALIFIED


def test_a_renewal_after_a_missed_day_begins_anew():
    renewal = event(2, "renewed", "2027-04-01")
    assert stand(PRACTISED, [AUGUST, renewal], on="2027-10-01").state is State.QUALIFIED
    assert stand(PRACTISED, [AUGUST, renewal], on="2027-10-02").state is State.LAPSED


# --- Long interruption (ISO 9712, 2005 text: over 1 year, or two or more spells of over 2 years together; under 30 days ignored)


AWAY = Rule("E1", valid_months=60, interruption=Interruption(12, 730, 30))


def away(*spells, on, grant="2024-01-01"):
    absences = tuple(Absence(day(first), day(last) if last else None) for first, last in spells)
    return stand(AWAY, [event(1, "granted", grant)], on=on, absences=absences)


def test_just_a_year_away_is_no_long_interruption():
    assert away(("2025-01-01", "2025-12-31"), on="2026-06-01").state is State.QUALIFIED


def test_a_day_over_a_year_away_is_one():
    answer = away(("2025-01-01", "2026-01-01"), on="2026-01-01")
    assert (answer.state, answer.until) == (State.LAPSED, day("2025-12-31"))
    assert away(("2025-01-01", "2026-01-01"), on="2025-12-31").state is State.QUALIFIED


def test_an_absence_with_no_end_yet_runs_out_by_itself():
    assert away(("2025-03-01", None), on="2026-02-28").state is State.QUALIFIED
    assert away(("2025-03-01", None), on="2026-03-01").state is State.LAPSED


def test_an_absence_of_29_days_is_ignored_and_one_of_30_counts():
    # Two spells of 365 and 337 days (702), then 29 or 30 more: only the 30 take the sum over 730, from day 732 - 1.
    long = [("2024-02-01", "2025-01-30"), ("2025-03-01", "2026-01-31")]
    assert away(*long, ("2026-03-01", "2026-03-29"), on="2026-06-01").state is State.QUALIFIED
    assert away(*long, ("2026-03-01", "2026-03-30"), on="2026-06-01").state is State.LAPSED


def test_the_day_on_which_spells_come_to_more_than_two_years_is_the_first_lapsed():
    # 365 days, then 364 (729 together): the second day of the third spell is the 731st.
    spells = [("2024-02-01", "2025-01-30"), ("2025-03-01", "2026-02-27"), ("2026-04-01", None)]
    assert (day("2025-01-30") - day("2024-02-01")).days + 1 + (day("2026-02-27") - day("2025-03-01")).days + 1 == 729
    assert away(*spells, on="2026-04-01").state is State.QUALIFIED
    answer = away(*spells, on="2026-04-02")
    assert (answer.state, answer.until) == (State.LAPSED, day("2026-04-01"))
    assert "more than 730 days in 3 spells" in answer.reasons[0]


def test_only_what_falls_after_the_grant_counts_as_away():
    assert away(("2023-01-01", "2024-06-30"), on="2025-01-01").state is State.QUALIFIED
    assert away(("2023-01-01", "2023-12-01"), on="2025-01-01").state is State.QUALIFIED


# --- Renewal window (ISO 9712 practice: 6 months before to 12 months after) ---------------------------------------------


WINDOW = Rule("E2", valid_months=60, renewal=RenewalWindow(6, 12), lessons=("align",))
READ = (Reading("align", day("2024-01-05"), True),)


@pytest.mark.parametrize(
    ("renewed_on", "counts"),
    [("2028-08-27", False), ("2028-08-28", True), ("2029-02-28", True), ("2030-02-28", True), ("2030-03-01", False)],
)
def test_a_renewal_counts_from_six_months_before_the_end_to_twelve_after(renewed_on, counts):
    answer = stand(WINDOW, [GRANT, event(2, "renewed", renewed_on)], on="2030-03-01", readings=READ)
    assert answer.state is (State.QUALIFIED if counts else State.LAPSED)
    assert counts != any("does not count" in reason for reason in answer.reasons)


def test_later_means_starting_again_with_fresh_evidence():
    within = stand(WINDOW, [GRANT], on="2030-02-28", readings=READ)
    assert (within.state, within.next_act, within.renew_by, within.missing) == (
        State.LAPSED,
        Act.RENEW,
        day("2030-02-28"),
        (),
    )
    after = stand(WINDOW, [GRANT], on="2030-03-01", readings=READ)
    assert (after.state, after.next_act, after.missing) == (State.LAPSED, Act.GRANT, ("lesson align read",))
    fresh = (*READ, Reading("align", day("2030-03-01"), True))
    again = stand(WINDOW, [GRANT], on="2030-03-02", readings=fresh)
    assert (again.state, again.missing) == (State.LAPSED, ())


def test_a_new_grant_after_starting_again_holds():
    events = [GRANT, event(2, "granted", "2031-01-01")]
    assert stand(WINDOW, events, on="2031-01-01").state is State.QUALIFIED


def test_a_renewal_of_nothing_does_not_count():
    answer = stand(WINDOW, [event(1, "renewed", "2026-01-01")])
    assert answer.state is State.NOT_STARTED
    assert "there was nothing to renew" in answer.reasons[-1]


def test_without_a_window_a_lapsed_task_can_be_renewed_at_any_time():
    rule = Rule("E2", valid_months=12)
    answer = stand(rule, [GRANT, event(2, "renewed", "2030-01-01")], on="2030-06-01")
    assert answer.state is State.QUALIFIED
    assert stand(rule, [GRANT], on="2030-06-01").next_act is Act.RENEW


def test_the_new_term_runs_from_the_day_of_renewal():
    answer = stand(WINDOW, [GRANT, event(2, "renewed", "2028-09-01")], on="2028-09-01")
    assert (answer.until, answer.reasons[0]) == (day("2033-09-01"), "Renewed on 1 September 2028 by person 2.")


# --- Refresher calls (29 CFR 1910.178(l)(4)(ii)) and a changed procedure ---------------------------------------------------


REFRESH = Rule("D1", refresher_days=14, notice_days=30)


def test_an_unsafe_act_makes_the_task_due_and_then_lapse():
    seen = (Occurrence(day("2026-05-01"), "unsafe act seen"),)
    assert stand(REFRESH, [GRANT], on="2026-04-30", occurrences=seen).state is State.QUALIFIED
    assert stand(REFRESH, [GRANT], on="2026-05-01", occurrences=seen).state is State.DUE
    assert stand(REFRESH, [GRANT], on="2026-05-14", occurrences=seen).state is State.DUE
    over = stand(REFRESH, [GRANT], on="2026-05-15", occurrences=seen)
    assert (over.state, over.next_act) == (State.LAPSED, Act.RENEW)


def test_with_no_days_allowed_the_task_lapses_that_very_day():
    rule = Rule("D1", refresher_days=0)
    assert (
        stand(rule, [GRANT], on="2026-05-01", occurrences=(Occurrence(day("2026-05-01"), "near miss"),)).state
        is State.LAPSED
    )


def test_only_a_renewal_on_a_later_day_answers_a_call():
    seen = (Occurrence(day("2026-05-01"), "near miss"),)
    same = [GRANT, event(2, "renewed", "2026-05-01")]
    later = [GRANT, event(2, "renewed", "2026-05-02")]
    assert stand(REFRESH, same, on="2026-06-01", occurrences=seen).state is State.LAPSED
    assert stand(REFRESH, later, on="2026-06-01", occurrences=seen).state is State.QUALIFIED


def test_a_rule_that_does_not_ask_for_refreshers_is_left_alone():
    assert (
        stand(Rule("A1"), [GRANT], occurrences=(Occurrence(day("2026-05-01"), "near miss"),)).state is State.QUALIFIED
    )


def test_a_major_revision_makes_holders_due_after_the_grace_time():
    rule = Rule("D1", revision_grace_days=60, notice_days=30)
    changed = (MajorRevision(3, day("2026-01-01")),)
    assert stand(rule, [GRANT], on="2026-03-02", major_revisions=changed).state is State.QUALIFIED  # day 60 of grace
    assert stand(rule, [GRANT], on="2026-03-03", major_revisions=changed).state is State.DUE
    assert stand(rule, [GRANT], on="2026-04-01", major_revisions=changed).state is State.DUE
    assert stand(rule, [GRANT], on="2026-04-02", major_revisions=changed).state is State.LAPSED
    renewed = [GRANT, event(2, "renewed", "2026-03-10")]
    assert stand(rule, renewed, on="2026-04-02", major_revisions=changed).state is State.QUALIFIED


def test_a_revision_before_the_grant_or_one_the_rule_does_not_ask_about_changes_nothing():
    changed = (MajorRevision(2, day("2024-02-28")),)
    assert stand(Rule("D1", revision_grace_days=0), [GRANT], major_revisions=changed).state is State.QUALIFIED
    assert stand(Rule("D1"), [GRANT], major_revisions=(MajorRevision(3, day("2026-01-01")),)).state is State.QUALIFIED


def test_a_lesson_changed_since_is_named_while_the_task_is_held():
    rule = Rule("B4", lessons=("caps",))
    answer = stand(rule, [GRANT], readings=(Reading("caps", day("2024-01-01"), False),))
    assert (answer.state, answer.missing) == (State.QUALIFIED, ("lesson caps read again: it has changed since",))


# --- Other tasks while held ---------------------------------------------------------------------------------------------------


FIRST = Rule("B4", valid_months=60, notice_days=30, tasks_first=("B1",))


def test_a_task_lapses_with_the_one_that_must_be_held_first():
    gone = Standing(State.SUSPENDED, ("stopped",), steady_until=day("2026-12-31"))
    answer = stand(FIRST, [GRANT], other_tasks={"B1": gone})
    assert (answer.state, answer.reasons) == (State.LAPSED, ("B1 must be held first and is: suspended.",))
    assert (answer.missing, answer.next_act, answer.steady_until) == (("B1 held again",), None, day("2026-12-31"))
    assert stand(FIRST, [GRANT]).reasons == ("B1 must be held first and is: unknown.",)


def test_a_task_is_due_when_the_one_before_it_ends_soon():
    soon = Standing(State.QUALIFIED, ("held",), until=day("2026-12-01"), steady_until=day("2026-12-01"))
    answer = stand(FIRST, [GRANT], other_tasks={"B1": soon})
    assert (answer.state, answer.until) == (State.DUE, day("2026-12-01"))
    assert "Ends on 1 December 2026 with a task that must be held first." in answer.reasons


def test_restrictions_on_the_task_before_go_along():
    bound = dataclasses.replace(HELD, restrictions=("under supervision",))
    passed_on = stand(FIRST, [GRANT], other_tasks={"B1": bound}).restrictions
    assert passed_on == ("from B1: under supervision",)
    again = stand(
        Rule("C1", tasks_first=("B4",)), [GRANT], other_tasks={"B4": dataclasses.replace(HELD, restrictions=passed_on)}
    )
    assert again.restrictions == passed_on


# --- Suspension, withdrawal, restriction, correction ---------------------------------------------------------------------------


def test_a_suspension_stops_at_once_and_ends_with_a_reinstatement():
    events = [GRANT, event(2, "suspended", "2026-05-01", reason="Gauge left in."), event(3, "reinstated", "2026-06-01")]
    stopped = stand(Rule("D1"), events, on="2026-05-01")
    assert (stopped.state, stopped.next_act) == (State.SUSPENDED, Act.REINSTATE)
    assert stopped.reasons == ("Suspended from 1 May 2026: Gauge left in.",)
    assert stopped.steady_until == day("2026-05-31")
    assert stand(Rule("D1"), events, on="2026-04-30").state is State.QUALIFIED
    assert stand(Rule("D1"), events, on="2026-06-01").state is State.QUALIFIED


def test_a_day_to_look_again_does_not_end_a_suspension():
    events = [GRANT, event(2, "suspended", "2026-05-01", until_on=day("2026-05-10"))]
    answer = stand(Rule("D1"), events)
    assert answer.state is State.SUSPENDED
    assert "To be looked at again by 10 May 2026." in answer.reasons[0]


def test_a_suspension_entered_after_a_reinstatement_is_not_ended_by_it():
    events = [
        GRANT,
        event(2, "suspended", "2026-05-01"),
        event(3, "reinstated", "2026-06-01"),
        event(4, "suspended", "2026-05-15"),
    ]
    assert stand(Rule("D1"), events).state is State.SUSPENDED


def test_a_reinstatement_for_a_day_before_the_suspension_does_not_end_it():
    events = [GRANT, event(2, "suspended", "2026-05-10"), event(3, "reinstated", "2026-05-01")]
    assert stand(Rule("D1"), events).state is State.SUSPENDED


def test_a_new_grant_does_not_end_a_suspension():
    events = [GRANT, event(2, "suspended", "2026-05-01"), event(3, "granted", "2026-06-01")]
    assert stand(Rule("D1"), events).state is State.SUSPENDED


def test_a_learner_can_be_suspended_too():
    assert stand(Rule("D1"), [event(1, "suspended", "2026-05-01")]).state is State.SUSPENDED


def test_what_is_withdrawn_takes_fresh_evidence_and_a_new_grant():
    rule = Rule("D1", lessons=("trip",))
    old = (Reading("trip", day("2024-01-01"), True),)
    events = [GRANT, event(2, "withdrawn", "2026-05-01", reason="Left the job.")]
    answer = stand(rule, events, readings=old)
    assert (answer.state, answer.missing, answer.next_act) == (State.WITHDRAWN, ("lesson trip read",), Act.GRANT)
    assert answer.reasons == ("Withdrawn on 1 May 2026: Left the job.",)
    assert stand(rule, [*events, event(3, "granted", "2026-06-01")], readings=old).state is State.QUALIFIED


def test_a_withdrawal_ends_every_grant_entered_or_effective_before_it():
    later_day = [event(1, "granted", "2026-06-01"), event(2, "withdrawn", "2026-05-01")]
    assert stand(Rule("D1"), later_day).state is State.WITHDRAWN
    entered_later = [event(1, "withdrawn", "2026-05-01"), event(2, "granted", "2026-04-01")]
    assert stand(Rule("D1"), entered_later).state is State.WITHDRAWN


def test_a_restriction_goes_along_until_it_is_lifted():
    events = [
        GRANT,
        event(2, "restricted", "2026-05-01", restriction="this machine type only"),
        event(3, "restriction lifted", "2026-06-01", about=2),
    ]
    bound = stand(Rule("E2"), events, on="2026-05-31")
    assert (bound.state, bound.restrictions) == (State.QUALIFIED, ("this machine type only",))
    assert stand(Rule("E2"), events, on="2026-06-01").restrictions == ()


def test_a_correction_voids_and_a_corrected_correction_gives_back():
    stopped = event(2, "suspended", "2026-05-01")
    undone = event(3, "correction", "2026-05-02", about=2)
    redone = event(4, "correction", "2026-05-03", about=3)
    assert stand(Rule("D1"), [GRANT, stopped, undone]).state is State.QUALIFIED
    assert stand(Rule("D1"), [GRANT, stopped, undone], on="2026-05-01").state is State.QUALIFIED
    assert stand(Rule("D1"), [GRANT, stopped, undone, redone]).state is State.SUSPENDED
    assert voided([GRANT, stopped, undone, redone]) == {3}
    assert in_force([undone, stopped, GRANT]) == [GRANT]


def test_a_correction_of_something_that_comes_later_voids_nothing():
    assert voided([event(1, "correction", "2026-01-01", about=2), event(2, "granted", "2026-01-01")]) == set()


# --- Who signed ------------------------------------------------------------------------------------------------------------------


def test_a_grant_signed_by_the_person_does_not_count():
    answer = stand(Rule("A1"), [event(1, "granted", "2026-01-01", by=ME)])
    assert answer.state is State.READY
    assert "nobody signs for themself" in answer.reasons[-1]


TWO = Rule("D1", valid_months=12, second_signature=True)


def test_on_a_critical_task_a_grant_waits_for_a_second_signature():
    events = [event(1, "granted", "2026-01-10", signed_name="M. Oduya")]
    waits = stand(TWO, events, on="2026-02-01")
    assert (waits.state, waits.next_act, waits.awaits_countersign) == (State.READY, Act.COUNTERSIGN, 1)
    assert waits.reasons == ("Waits for a second signature: granted on 10 January 2026 by M. Oduya.",)
    signed = [*events, event(2, "countersigned", "2026-02-01", about=1, by=SECOND)]
    held = stand(TWO, signed, on="2026-02-01")
    assert (held.state, held.until) == (State.QUALIFIED, day("2027-01-10"))
    assert stand(TWO, signed, on="2026-01-31").state is State.READY


@pytest.mark.parametrize("by", [BOSS, ME])
def test_the_second_signature_is_a_third_persons(by):
    events = [event(1, "granted", "2026-01-10"), event(2, "countersigned", "2026-01-11", about=1, by=by)]
    assert stand(TWO, events).state is State.READY


def test_a_renewal_that_waits_leaves_the_old_term_as_it_is():
    events = [
        event(1, "granted", "2026-01-10"),
        event(2, "countersigned", "2026-01-10", about=1, by=SECOND),
        event(3, "renewed", "2026-12-20"),
    ]
    waits = stand(TWO, events, on="2026-12-31")
    assert (waits.state, waits.until, waits.next_act) == (State.QUALIFIED, day("2027-01-10"), Act.COUNTERSIGN)
    over = stand(TWO, events, on="2027-01-11")
    assert (over.state, over.next_act, over.awaits_countersign) == (State.LAPSED, Act.COUNTERSIGN, 3)
    signed = [*events, event(4, "countersigned", "2027-01-15", about=3, by=SECOND)]
    assert stand(TWO, signed, on="2027-01-14").state is State.LAPSED
    assert stand(TWO, signed, on="2027-01-15").until == day("2027-12-20")


def test_a_new_grant_after_a_withdrawal_waits_as_well():
    events = [event(1, "granted", "2026-01-10"), event(2, "withdrawn", "2026-02-01"), event(3, "granted", "2026-03-01")]
    answer = stand(TWO, events)
    assert (answer.state, answer.next_act) == (State.WITHDRAWN, Act.COUNTERSIGN)


SIGNING = {"signer": BOSS, "person": ME, "roles": {"supervisor"}, "own": HELD, "is_named": False}


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({}, None),
        ({"signer": ME}, "Nobody signs for themself."),
        ({"roles": {"instructor"}}, "A1 is signed by: assessor, supervisor."),
        ({"own": Standing(State.LAPSED, ())}, "You are: lapsed."),
        ({"own": Standing(State.LAPSED, ()), "is_named": True}, None),
        ({"own": Standing(State.DUE, ())}, None),
        ({"own": dataclasses.replace(HELD, restrictions=("under supervision",))}, "under a restriction"),
        ({"signer": ME, "is_named": True}, "Nobody signs for themself."),
    ],
)
def test_who_may_sign(changes, says):
    refused = refusal_to_sign(Rule("A1"), **{**SIGNING, **changes})
    assert refused is None if says is None else says in refused


# --- What holds for every line of events ---------------------------------------------------------------------------------------------


DAYS = st.dates(dt.date(2025, 1, 1), dt.date(2028, 12, 31))
PEOPLE = st.integers(1, 4)
RULES = st.builds(
    Rule,
    task=st.just("B4"),
    valid_months=st.none() | st.integers(1, 24),
    notice_days=st.integers(0, 90),
    practised_every_months=st.none() | st.integers(1, 12),
    tasks_first=st.sampled_from([(), ("B1",)]),
    lessons=st.sampled_from([(), ("caps",)]),
    mastery=st.none() | st.just(DRILLS),
    revision_grace_days=st.none() | st.integers(0, 60),
    interruption=st.none() | st.just(Interruption(2, 100, 10)),
    renewal=st.none() | st.builds(RenewalWindow, st.integers(0, 6), st.integers(0, 12)),
    refresher_days=st.none() | st.integers(0, 30),
    second_signature=st.booleans(),
)


@st.composite
def lines(draw):
    kinds = draw(st.lists(st.sampled_from(list(Kind)), max_size=8))
    events = []
    for sequence, kind in enumerate(kinds, start=1):
        about = (
            draw(st.integers(1, max(1, sequence - 1)))
            if kind in {Kind.COUNTERSIGNED, Kind.RESTRICTION_LIFTED, Kind.CORRECTION}
            else None
        )
        restriction = "under supervision" if kind is Kind.RESTRICTED else ""
        events.append(
            Event(sequence, kind, draw(DAYS), draw(PEOPLE), about, restriction, draw(st.none() | DAYS), "so.")
        )
    return events


@st.composite
def absences(draw):
    first, last = draw(DAYS), draw(st.none() | DAYS)
    return Absence(first, None if last is None else max(first, last))


@st.composite
def others(draw):
    """Another task that holds for good or never did, so that it is no reason for a change from day to day."""
    return {"B1": Standing(draw(st.sampled_from([State.QUALIFIED, State.LAPSED])), ("so",))}


EVIDENCE = st.builds(
    Evidence,
    person=st.just(ME),
    work_done=st.lists(DAYS, max_size=5).map(tuple),
    readings=st.lists(st.builds(Reading, st.just("caps"), DAYS, st.booleans()), max_size=2).map(tuple),
    results=st.lists(st.builds(Result, DAYS, st.booleans(), st.booleans()), max_size=12).map(
        lambda each: tuple(sorted(each, key=lambda r: r.on))
    ),
    absences=st.lists(absences(), max_size=3).map(tuple),
    occurrences=st.lists(st.builds(Occurrence, DAYS, st.just("near miss")), max_size=1).map(tuple),
    major_revisions=st.lists(st.builds(MajorRevision, st.just(2), DAYS), max_size=1).map(tuple),
    other_tasks=others(),
)


@given(RULES, lines(), EVIDENCE, DAYS)
def test_a_suspended_person_is_never_qualified(rule, events, evidence, on):
    if suspension(in_force(events), on):
        assert standing(rule, events, evidence, on).state is State.SUSPENDED


@given(RULES, lines(), EVIDENCE, DAYS, st.integers(1, 400))
def test_a_later_day_brings_nothing_back_without_an_event(rule, events, evidence, on, further):
    later = on + dt.timedelta(days=further)
    assume(not any(on < each.effective_on <= later for each in events))
    if not standing(rule, events, evidence, on).state.holds:
        assert not standing(rule, events, evidence, later).state.holds


@given(RULES, lines(), EVIDENCE, DAYS)
def test_whoever_holds_a_task_holds_it_at_least_to_that_day(rule, events, evidence, on):
    answer = standing(rule, events, evidence, on)
    assert not answer.state.holds or answer.until is None or answer.until >= on


@given(RULES, lines(), EVIDENCE, DAYS)
def test_nobody_holds_a_task_without_a_grant_signed_by_another(rule, events, evidence, on):
    if standing(rule, events, evidence, on).state.holds:
        assert any(each.kind is Kind.GRANTED and each.by != ME and each.effective_on <= on for each in in_force(events))


@given(RULES, lines(), EVIDENCE, DAYS)
def test_evidence_from_after_the_day_changes_nothing_but_how_long_the_answer_is_good(rule, events, evidence, on):
    later = on + dt.timedelta(days=1)
    more = dataclasses.replace(
        evidence,
        work_done=(*evidence.work_done, later),
        readings=(*evidence.readings, Reading("caps", later, True)),
        results=(*evidence.results, Result(later, False, True)),
        absences=(*evidence.absences, Absence(later)),
        occurrences=(*evidence.occurrences, Occurrence(later, "near miss")),
        major_revisions=(*evidence.major_revisions, MajorRevision(9, later)),
    )
    before, after = standing(rule, events, evidence, on), standing(rule, events, more, on)
    assert dataclasses.replace(after, steady_until=None) == dataclasses.replace(before, steady_until=None)


@given(RULES, lines(), EVIDENCE, DAYS)
def test_evidence_that_the_rule_does_not_ask_for_changes_nothing(rule, events, evidence, on):
    more = dataclasses.replace(
        evidence,
        readings=(*evidence.readings, Reading("of another task", dt.date(2025, 1, 1), True)),
        other_tasks={**evidence.other_tasks, "F2": Standing(State.SUSPENDED, ("stopped",))},
    )
    before, after = standing(rule, events, evidence, on), standing(rule, events, more, on)
    assume(
        before.state not in {State.NOT_STARTED, State.IN_TRAINING}
    )  # a first reading of any lesson begins a training
    assert dataclasses.replace(after, steady_until=None) == dataclasses.replace(before, steady_until=None)


@given(RULES, lines(), EVIDENCE, DAYS, st.data())
def test_a_correction_leaves_what_would_stand_without_the_entry(rule, events, evidence, on, data):
    plain = [each for each in events if each.kind is not Kind.CORRECTION]
    assume(plain)
    wrong = data.draw(st.sampled_from(plain))
    correction = Event(99, Kind.CORRECTION, data.draw(DAYS), BOSS, wrong.sequence)
    without = [each for each in plain if each is not wrong]
    assert standing(rule, [*plain, correction], evidence, on) == standing(rule, without, evidence, on)


@given(RULES, lines(), EVIDENCE, DAYS, st.integers(0, 500))
def test_an_answer_stays_true_word_for_word_as_long_as_it_says(rule, events, evidence, on, further):
    answer = standing(rule, events, evidence, on)
    later = on + dt.timedelta(days=further)
    assume(answer.steady_until is None or later <= answer.steady_until)
    again = standing(rule, events, evidence, later)
    assert dataclasses.replace(again, steady_until=None) == dataclasses.replace(answer, steady_until=None)


@given(RULES, lines(), EVIDENCE, DAYS)
def test_the_order_in_which_events_are_handed_over_does_not_matter(rule, events, evidence, on):
    assert standing(rule, events, evidence, on) == standing(rule, events[::-1], evidence, on)


@given(RULES, lines(), EVIDENCE, DAYS)
def test_a_further_suspension_or_withdrawal_never_lets_anybody_work(rule, events, evidence, on):
    for kind in (Kind.SUSPENDED, Kind.WITHDRAWN):
        stop = Event(len(events) + 1, kind, on, BOSS, reason="stop.")
        assert not standing(rule, [*events, stop], evidence, on).state.holds
