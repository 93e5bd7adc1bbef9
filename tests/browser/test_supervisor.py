"""The supervisor reads the board and grants."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from fixtures_demo.load import PASSWORD


def test_a_supervisor_reads_the_board_and_grants(sign_in, sound, browser_context_args):
    page = sign_in("supervisor")
    sound()
    page.goto("/board/")
    sound()
    # Two apprentices are ready for the rotor; each width signs for one of them.
    name = "Luana Ferreira" if browser_context_args["viewport"]["width"] > 1000 else "Gwen Bellweather"
    row = page.get_by_role("row").filter(has_text=name)
    row.get_by_role("link", name=re.compile("ready for sign-off")).first.click()
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    expect(page.locator("main")).to_contain_text("ready for sign-off")
    sound()

    page.get_by_role("link", name=re.compile("^Grant")).click()
    sound()
    page.get_by_label(re.compile("Reason")).fill("Watched twice through the whole lift; evidence complete.")
    page.get_by_label(re.compile("[Pp]assword")).fill("not the password at all")
    page.locator("main form button[type=submit]").click()
    expect(page.get_by_role("alert")).to_be_visible()
    expect(page.get_by_label(re.compile("Reason"))).to_have_value(re.compile("Watched twice"))
    sound()
    page.get_by_label(re.compile("[Pp]assword")).fill(PASSWORD)
    page.locator("main form button[type=submit]").click()

    expect(page.locator("main")).to_contain_text(re.compile("second signature", re.IGNORECASE))
    expect(page.locator("main")).to_contain_text("Watched twice through the whole lift")
    sound()


def test_who_may_do_this_today_has_a_straight_answer(sign_in, sound):
    page = sign_in("supervisor")

    page.goto("/board/task/D1/")

    expect(page.get_by_role("heading", level=1)).to_contain_text("Who may do D1")
    expect(page.get_by_role("link", name="Marit Oduya")).to_be_visible()
    sound()


def test_an_auditor_reads_a_record_and_its_chain(sign_in, sound):
    page = sign_in("auditor")
    page.get_by_role("link", name=re.compile("Jude Okonkwo-Hale")).first.click()

    expect(page.locator("main")).to_contain_text("suspended")
    expect(page.locator("main")).to_contain_text(re.compile("whole"))
    sound()
