from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from django.contrib.messages import get_messages
from django.urls import reverse

from courses.people.models import Person
from courses.people.roles import Role
from tests.factories.people import PASSWORD, CrewFactory, PersonFactory

pytestmark = pytest.mark.django_db

NEW = "seven green kettles sing"


def text_of(response):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", response.content.decode()))


def try_to_sign_in(client, username, password, **more):
    return client.post(reverse("people:sign_in"), {"username": username, "password": password, **more})


class Links(HTMLParser):
    def __init__(self, html):
        super().__init__()
        self.ids, self.targets = set(), set()
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        facts = dict(attrs)
        self.ids |= {facts["id"]} if "id" in facts else set()
        self.targets |= {facts["href"][1:]} if facts.get("href", "").startswith("#") else set()


# --- signing in and out


@pytest.mark.parametrize("typed", ["r.tamm", "R.Tamm", " R.TAMM "])
def test_capitals_in_the_sign_in_name_do_not_matter(client, typed):
    person = PersonFactory(username="r.tamm")
    response = try_to_sign_in(client, typed, PASSWORD)
    assert response.status_code == 302
    assert response.url == "/"
    assert client.session["_auth_user_id"] == str(person.pk)


@pytest.mark.parametrize(
    ("username", "password"),
    [("r.tamm", "wrong"), ("nobody", PASSWORD), ("off", PASSWORD), ("r.tamm", PASSWORD.upper())],
)
def test_a_wrong_name_a_wrong_password_and_a_person_switched_off_get_the_same_answer(client, username, password):
    PersonFactory(username="r.tamm")
    PersonFactory(username="off", is_active=False)
    response = try_to_sign_in(client, username, password)
    assert response.status_code == 200
    assert "Sign-in name and password do not belong together." in text_of(response)
    assert "_auth_user_id" not in client.session
    assert f'value="{username}"' in response.content.decode()
    assert password not in response.content.decode()


def test_paste_and_password_managers_work_on_the_sign_in_page(client):
    page = client.get(reverse("people:sign_in")).content.decode()
    assert 'autocomplete="username"' in page
    assert 'autocomplete="current-password"' in page
    assert "onpaste" not in page


def test_signing_in_leads_to_the_page_that_was_asked_for(client):
    PersonFactory(username="r.tamm")
    assert client.get("/password/").url == "/sign-in/?next=/password/"
    response = client.post("/sign-in/?next=/password/", {"username": "r.tamm", "password": PASSWORD})
    assert response.url == "/password/"


@pytest.mark.parametrize("elsewhere", ["https://elsewhere.example/", "//elsewhere.example/", "javascript:alert(1)"])
def test_signing_in_never_leads_off_the_site(client, elsewhere):
    PersonFactory(username="r.tamm")
    assert try_to_sign_in(client, "r.tamm", PASSWORD, next=elsewhere).url == "/"


def test_after_five_misses_a_name_waits_whatever_its_capitals_and_the_page_says_how_long(client):
    PersonFactory(username="r.tamm")
    for typed in ["r.tamm", "R.tamm", "r.Tamm", "R.TAMM"]:
        assert try_to_sign_in(client, typed, "wrong").status_code == 200
    assert try_to_sign_in(client, "r.tamm ", "wrong").status_code == 429
    response = try_to_sign_in(client, "r.tamm", PASSWORD)
    assert response.status_code == 429
    assert "for the next 10 minutes" in text_of(response)
    assert "_auth_user_id" not in client.session


def test_one_name_that_waits_does_not_slow_another(client):
    PersonFactory(username="r.tamm")
    PersonFactory(username="m.oduya")
    for _ in range(6):
        try_to_sign_in(client, "r.tamm", "wrong")
    assert try_to_sign_in(client, "m.oduya", PASSWORD).status_code == 302


