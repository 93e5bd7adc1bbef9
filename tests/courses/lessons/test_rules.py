from __future__ import annotations

import pytest

from courses.lessons.rules import has_changed_majorly


@pytest.mark.parametrize(
    ("read", "majors", "changed"),
    [
        (1, [], False),
        (1, [1], False),  # the major one is the one that was read
        (1, [2], True),
        (2, [1, 2], False),
        (2, [1, 3], True),
        (5, [4], False),
    ],
)
def test_only_a_major_revision_after_the_one_read_counts(read, majors, changed):
    assert has_changed_majorly(read, majors) is changed
