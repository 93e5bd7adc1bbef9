from __future__ import annotations

import stat

from courses.signing_key import FILE_NAME, keep_key, kept_or_passing_key


def test_without_a_kept_key_each_call_gives_another(tmp_path):
    assert kept_or_passing_key(tmp_path) != kept_or_passing_key(tmp_path)
    assert not list(tmp_path.iterdir())


def test_a_key_once_kept_stays_the_same(tmp_path):
    keep_key(tmp_path)
    first = kept_or_passing_key(tmp_path)
    keep_key(tmp_path)

    assert kept_or_passing_key(tmp_path) == first
    assert len(first) >= 50


def test_a_kept_key_is_its_owners_alone(tmp_path):
    keep_key(tmp_path)

    assert stat.S_IMODE((tmp_path / FILE_NAME).stat().st_mode) == 0o600
