"""What is typed in a drill is kept: on this device, at the site, and between two devices."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from fixtures_demo.load import PASSWORD

SCENARIO = "/drills/scenario/governor-valve-travel-metric/"


@pytest.fixture
def drill(sign_in):
    """A fresh draw of the mechanic's, its form shown and blank. One left open by a test before is handed in."""
    page = sign_in("mechanic")
    while True:
        page.goto(SCENARIO)
        page.locator("main form .btn").first.click()
        page.wait_for_url(re.compile(r"/drills/\d+/$"))
        if all(field.input_value() == "" for field in fields(page).all()):
            return page
        for field in fields(page).all():
            field.fill("")
        page.get_by_role("button", name="Look it over").click()
        page.get_by_role("button", name="Hand in").click()
        page.wait_for_url(re.compile("result"))


def fields(page):
    return page.locator("[data-echo]")


def status(page):
    return page.locator("[data-keep-status]")


def kept(page):
    expect(status(page)).to_contain_text("Kept.")


def test_a_page_closed_without_a_connection_has_what_was_typed_when_it_is_opened_again(drill, context):
    address = drill.url
    context.set_offline(True)
    fields(drill).first.fill("31 mm")
    expect(status(drill)).to_contain_text("No connection")
    drill.close()
    context.set_offline(False)

    again = context.new_page()
    again.goto(address)

    expect(fields(again).first).to_have_value("31 mm")
    expect(status(again)).to_contain_text("was put back, and is kept")
    again.reload()
    expect(fields(again).first).to_have_value("31 mm")


def test_when_the_connection_comes_back_it_is_kept_without_a_further_key(drill, context):
    context.set_offline(True)
    fields(drill).first.fill("32 mm")
    expect(status(drill)).to_contain_text("No connection")

    context.set_offline(False)

    kept(drill)


def test_two_devices_see_what_each_of_them_typed(drill, context):
    """Two tabs stand for two devices: neither looks into the other's store for what the site has already."""
    tablet = context.new_page()
    tablet.goto(drill.url)
    fields(drill).first.fill("33 mm")
    kept(drill)

    fields(tablet).last.fill("4 mm")
    kept(tablet)

    expect(fields(tablet).first).to_have_value("33 mm")
    drill.reload()
    expect(fields(drill).last).to_have_value("4 mm")
    expect(fields(drill).first).to_have_value("33 mm")


def test_what_another_device_typed_is_not_undone_by_what_waits_here(drill, context):
    """This page waits without a connection with one field, while another one is changed at the site."""
    address = drill.url
    context.set_offline(True)
    fields(drill).first.fill("34 mm")
    expect(status(drill)).to_contain_text("No connection")
    context.set_offline(False)
    kept(drill)
    context.set_offline(True)
    fields(drill).first.fill("35 mm")
    expect(status(drill)).to_contain_text("No connection")
    drill.close()
    context.set_offline(False)
    other = context.request
    form = other.get(address).text()
    token = re.search(r'name="attempt" value="([^"]+)"', form)[1]
    csrf = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', form)[1]
    last = re.findall(r'name="(result-[^"]+)"', form)[-1]
    first = re.search(r'name="(reading-[^"]+)"', form)[1]
    said = {"csrfmiddlewaretoken": csrf, "attempt": token, first: "34 mm", last: "5 mm"}
    other.post(address + "save/", form=said, headers={"Referer": address})

    again = context.new_page()
    again.goto(address)

    expect(fields(again).first).to_have_value("35 mm")
    expect(fields(again).last).to_have_value("5 mm")
    expect(status(again)).to_contain_text("was put back, and is kept")


def test_a_draw_handed_in_elsewhere_says_so_and_leads_to_the_result(drill, context):
    tablet = context.new_page()
    tablet.goto(drill.url)
    tablet.get_by_role("button", name="Look it over").click()
    tablet.get_by_role("button", name="Hand in").click()
    tablet.wait_for_url(re.compile("result"))

    fields(drill).first.fill("36 mm")

    expect(status(drill)).to_contain_text("handed in meanwhile")
    drill.get_by_role("link", name="See the result").click()
    expect(drill).to_have_url(tablet.url)
    assert drill.evaluate("Object.keys(localStorage).filter((name) => name.startsWith('drill-'))") == []


def test_signed_out_in_the_middle_everything_is_there_after_signing_in(drill, context):
    address = drill.url
    context.clear_cookies(name="sessionid")
    fields(drill).first.fill("37 mm")
    fields(drill).last.fill("6 mm")
    drill.get_by_role("button", name="Look it over").click()
    expect(status(drill)).to_contain_text("You are signed out")

    drill.get_by_role("link", name="Sign in and go on").click()
    drill.get_by_label("Sign-in name").fill("p.achterberg")
    drill.get_by_label("Password").fill(PASSWORD)
    drill.get_by_role("button", name="Sign in").click()

    expect(drill).to_have_url(address)
    expect(fields(drill).first).to_have_value("37 mm")
    expect(fields(drill).last).to_have_value("6 mm")


def test_how_a_field_is_understood_is_said_while_it_is_typed(drill, sound):
    fields(drill).first.fill("1 1/4 in")
    expect(drill.locator(".echo").first).to_contain_text("understood as 1 1/4 in (31.8 mm)")

    fields(drill).first.fill("3600 rpm")

    expect(drill.locator(".echo").first).to_contain_text("a length is asked for here")
    expect(fields(drill).first).to_have_attribute("aria-invalid", "true")
    sound()


def test_hand_in_pressed_twice_hands_in_once(drill):
    drill.get_by_role("button", name="Look it over").click()
    drill.wait_for_url(re.compile("look-over"))

    drill.get_by_role("button", name="Hand in").dblclick()

    drill.wait_for_url(re.compile("result"))
    expect(drill.locator("main")).not_to_contain_text("It counts once.")


def test_everything_is_reached_by_keyboard_alone(drill):
    fields(drill).first.focus()
    drill.keyboard.type("38 mm")
    drill.keyboard.press("Tab")
    expect(drill.get_by_role("button", name=re.compile("^Enlarge")).first).to_be_focused()
    drill.keyboard.press("Enter")
    expect(drill.get_by_role("dialog")).to_be_visible()
    drill.keyboard.press("Escape")
    expect(drill.get_by_role("button", name=re.compile("^Enlarge")).first).to_be_focused()
    drill.locator("[name=verdict]").first.focus()
    drill.keyboard.press("Space")
    drill.keyboard.press("ArrowDown")

    expect(drill.locator("[name=verdict]").nth(1)).to_be_checked()
    kept(drill)