def test_signing_in_gives_a_new_session(client):
    PersonFactory(username="r.tamm")
    client.get("/")
    session = client.session
    session["kept"] = 1
    session.save()
    before = session.session_key
    try_to_sign_in(client, "r.tamm", PASSWORD)
    assert client.session.session_key != before


def test_signing_out_takes_a_post(sign_in):
    browser = sign_in(PersonFactory())
    assert browser.get(reverse("people:sign_out")).status_code == 405
    assert "_auth_user_id" in browser.session
    assert browser.post(reverse("people:sign_out")).url == "/sign-in/"
    assert "_auth_user_id" not in browser.session


# --- one's own password


def change_password(browser, old, new, again=None):
    return browser.post(
        "/password/", {"old_password": old, "new_password1": new, "new_password2": new if again is None else again}
    )


def test_a_new_password_holds_and_the_browser_stays_signed_in(sign_in):
    person = PersonFactory()
    browser = sign_in(person)
    response = change_password(browser, PASSWORD, NEW)
    assert response.url == f"/people/{person.pk}/"
    assert "Your password is changed." in next(str(m) for m in get_messages(response.wsgi_request))
    person.refresh_from_db()
    assert person.check_password(NEW)
    assert browser.get("/password/").status_code == 200


def test_a_new_password_signs_out_other_browsers(sign_in):
    from django.test import Client

    person = PersonFactory()
    other = Client()
    other.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
    change_password(sign_in(person), PASSWORD, NEW)
    assert other.get("/password/").status_code == 302


@pytest.mark.parametrize(
    ("old", "new", "again", "reason"),
    [
        ("wrong", NEW, NEW, "This is not the password you sign in with."),
        (PASSWORD, NEW, NEW + "x", "The two new passwords differ."),
        (PASSWORD, "short", "short", "at least 15 characters"),
        (PASSWORD, "turbine bearing rotor", "turbine bearing rotor", "words that anyone here would try"),
        (PASSWORD, "jolly.jolly.jolly", "jolly.jolly.jolly", "a short piece repeated"),
    ],
)
def test_a_refused_password_says_why_and_changes_nothing(sign_in, old, new, again, reason):
    person = PersonFactory()
    response = change_password(sign_in(person), old, new, again)
    assert response.status_code == 200
    assert reason in text_of(response)
    person.refresh_from_db()
    assert person.check_password(PASSWORD)


def test_guessing_the_old_password_is_slowed_like_signing_in(sign_in):
    person = PersonFactory()
    browser = sign_in(person)
    for _ in range(4):
        assert change_password(browser, "wrong", NEW).status_code == 200
    assert change_password(browser, "wrong", NEW).status_code == 429
    assert change_password(browser, PASSWORD, NEW).status_code == 429
    person.refresh_from_db()
    assert person.check_password(PASSWORD)


# --- accounts: who may open what

ACCOUNT_PAGES = {
    "/people/": {Role.ADMINISTRATOR, Role.SUPERVISOR},
    "/people/{other}/": {Role.ADMINISTRATOR, Role.SUPERVISOR},
    "/people/add/": {Role.ADMINISTRATOR},
    "/people/{other}/edit/": {Role.ADMINISTRATOR},
    "/people/{other}/password/": {Role.ADMINISTRATOR},
}


@pytest.mark.parametrize("role", list(Role))
@pytest.mark.parametrize("address", ACCOUNT_PAGES)
def test_account_pages_open_by_role_and_answer_others_like_a_missing_page(sign_in, role, address):
    browser = sign_in(PersonFactory(roles=[role]))
    response = browser.get(address.format(other=PersonFactory().pk))
    if role in ACCOUNT_PAGES[address]:
        assert response.status_code == 200
        assert response.content.decode().count("<h1") == 1
    else:
        missing = browser.get("/people/999999/")
        assert response.status_code == missing.status_code == 404
        assert text_of(response) == text_of(missing)


