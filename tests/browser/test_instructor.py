"""The instructor looks at a scenario and its spread."""

from __future__ import annotations

import re

from playwright.sync_api import expect


def test_an_instructor_looks_at_a_scenario_and_its_spread(sign_in, sound):
    page = sign_in("instructor")
    page.goto("/scenarios/")
    sound()
    page.get_by_role("link", name=re.compile("governor-end bearing")).first.click()

    expect(page.get_by_role("heading", level=1)).to_contain_text("governor-end bearing")
    main = page.locator("main")
    expect(main).to_contain_text(re.compile(r"\d+(\.\d+)? %"))
    expect(page.locator("main svg").first).to_be_visible()
    sound()

    before = page.locator("#sample").locator("xpath=..").inner_text()
    page.get_by_role("link", name="Another draw").click()
    expect(page).to_have_url(re.compile(r"seed=\d+"))
    assert page.locator("#sample").locator("xpath=..").inner_text() != before
    sound()


def test_an_apprentice_is_not_shown_a_scenario_from_behind(sign_in):
    page = sign_in("apprentice")

    response = page.request.get("/scenarios/bearing-governor-strip/")

    assert response.status == 404
