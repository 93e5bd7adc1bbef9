from __future__ import annotations

import math

from courses.management.commands.bench import benches, line
from tests.benches.figure import Figure


def test_a_figure_over_its_limit_is_told():
    figure = Figure(name="drill page: p50", ratio=10.4, limit=10, detail="8 ms against 0.8 ms")

    assert figure.is_over
    assert "OVER" in line(figure)
    assert "10.40" in line(figure)


def test_a_figure_at_its_limit_holds():
    assert not Figure(name="x", ratio=12, limit=12).is_over


def test_a_figure_that_is_no_number_is_over():
    assert Figure(name="x", ratio=math.nan, limit=12).is_over


def test_benches_are_found_by_being_listed_and_chosen_by_words():
    from django.conf import settings

    folder = settings.BASE_DIR / "tests/benches"
    every = list(benches(folder, []))

    assert every
    assert list(benches(folder, ["bench_pages.first"]))
    assert list(benches(folder, ["no such bench"])) == []
