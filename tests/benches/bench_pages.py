"""Pages that people open most, each against the empty page."""

from __future__ import annotations

from django.urls import reverse

from tests.benches.page_against_empty import PageAgainstEmpty


def _of(role: str) -> str:
    from fixtures_demo.load import DEMO_SIGN_INS

    return next(username for said, username, _ in DEMO_SIGN_INS if role in said)


def first_page() -> list:
    return PageAgainstEmpty(name="first page", path=lambda: reverse("desks:bench"), username=_of("mechanic"))()


BENCHES = [first_page]
