from __future__ import annotations

from pathlib import Path

import pytest

from courses.tasks.content import TaskListError, read_tasks
from tests.courses.tasks.test_rules import JOB

DEMO = Path(__file__).parents[3] / "fixtures_demo" / "tasks.toml"


def write(folder, text):
    path = folder / "list.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_the_demo_list_is_the_order_of_work_of_the_job():
    drafts = read_tasks(DEMO)

    assert {draft.code: draft.after for draft in drafts} == JOB
    assert {draft.code for draft in drafts if draft.is_critical} == {"A1", "B2", "C2", "D1", "F1", "F2"}


@pytest.mark.parametrize(
    ("text", "where", "reason"),
    [
        ("[[task]", "as a whole", "line 1"),
        ('[[task]]\ntitle = "x"\nshort_title = "x"', "task 1 (no code)", "code is missing."),
        ('[[task]]\ncode = "A1"\nshort_title = "x"', "task 1 (A1)", "title is missing."),
        ('[[task]]\ncode = "A1"\ntitle = "x"\nshort_title = "x"\nfter = []', "task 1 (A1)", "There is no field fter."),
        ('[[task]]\ncode = "A1"\ntitle = 3\nshort_title = "x"', "task 1 (A1)", "title has the wrong kind of value."),
    ],
)
def test_a_list_that_cannot_be_read_says_where_and_why(tmp_path, text, where, reason):
    with pytest.raises(TaskListError) as caught:
        read_tasks(write(tmp_path, text))

    assert caught.value.file == "list.toml"
    assert caught.value.where == where
    assert reason in caught.value.reason
