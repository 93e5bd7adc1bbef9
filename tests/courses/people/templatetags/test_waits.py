from __future__ import annotations

import datetime as dt

import pytest

from courses.people.templatetags.waits import in_minutes


@pytest.mark.parametrize(
    ("seconds", "words"), [(600, "10 minutes"), (1, "1 minute"), (60, "1 minute"), (61, "2 minutes"), (0, "1 minute")]
)
def test_a_wait_is_told_in_whole_minutes_rounded_up(seconds, words):
    assert in_minutes(dt.timedelta(seconds=seconds)) == words
