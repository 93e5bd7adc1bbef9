"""The rules of the tasks, who is named to sign, and the table that answers the everyday question."""

from __future__ import annotations

from typing import Any, ClassVar

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from assessments.standing import rules
from assessments.standing.mastery import SequentialTest
from courses.tasks.models import Task

MASTERY = ("p_non_master", "p_master", "false_pass", "false_fail", "most_drills")
RENEWAL = ("renew_months_before", "renew_months_after")
INTERRUPTION = ("interruption_stretch_months", "interruption_total_days", "interruption_ignore_under_days")


def _all_or_none(columns: tuple[str, ...], **when_there: Any) -> Q:
    """Either none of the columns says anything or all do. A comparison with an empty column alone would let it through."""
    there = Q(**{f"{column}__isnull": False for column in columns}) & Q(**when_there)
    return Q(**{f"{column}__isnull": True for column in columns}) | there


class TaskRule(models.Model):
    """One revision of a task's rule. Never changed: the database refuses it (migration 0002); a change is a new revision.

    An empty field means that this is not asked.
    """

    task = models.ForeignKey(Task, on_delete=models.PROTECT, related_name="rules")
    number = models.PositiveIntegerField()
    effective_on = models.DateField()
    reason = models.TextField(help_text="Why the rule says this.")
    entered_at = models.DateTimeField()
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    valid_months = models.PositiveSmallIntegerField(null=True, blank=True)
    notice_days = models.PositiveSmallIntegerField(default=0)
    practised_every_months = models.PositiveSmallIntegerField(null=True, blank=True)
    tasks_first = models.JSONField(default=list, blank=True)
    lessons = models.JSONField(default=list, blank=True)
    p_non_master = models.FloatField(null=True, blank=True)
    p_master = models.FloatField(null=True, blank=True)
    false_pass = models.FloatField(null=True, blank=True)
    false_fail = models.FloatField(null=True, blank=True)
    most_drills = models.PositiveSmallIntegerField(null=True, blank=True)
    scenarios_least = models.PositiveSmallIntegerField(null=True, blank=True)
    revision_grace_days = models.PositiveSmallIntegerField(null=True, blank=True)
    interruption_stretch_months = models.PositiveSmallIntegerField(null=True, blank=True)
    interruption_total_days = models.PositiveSmallIntegerField(null=True, blank=True)
    interruption_ignore_under_days = models.PositiveSmallIntegerField(null=True, blank=True)
    renew_months_before = models.PositiveSmallIntegerField(null=True, blank=True)
    renew_months_after = models.PositiveSmallIntegerField(null=True, blank=True)
    refresher_days = models.PositiveSmallIntegerField(null=True, blank=True)
    second_signature = models.BooleanField(default=False)
    signed_by_roles = models.JSONField(default=list)

    class Meta:
        ordering: ClassVar = ["task", "number"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["task", "number"], name="standing_rule_number_once"),
            models.CheckConstraint(condition=Q(number__gte=1), name="standing_rule_from_one"),
            models.CheckConstraint(
                condition=_all_or_none(
                    MASTERY, p_non_master__gt=0, p_master__gt=F("p_non_master"), p_master__lt=1, false_pass__gt=0, false_fail__gt=0
                ),
                name="standing_rule_mastery_whole",
            ),
            models.CheckConstraint(
                condition=Q(scenarios_least=None)
                | Q(scenarios_least__gte=1, most_drills__isnull=False, most_drills__gte=F("scenarios_least")),
                name="standing_rule_scenarios_within_drills",
            ),
            models.CheckConstraint(condition=_all_or_none(RENEWAL), name="standing_rule_window_whole"),
            models.CheckConstraint(
                condition=_all_or_none(INTERRUPTION, interruption_stretch_months__gte=1, interruption_total_days__gte=1),
                name="standing_rule_interruption_whole",
            ),
        ]  # fmt: skip

    def __str__(self) -> str:
        return f"{self.task.code} rule {self.number}"

    @property
    def rule(self) -> rules.Rule:
        """The row as the value that the rules work with (reads ``task``)."""
        mastery, renewal, interruption = (
            [getattr(self, column) for column in columns] for columns in (MASTERY, RENEWAL, INTERRUPTION)
        )
        return rules.Rule(
            task=self.task.code,
            valid_months=self.valid_months,
            notice_days=self.notice_days,
            practised_every_months=self.practised_every_months,
            tasks_first=tuple(self.tasks_first),
            lessons=tuple(self.lessons),
            mastery=None if None in mastery else SequentialTest(*mastery),
            scenarios_least=self.scenarios_least,
            revision_grace_days=self.revision_grace_days,
            interruption=None if None in interruption else rules.Interruption(*interruption),
            renewal=None if None in renewal else rules.RenewalWindow(*renewal),
            refresher_days=self.refresher_days,
            second_signature=self.second_signature,
            signed_by_roles=tuple(self.signed_by_roles),
        )


class Signatory(models.Model):
    """A person named to sign for a task without holding it. ``ended_on`` is the first day without that right."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="signs_for")
    task = models.ForeignKey(Task, on_delete=models.PROTECT, related_name="signatories")
    named_on = models.DateField()
    named_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    named_at = models.DateTimeField()
    reason = models.TextField()
    ended_on = models.DateField(null=True, blank=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    end_reason = models.TextField(blank=True)

    class Meta:
        ordering: ClassVar = ["task", "person", "named_on"]
        verbose_name_plural = "signatories"
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["person", "task"], condition=Q(ended_on=None), name="standing_signatory_named_once"
            ),
            models.CheckConstraint(condition=~Q(named_by=F("person")), name="standing_signatory_never_by_oneself"),
            models.CheckConstraint(
                condition=Q(ended_on=None) | Q(ended_on__gte=F("named_on")),
                name="standing_signatory_ends_after_it_began",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person} signs for {self.task.code}"


class CurrentStanding(models.Model):
    """Where a person stands with a task, as last worked out. True from ``from_on`` to ``until_on`` (open: until something is entered).

    It holds nothing of its own: `standing_rebuild` makes it anew from events and evidence, `standing_verify` proves that
    they agree. Which of the states before a grant a learner is in moves with every drill and is not kept up here.
    """

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="standings")
    task = models.ForeignKey(Task, on_delete=models.CASCADE, related_name="standings")
    state = models.CharField(max_length=20, choices=[(state.value, state.value) for state in rules.State])
    reasons = models.JSONField(default=list)
    restrictions = models.JSONField(default=list, blank=True)
    from_on = models.DateField()
    until_on = models.DateField(null=True, blank=True)
    holds_until = models.DateField(null=True, blank=True)
    computed_at = models.DateTimeField()

    class Meta:
        ordering: ClassVar = ["person", "task"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["person", "task"], name="standing_current_once"),
            models.CheckConstraint(
                condition=Q(state__in=[state.value for state in rules.State]), name="standing_current_state_known"
            ),
        ]
        indexes: ClassVar = [
            models.Index(fields=["task", "state", "from_on", "until_on", "person"], name="standing_current_everyday"),
        ]

    def __str__(self) -> str:
        return f"{self.person} {self.task.code}: {self.state}"


GUARDED_TABLES: dict[str, tuple[tuple[str, ...], ...]] = {"standing_taskrule": (("task_id", "number"),)}