@pytest.mark.parametrize("role", [role for role in Role if role != Role.ADMINISTRATOR])
@pytest.mark.parametrize("verb", ["switch-off", "switch-on", "edit", "password"])
def test_only_an_administrator_can_post_a_change(sign_in, role, verb):
    other = PersonFactory(roles=[Role.MECHANIC])
    response = sign_in(PersonFactory(roles=[role])).post(
        f"/people/{other.pk}/{verb}/", {"roles": ["administrator"], "password": NEW}
    )
    assert response.status_code == 404
    other.refresh_from_db()
    assert other.check_password(PASSWORD)
    assert (other.is_active, Person.objects.get(pk=other.pk).roles) == (True, {Role.MECHANIC})


@pytest.mark.parametrize("address", ["/", "/password/", "/people/", "/people/1/", "/people/add/", "/nowhere/"])
def test_a_visitor_is_sent_to_sign_in_or_told_that_nothing_is_there(client, address):
    response = client.get(address)
    assert response.status_code in {302, 404} if address in {"/", "/nowhere/"} else response.status_code == 302


def test_everybody_sees_the_own_account(sign_in):
    person = PersonFactory(roles=[Role.MECHANIC], full_name="Lia <b>Ferreira</b>")
    page = sign_in(person).get(f"/people/{person.pk}/").content.decode()
    assert "Lia &lt;b&gt;Ferreira" in page
    assert "<b>Ferreira" not in page
    assert "Switch sign-in off" not in page


def test_switching_takes_a_post(sign_in):
    person = PersonFactory()
    browser = sign_in(PersonFactory(roles=[Role.ADMINISTRATOR]))
    assert browser.get(f"/people/{person.pk}/switch-off/").status_code == 405
    browser.post(f"/people/{person.pk}/switch-off/")
    person.refresh_from_db()
    assert not person.is_active
    assert "cannot sign in" in text_of(browser.get(f"/people/{person.pk}/"))
    browser.post(f"/people/{person.pk}/switch-on/")
    person.refresh_from_db()
    assert person.is_active


def test_the_last_administrator_is_told_why_not(sign_in):
    person = PersonFactory(roles=[Role.ADMINISTRATOR])
    browser = sign_in(person)
    page = text_of(browser.post(f"/people/{person.pk}/switch-off/", follow=True))
    assert "the only administrator left" in page
    page = text_of(browser.post(f"/people/{person.pk}/edit/", {"job_title": "fitter", "roles": ["mechanic"]}))
    assert "the only administrator left" in page


def test_a_lost_password_is_replaced_by_the_administrator(sign_in, client):
    person = PersonFactory(username="r.tamm")
    administrator = PersonFactory(roles=[Role.ADMINISTRATOR])
    browser = sign_in(administrator)
    assert "at least 15 characters" in text_of(browser.post(f"/people/{person.pk}/password/", {"password": "short"}))
    assert browser.post(f"/people/{person.pk}/password/", {"password": NEW}).url == f"/people/{person.pk}/"
    assert browser.get(f"/people/{administrator.pk}/password/").url == "/password/"
    browser.post("/sign-out/")
    assert try_to_sign_in(client, "r.tamm", NEW).status_code == 302


# --- adding and changing


def a_new_person(**changes):
    return {
        "full_name": "Lia Ferreira",
        "username": "L.Ferreira",
        "job_title": "apprentice",
        "crew": "",
        "joined_on": "2026-09-01",
        "roles": ["mechanic"],
        "password": PASSWORD,
    } | changes


