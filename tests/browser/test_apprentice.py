"""The apprentice works and learns."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from tests.browser.bench_work import ACTION_FOR, choose, fill, limits_on, work_out

SCENARIO = "/drills/scenario/bearing-governor-strip/"


def draw(page):
    """Open the drill and a draw of it; one that another test left open is emptied and gone on with."""
    page.goto(SCENARIO)
    page.locator("main form .btn").first.click()
    page.wait_for_url(re.compile(r"/drills/\d+/$"))
    for field in page.locator("form.drill input[type=text]").all():
        if field.input_value():
            field.fill("")


def hand_in(page):
    page.get_by_role("button", name="Look it over").click()
    page.wait_for_url(re.compile("look-over"))
    page.get_by_role("button", name="Hand in").click()
    page.wait_for_url(re.compile("result"))


def draw_sound_with_unlike_ends(page):
    """Go on drawing until the strip lies sound and its ends differ clearly: then swapped ends show."""
    for _ in range(30):
        draw(page)
        worked = work_out(page)
        if not worked.is_disturbed and worked.taper > 0.012:
            return worked
        choose(page, "void", "repeat")
        hand_in(page)
    raise AssertionError("thirty draws and none with unlike ends")


def test_an_apprentice_works_a_drill_right(sign_in, sound):
    page = sign_in("apprentice")
    sound()
    draw(page)
    sound()
    worked = work_out(page)
    verdict = worked.verdict(*limits_on(page))
    fill(page, worked)
    choose(page, verdict, ACTION_FOR[verdict])
    expect(page.locator("#echo-reading-w_governor")).to_contain_text("in")
    page.get_by_role("button", name="Look it over").click()
    page.wait_for_url(re.compile("look-over"))
    sound()

    page.get_by_role("button", name="Hand in").click()

    expect(page.locator("main")).to_contain_text("Every part is right.")
    sound()


def test_an_apprentice_is_told_which_slip_it_was_and_where_the_ways_part(sign_in, sound):
    page = sign_in("apprentice")
    worked = draw_sound_with_unlike_ends(page)
    verdict = worked.verdict(*limits_on(page))
    fill(page, worked, clearances=worked.clearances[::-1])
    choose(page, verdict, ACTION_FOR[verdict])

    hand_in(page)

    expect(page.locator("main")).to_contain_text("The wide end was taken as the loose end.")
    expect(page.locator(".squared")).to_contain_text("here the ways part")
    sound()


def test_a_bad_fit_accepted_is_called_unsafe(sign_in, sound):
    page = sign_in("apprentice")
    for _ in range(30):
        draw(page)
        worked = work_out(page)
        if worked.verdict(*limits_on(page)) != "inside":
            break
        fill(page, worked)
        choose(page, "inside", "close")
        hand_in(page)
    fill(page, worked)
    choose(page, "inside", "close")

    hand_in(page)

    expect(page.locator("main")).to_contain_text("Unsafe.")
    sound()


def test_what_cannot_be_read_is_refused_in_a_sentence_and_the_rest_stays(sign_in, sound):
    page = sign_in("mechanic")
    draw(page)
    page.locator("[name=reading-w_governor]").fill("3600 rpm")
    page.locator("[name=result-taper]").fill("2 1/2 thou")

    with page.expect_navigation():
        page.get_by_role("button", name="Look it over").click()

    expect(page.get_by_role("alert")).to_contain_text("length")
    expect(page.locator("[name=reading-w_governor]")).to_have_value("3600 rpm")
    expect(page.locator("[name=result-taper]")).to_have_value("2 1/2 thou")
    sound()


def test_a_reload_and_going_back_lose_nothing_and_nothing_counts_twice(sign_in):
    page = sign_in("mechanic")
    draw(page)
    page.locator("[name=reading-w_governor]").fill("2.4 mm")
    expect(page.locator("[data-keep-status]")).to_contain_text("Kept")
    page.reload()
    expect(page.locator("[name=reading-w_governor]")).to_have_value("2.4 mm")
    choose(page, "void", "repeat")
    hand_in(page)
    result = page.url

    page.go_back()
    page.go_back()

    page.goto(result.replace("result/", ""))
    expect(page).to_have_url(result)


def test_without_a_connection_what_was_typed_is_kept_and_handed_in_later(sign_in, context):
    page = sign_in("mechanic")
    draw(page)
    context.set_offline(True)
    page.locator("[name=reading-w_coupling]").fill("2.2 mm")
    page.get_by_role("button", name="Look it over").click()
    expect(page.locator("[data-keep-status]")).to_contain_text("No connection")
    context.set_offline(False)

    page.get_by_role("button", name="Look it over").click()

    page.wait_for_url(re.compile("look-over"))
    expect(page.locator("main")).to_contain_text("2.2 mm")


def test_a_session_that_ends_in_between_loses_nothing(sign_in, context, on_purpose):
    on_purpose.append("/save/")
    page = sign_in("mechanic")
    draw(page)
    address = page.url
    context.clear_cookies(name="sessionid")
    page.locator("[name=reading-w_coupling]").fill("2.7 mm")
    expect(page.locator("[data-keep-status]")).to_contain_text("signed out")

    page.get_by_role("link", name="Sign in and go on").click()
    page.get_by_label("Sign-in name").fill("p.achterberg")
    page.get_by_label("Password").fill(_password())
    page.get_by_role("button", name="Sign in").click()

    expect(page).to_have_url(address)
    expect(page.locator("[name=reading-w_coupling]")).to_have_value("2.7 mm")


def _password():
    from fixtures_demo.load import PASSWORD

    return PASSWORD
