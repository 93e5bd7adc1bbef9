"""The rules of the tasks, and who is named to sign."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.db import transaction

from assessments.standing import errors
from assessments.standing.dossiers import in_order
from assessments.standing.loading import load_book
from assessments.standing.models import Signatory, TaskRule
from assessments.standing.rules import Rule
from assessments.standing.services.table import refresh_people
from courses.people.models import Person
from courses.people.roles import Role
from courses.tasks.models import Task

if TYPE_CHECKING:
    from datetime import date, datetime

    from assessments.standing.dossiers import Rulebook


@transaction.atomic
def issue_rule(*, task: Task, rule: Rule, effective_on: date, by: Person, reason: str, at: datetime) -> TaskRule:
    """Issue the next revision of a task's rule, and work out everybody's standing anew.

    Raises ``NotAuthorisedError`` unless ``by`` supervises or administers, ``OutOfOrderError`` if an earlier revision takes effect later,
    ``RuleLoopError`` if on any day from then on tasks would each ask for the other first, ``ValidationError`` for a task or lesson that does not exist.
    """
    if not by.has_role(Role.SUPERVISOR, Role.ADMINISTRATOR):
        raise errors.NotAuthorisedError("A supervisor or an administrator issues rules.")
    Task.objects.select_for_update().get(pk=task.pk)
    last = TaskRule.objects.filter(task=task).order_by("-number").first()
    if last and effective_on < last.effective_on:
        raise errors.OutOfOrderError(last.effective_on)
    row = TaskRule(
        task=task,
        number=last.number + 1 if last else 1,
        effective_on=effective_on,
        reason=reason.strip(),
        entered_at=at,
        entered_by=by,
        **_columns(rule),
    )
    row.full_clean()
    unknown = set(rule.tasks_first) - set(Task.objects.filter(code__in=rule.tasks_first).values_list("code", flat=True))
    if unknown:
        raise errors.StandingError(f"There is no task {', '.join(sorted(unknown))}.")
    row.save(force_insert=True)
    _check_no_loop(load_book(), effective_on)
    refresh_people(people=Person.objects.filter(standings__isnull=False).distinct(), at=at)
    return row


def _check_no_loop(book: Rulebook, first: date) -> None:
    """From the rule's first day on, on every day on which any rule takes effect. Raises ``RuleLoopError``."""
    starts = {each.effective_on for issued in book.issued.values() for each in issued}
    for day in sorted({first, *(start for start in starts if start > first)}):
        in_order(book, day)


def _columns(rule: Rule) -> dict[str, Any]:
    """The rule as the columns of its row."""
    columns: dict[str, Any] = {
        "valid_months": rule.valid_months,
        "notice_days": rule.notice_days,
        "practised_every_months": rule.practised_every_months,
        "tasks_first": list(rule.tasks_first),
        "lessons": list(rule.lessons),
        "revision_grace_days": rule.revision_grace_days,
        "refresher_days": rule.refresher_days,
        "scenarios_least": rule.scenarios_least,
        "second_signature": rule.second_signature,
        "signed_by_roles": list(rule.signed_by_roles),
    }
    if rule.mastery:
        columns |= {
            "p_non_master": rule.mastery.p_non_master,
            "p_master": rule.mastery.p_master,
            "false_pass": rule.mastery.false_pass,
            "false_fail": rule.mastery.false_fail,
            "most_drills": rule.mastery.most,
        }
    if rule.interruption:
        columns |= {
            "interruption_stretch_months": rule.interruption.stretch_months,
            "interruption_total_days": rule.interruption.total_days,
            "interruption_ignore_under_days": rule.interruption.ignore_under_days,
        }
    if rule.renewal:
        columns |= {
            "renew_months_before": rule.renewal.months_before,
            "renew_months_after": rule.renewal.months_after,
        }
    return columns


@transaction.atomic
def name_signatory(*, person: Person, task: Task, by: Person, reason: str, on: date, at: datetime) -> Signatory:
    """Name a person to sign for a task that they need not hold."""
    if by.pk == person.pk or not by.has_role(Role.SUPERVISOR, Role.ADMINISTRATOR):
        raise errors.NotAuthorisedError("A supervisor or an administrator names who signs, never themself.")
    row = Signatory(person=person, task=task, named_on=on, named_by=by, named_at=at, reason=reason.strip())
    row.full_clean()
    row.save()
    return row
