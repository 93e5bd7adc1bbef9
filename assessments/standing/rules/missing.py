"""What a signature still waits for: tasks that come first, lessons, drill mastery."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from assessments.standing.mastery import Answer, Progress, walk
from assessments.standing.rules.values import Evidence, Result, Rule


def missing_for_grant(rule: Rule, seen: Evidence, since: date | None) -> tuple[str, ...]:
    """What the rule asks before a grant and is not there; with ``since``, only later evidence counts."""
    return (*tasks_missing(rule, seen), *lessons_missing(rule, seen, since), *_mastery_missing(rule, seen, since))


def tasks_missing(rule: Rule, seen: Evidence) -> Iterable[str]:
    """Tasks that must be held first and are not."""
    for code in rule.tasks_first:
        other = seen.other_tasks.get(code)
        if other is None or not other.state.holds:
            yield f"{code} held first (now: {other.state if other else 'unknown'})"


def lessons_missing(rule: Rule, seen: Evidence, since: date | None) -> Iterable[str]:
    """Lessons not read, or changed since."""
    for lesson in rule.lessons:
        counted = [each for each in seen.readings if each.lesson == lesson and (since is None or each.read_on > since)]
        if not counted:
            yield f"lesson {lesson} read"
        elif not any(each.is_current for each in counted):
            yield f"lesson {lesson} read again: it has changed since"


def mastery_progress(rule: Rule, results: Iterable[Result], since: date | None = None) -> Progress | None:
    """The learner's series of the sequential test; None where the rule asks for none."""
    if rule.mastery is None:
        return None
    counted = (
        Answer(result.is_right, result.is_unsafe, result.scenario)
        for result in results
        if since is None or result.on > since
    )
    return walk(rule.mastery, counted, rule.scenarios_least or 1)


def scenarios_short(rule: Rule, progress: Progress) -> int:
    """From how many further scenarios right drills are wanted in the last series."""
    return max(0, (rule.scenarios_least or 0) - progress.last.scenarios)


def _mastery_missing(rule: Rule, seen: Evidence, since: date | None) -> Iterable[str]:
    progress = mastery_progress(rule, seen.results, since)
    if progress is None or rule.mastery is None or progress.has_passed:
        return
    run = progress.last
    needed = rule.mastery.right_still_needed(run.right, len(run.answers))
    again = f" (series {len(progress.series)})" if progress.runs > 1 else ""
    yield f"drill mastery: {run.right} right of {len(run.answers)} in this series, {_still_wanted(rule, progress, needed)}{again}"


def _still_wanted(rule: Rule, progress: Progress, needed: int) -> str:
    short = scenarios_short(rule, progress)
    scenarios = f"right drills from {short} more scenario{'' if short == 1 else 's'}"
    if needed == 0:
        return f"{scenarios} wanted"
    return f"{needed} more right in a row would do" + (f", with {scenarios}" if short else "")
