from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect


def test_a_page_asked_for_before_signing_in_is_reached_after_it(page, sign_in, sound):
    page.goto("/")
    expect(page).to_have_url(re.compile("/sign-in/"))
    sound()

    sign_in("mechanic")

    expect(page).to_have_url(re.compile("^(?!.*sign-in)"))
    expect(page.get_by_role("heading", level=1)).to_be_visible()


@pytest.mark.parametrize("role", ["mechanic", "instructor", "assessor", "supervisor", "auditor", "administrator"])
def test_the_first_page_of_every_role_is_sound(sign_in, sound, role):
    sign_in(role)

    sound()