def test_an_added_person_can_sign_in(sign_in, client):
    crew = CrewFactory()
    browser = sign_in(PersonFactory(roles=[Role.ADMINISTRATOR]))
    response = browser.post("/people/add/", a_new_person(crew=crew.pk))
    person = Person.objects.get(username="l.ferreira")
    assert response.url == f"/people/{person.pk}/"
    assert (person.crew, person.roles, str(person.joined_on)) == (crew, {Role.MECHANIC}, "2026-09-01")
    browser.post("/sign-out/")
    assert try_to_sign_in(client, "l.ferreira", PASSWORD).status_code == 302


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"username": "taken"}, "was given before"),
        ({"username": "lia ferreira"}, "Small letters, digits, dot and hyphen only."),
        ({"username": ""}, "Sign-in name: This field is required."),
        ({"roles": []}, "Tick at least one role."),
        ({"roles": ["owner"]}, "owner is not one of the available choices"),
        ({"joined_on": "31.02.2026"}, "Enter a valid date."),
        ({"joined_on": "2999-01-01"}, "That day is still to come."),
        ({"password": "too short"}, "at least 15 characters"),
        ({"password": "Lia Ferreira 2027"}, "words that anyone here would try"),
        ({"crew": "999"}, "Select a valid choice."),
    ],
)
def test_what_is_refused_is_said_in_a_summary_whose_links_lead_to_the_fields(sign_in, changes, reason):
    PersonFactory(username="taken")
    response = sign_in(PersonFactory(roles=[Role.ADMINISTRATOR])).post("/people/add/", a_new_person(**changes))
    page = response.content.decode()
    assert response.status_code == 200
    assert reason in text_of(response)
    assert 'role="alert"' in page
    links = Links(page)
    assert links.targets - {"content"}
    assert links.targets <= links.ids
    assert 'value="Lia Ferreira"' in page
    assert PASSWORD not in page
    assert Person.objects.count() == 2


def test_job_crew_and_roles_change_together(sign_in):
    crew, person = CrewFactory(), PersonFactory(roles=[Role.MECHANIC])
    browser = sign_in(PersonFactory(roles=[Role.ADMINISTRATOR]))
    page = browser.get(f"/people/{person.pk}/edit/").content.decode()
    assert re.search(r'value="mechanic"[^>]*checked', page)
    browser.post(
        f"/people/{person.pk}/edit/", {"job_title": "fitter", "crew": crew.pk, "roles": ["assessor", "mechanic"]}
    )
    changed = Person.objects.get(pk=person.pk)
    assert (changed.job_title, changed.crew, changed.roles) == ("fitter", crew, {Role.ASSESSOR, Role.MECHANIC})


# --- lists


def test_the_list_can_be_narrowed_and_says_when_nobody_fits(sign_in):
    PersonFactory(full_name="Jonah Okonkwo-Hale")
    browser = sign_in(PersonFactory(roles=[Role.SUPERVISOR], full_name="Una Reader"))
    page = text_of(browser.get("/people/", {"words": "jonah"}))
    assert "Okonkwo-Hale" in page
    assert page.count("Una Reader") == 1  # in the strip alone
    assert "Nobody fits" in text_of(browser.get("/people/", {"words": "zzz"}))
    assert "Select a valid choice" in text_of(browser.get("/people/", {"crew": "999"}))


def test_a_long_list_goes_on_over_pages_and_keeps_what_was_asked(sign_in):
    PersonFactory.create_batch(60, full_name="Same Name")
    browser = sign_in(PersonFactory(roles=[Role.SUPERVISOR]))
    page = browser.get("/people/", {"words": "same"})
    assert "Page 1 of 2" in text_of(page)
    assert "words=same&amp;page=2" in page.content.decode()
    assert text_of(browser.get("/people/", {"words": "same", "page": "2"})).count("Same Name") == 10


@pytest.mark.parametrize(
    ("address", "queries"),
    [("/password/", 3), ("/people/{own}/", 5), ("/people/", 7), ("/people/add/", 4), ("/people/{own}/edit/", 6)],
)
@pytest.mark.parametrize("rows", [2, 20])
def test_a_page_costs_the_same_queries_for_few_and_for_many(sign_in, address, queries, rows, django_assert_num_queries):
    person = PersonFactory(roles=list(Role))
    PersonFactory.create_batch(rows, roles=[Role.MECHANIC, Role.ASSESSOR])
    browser = sign_in(person)
    with django_assert_num_queries(queries):
        assert browser.get(address.format(own=person.pk)).status_code == 200
