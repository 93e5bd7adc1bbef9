"""The drill pages as a browser meets them."""

from __future__ import annotations

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from assessments.drills import services, views
from assessments.drills.models import Attempt
from assessments.engine.errors import UnfairScenarioError
from assessments.scenarios.services import close_scenario
from courses.people.roles import Role
from fixtures_demo.learners import typed_accepting, typed_with_slip
from tests.factories.drills import AttemptFactory, handed_in, many_like, right_text
from tests.factories.people import PersonFactory
from tests.factories.scenarios import ScenarioFactory, ScenarioRevisionFactory
from tests.factories.tasks import TaskFactory

pytestmark = pytest.mark.django_db
READING, RESULT = "reading-w_governor", "result-taper"
MISSING = 987654321


def text_of(response):
    return " ".join(re.sub(r"<[^>]+>", " ", response.content.decode()).split())


def token_on(response):
    return re.search(r'name="attempt" value="([^"]+)"', response.content.decode())[1]


def now_is(attempt):
    return Attempt.objects.get(pk=attempt.pk)


@pytest.fixture
def send(own, address):
    """send("save", attempt, field=text): what a browser sends from the page as it stands; token="..." sends another one."""

    def _send(verb, attempt, token=None, typed=None):
        token = token or token_on(own.get(address("answer", attempt)))
        return own.post(address(verb, attempt), {**(typed or {}), "attempt": token})

    return _send


# --- choosing ---------------------------------------------------------------------------------------------------


def test_drills_stand_under_their_tasks(own):
    for code, count in (("B4", 2), ("D3", 1)):
        for _ in range(count):
            ScenarioFactory(task=TaskFactory(code=code), revision__title=f"A drill for {code}")

    page = text_of(own.get(reverse("drills:drill_list")))

    assert page.count("A drill for B4") == 2
    assert page.count("Not tried yet.") == 3
    assert page.index("A drill for B4") < page.index("A drill for D3")


def test_without_a_scenario_the_list_says_so(own):
    assert "No scenario is open yet" in text_of(own.get(reverse("drills:drill_list")))


def test_a_drill_with_an_open_draw_says_so(own, attempt):
    assert "a draw is open" in text_of(own.get(reverse("drills:drill_list")))


def test_a_scenario_page_offers_a_draw_and_shows_the_last_ones(own, apprentice):
    scenario = ScenarioFactory()
    many_like(handed_in(person=apprentice, scenario=scenario), 14)

    page = text_of(own.get(reverse("drills:scenario_open", args=[scenario.slug])))

    assert "Draw a case" in page
    assert page.count("7 of 7") == views.LAST_ONES


def test_drawing_leads_to_the_form_and_drawing_again_to_the_same_one(own):
    scenario = ScenarioFactory()
    address = reverse("drills:scenario_open", args=[scenario.slug])

    answers = [own.post(address) for _ in range(2)]

    attempt = Attempt.objects.get()
    assert {answer.url for answer in answers} == {reverse("drills:attempt_answer", args=[attempt.pk])}
    assert "Go on with your open draw" in text_of(own.get(address))


def test_a_scenario_without_a_revision_is_missing(own, signed_in):
    scenario = ScenarioFactory(revision=False)
    instructor = signed_in(PersonFactory(roles=[Role.INSTRUCTOR]))

    for client in (own, instructor):
        assert client.get(reverse("drills:scenario_open", args=[scenario.slug])).status_code == 404


def test_nothing_is_drawn_from_a_closed_scenario(own, signed_in):
    scenario = ScenarioFactory()
    close_scenario(scenario=scenario)
    address = reverse("drills:scenario_open", args=[scenario.slug])
    instructor = signed_in(PersonFactory(roles=[Role.INSTRUCTOR]))

    assert own.get(address).status_code == own.post(address).status_code == 404
    assert "closed for drills" in text_of(instructor.get(address))
    assert instructor.post(address).status_code == 404
    assert not Attempt.objects.exists()


def test_a_draw_from_a_scenario_closed_meanwhile_can_still_be_handed_in(own, attempt, address, send):
    close_scenario(scenario=attempt.scenario)

    send("save", attempt, typed=right_text(attempt))
    send("hand_in", attempt, token_on(own.get(address("review", attempt))))

    result = text_of(own.get(address("result", attempt)))
    assert "Every part is right." in result
    assert "Draw another" not in result


def test_a_scenario_the_engine_refuses_says_why_and_draws_nothing(own, monkeypatch):
    scenario = ScenarioFactory()

    def unfair(**_):
        raise UnfairScenarioError(scenario="x", tried=64, remedy="Take a finer instrument.")

    monkeypatch.setattr(services, "open_attempt", unfair)

    page = own.post(reverse("drills:scenario_open", args=[scenario.slug]))

    assert page.status_code == 200
    assert "Take a finer instrument." in text_of(page)


# --- the form ---------------------------------------------------------------------------------------------------


def test_the_form_shows_each_drawing_and_what_is_given(own, attempt, address):
    page = own.get(address("answer", attempt))

    html = page.content.decode()
    assert html.count("<svg") == html.count("data-zoom") == 2
    assert html.index("<svg") < html.index('name="reading-w_governor"') < html.rindex("<svg")
    assert "0.09 to 0.15 mm" in text_of(page)
    assert "no-store" in page.headers["Cache-Control"]


def test_what_was_kept_is_there_again_after_a_reload(own, attempt, address, send):
    send("save", attempt, typed={READING: "2.4 mm", "verdict": "low"})

    html = own.get(address("answer", attempt)).content.decode()

    assert 'value="2.4 mm"' in html
    assert re.search(r'value="low"[^>]*checked', html)


def test_what_is_typed_is_kept_even_when_some_of_it_cannot_be_read(own, attempt, address, send):
    page = send("answer", attempt, typed={READING: "3600 rpm", RESULT: "2 1/2 thou", "verdict": "low"})

    html = page.content.decode()
    assert page.status_code == 200
    assert html.count("a length is asked for here") == 2  # in the summary on top, and beside its field
    assert 'href="#id_reading-w_governor"' in html
    assert 'value="3600 rpm"' in html
    assert 'value="2 1/2 thou"' in html
    assert re.search(r'value="low"[^>]*checked', html)
    assert now_is(attempt).typed[READING] == "3600 rpm"


def test_a_form_left_with_something_unreadable_says_so_when_it_is_opened_again(own, attempt, address, send):
    send("save", attempt, typed={READING: "3600 rpm"})

    assert own.get(address("review", attempt)).url == address("answer", attempt)
    assert "a length is asked for here" in text_of(own.get(address("answer", attempt)))


@pytest.mark.parametrize("text", ["NaN", "infinity", "1" * 400, "9**9**9", "a\x00b", "x" * 90, "0.\x0006"])
def test_no_rubbish_breaks_the_form(attempt, send, address, text):
    page = send("answer", attempt, typed={READING: text, RESULT: "0.02"})

    assert page.status_code == 200
    assert "Not taken yet: put this right" in text_of(page)
    assert 'value="0.02"' in page.content.decode()
    assert send("save", attempt, typed={READING: text}).json()["errors"].keys() == {READING}


def test_a_verdict_that_is_not_offered_is_refused(attempt, send):
    page = send("answer", attempt, typed={"verdict": "excellent"})

    assert "Choose one of the verdicts shown." in text_of(page)


def test_a_form_that_can_be_read_goes_on_to_be_looked_over(attempt, send, address):
    assert send("answer", attempt, typed=right_text(attempt)).url == address("review", attempt)
    assert send("answer", attempt, typed={}).url == address("review", attempt)


def test_autosave_answers_how_each_field_is_understood(attempt, send):
    said = send("save", attempt, typed={READING: "1/8 in", RESULT: "one"}).json()

    assert said["echoes"][READING].startswith("1/8 in (3.18 mm")
    assert list(said["errors"]) == [RESULT]
    assert said["kept"][READING] == "1/8 in"


def test_two_devices_with_one_draw_keep_what_each_of_them_typed(own, attempt, address, send):
    desk, tablet = (token_on(own.get(address("answer", attempt))) for _ in range(2))

    send("save", attempt, desk, {READING: "2.4", RESULT: ""})
    said = send("save", attempt, tablet, {READING: "", RESULT: "0.02"}).json()

    assert (said["kept"][READING], said["kept"][RESULT]) == ("2.4", "0.02")
    assert now_is(attempt).typed[READING] == "2.4"


# --- looking over and handing in --------------------------------------------------------------------------------


def test_the_look_over_page_says_what_is_blank(own, attempt, address, send):
    send("save", attempt, typed={READING: "2.4"})

    page = text_of(own.get(address("review", attempt)))

    assert "6 left blank." in page
    assert "2.4 mm" in page


def test_handing_in_shows_the_marked_answer(own, attempt, address, send):
    send("save", attempt, typed=right_text(attempt))

    answer = send("hand_in", attempt, token_on(own.get(address("review", attempt))))

    assert answer.url == address("result", attempt)
    assert "Every part is right." in text_of(own.get(answer.url))


def test_handed_in_twice_it_counts_once(own, attempt, address, send):
    send("save", attempt, typed=right_text(attempt))
    token = token_on(own.get(address("review", attempt)))

    first, second = (send("hand_in", attempt, token) for _ in range(2))

    assert first.url == second.url
    assert "It counts once." in text_of(own.get(second.url))
    assert Attempt.objects.filter(handed_in_at__isnull=False).count() == 1


@pytest.mark.parametrize("verb", ["answer", "review"])
def test_going_back_after_handing_in_leads_to_the_result(own, attempt, address, verb):
    handed_in(attempt)

    assert own.get(address(verb, attempt)).url == address("result", attempt)


def test_an_old_form_sent_after_handing_in_changes_nothing(own, attempt, address, send):
    token = token_on(own.get(address("answer", attempt)))
    row = handed_in(attempt)

    answer = send("answer", attempt, token, {READING: "9.9"})
    late = send("save", attempt, token, {READING: "9.9"})

    assert answer.url == address("result", attempt)
    assert late.json() == {"is_handed_in": True}
    assert (now_is(attempt).typed, now_is(attempt).marked) == (row.typed, row.marked)


def test_what_changed_on_another_device_is_looked_over_again(own, attempt, address, send):
    send("save", attempt, typed=right_text(attempt))
    token = token_on(own.get(address("review", attempt)))
    send("save", attempt, typed={**right_text(attempt), "verdict": "low"})

    answer = own.post(address("hand_in", attempt), {"attempt": token})

    assert answer.url == address("review", attempt)
    assert "Look it over again." in text_of(own.get(answer.url))
    assert not now_is(attempt).is_handed_in


def test_what_cannot_be_read_is_not_handed_in(own, attempt, address, send):
    send("save", attempt, typed={RESULT: "3600 rpm"})

    answer = send("hand_in", attempt)

    assert answer.url == address("answer", attempt)
    assert not now_is(attempt).is_handed_in


def test_the_result_of_an_open_draw_leads_back_to_the_form(own, attempt, address):
    assert own.get(address("result", attempt)).url == address("answer", attempt)


# --- a session that ends ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("verb", ["answer", "save", "hand_in"])
def test_signed_out_nothing_is_taken_and_what_was_kept_is_there_after_signing_in(
    own, apprentice, signed_in, attempt, address, send, verb
):
    send("save", attempt, typed={READING: "2.4 mm"})
    token = token_on(own.get(address("answer", attempt)))
    own.logout()

    answer = own.post(address(verb, attempt), {"attempt": token, READING: "2.5 mm"})

    assert answer.status_code == 302
    assert answer.url.startswith(reverse("people:sign_in"))
    assert not now_is(attempt).is_handed_in
    assert 'value="2.4 mm"' in signed_in(apprentice).get(address("answer", attempt)).content.decode()


# --- what is hidden ---------------------------------------------------------------------------------------------

POSTED = ["answer", "save", "hand_in"]


@pytest.mark.parametrize("verb", POSTED)
@pytest.mark.parametrize("token", ["", "x", "eyJhIjoxfQ:1abcde:abc"])
def test_a_changed_hidden_field_is_refused_and_noted(own, apprentice, attempt, address, caplog, verb, token):
    with caplog.at_level("WARNING", "refusals"):
        answer = own.post(address(verb, attempt), {"attempt": token, READING: "2.4"})

    assert answer.status_code == 404
    noted = [record.getMessage() for record in caplog.records if record.name == "refusals"]
    assert noted == [f"{apprentice.username} sent a changed hidden field for attempt {attempt.pk}"]
    assert now_is(attempt).typed == {}


@pytest.mark.parametrize("verb", POSTED)
def test_the_hidden_field_of_another_attempt_is_refused(own, apprentice, attempt, address, send, verb):
    other = AttemptFactory(person=apprentice)

    assert send(verb, attempt, token_on(own.get(address("answer", other)))).status_code == 404


@pytest.mark.parametrize("role", list(Role))
@pytest.mark.parametrize("verb", ["answer", "review", "result"])
def test_anothers_open_attempt_is_as_missing_as_one_that_never_was(signed_in, attempt, address, role, verb):
    reader = signed_in(PersonFactory(roles=[role]))

    hidden, missing = (reader.get(address(verb, pk)) for pk in (attempt, MISSING))

    assert hidden.status_code == missing.status_code == 404
    assert _as_one(hidden) == _as_one(missing)


def _as_one(response):
    """The page without what differs in every answer: its own address and the token of its forms."""
    return re.sub(r'value="[^"]*"|/drills/\d+/', "", response.content.decode())


@pytest.mark.parametrize("role", list(Role))
@pytest.mark.parametrize("verb", POSTED)
def test_nobody_sends_anything_to_anothers_attempt(signed_in, own, attempt, address, role, verb):
    token = token_on(own.get(address("answer", attempt)))

    answer = signed_in(PersonFactory(roles=[role])).post(address(verb, attempt), {"attempt": token, READING: "2.4"})

    assert answer.status_code == 404
    assert now_is(attempt).typed == {}


@pytest.mark.parametrize("role", [role for role in Role if role is not Role.MECHANIC])
def test_who_teaches_examines_or_audits_reads_what_was_handed_in(signed_in, address, role):
    row = handed_in()

    page = text_of(signed_in(PersonFactory(roles=[role])).get(address("result", row)))

    assert f"Worked by {row.person}" in page
    assert "Draw another" not in page


def test_a_mechanic_does_not_read_anothers_result(own, address):
    assert own.get(address("result", handed_in())).status_code == 404


# --- the marked answer ------------------------------------------------------------------------------------------


def test_the_result_names_the_slip_and_marks_the_line(own, apprentice, address):
    scenario = ScenarioFactory(revision__shares={"tapered": 1.0})
    row = handed_in(
        person=apprentice,
        scenario=scenario,
        case="tapered",
        typed=lambda *drawn: typed_with_slip(*drawn, "ends_swapped"),
    )

    html = own.get(address("result", row)).content.decode()

    assert "The wide end was taken as the loose end." in html
    assert html.count("here the ways part") == html.count('<li class="slip">') == 1
    assert "carried forward" not in html


def test_an_unsafe_answer_is_told_before_all_else(own, apprentice, address):
    row = handed_in(person=apprentice, case="tight", typed=typed_accepting)

    page = text_of(own.get(address("result", row)))

    assert page.index("Unsafe. A bad fit was accepted.") < page.index("Held against the sheet") < page.index("Part by")
    assert "It is too tight ." in page
    assert "take the liner out and refit it" in page


def test_the_result_carries_action_reason_source_and_title_block(own, apprentice, address):
    row = handed_in(person=apprentice)

    page = text_of(own.get(address("result", row)))

    assert row.marked["action"]["because"] in page
    assert row.marked["source"] in page
    assert "Draw number 1 of your drills" in page
    assert "Handed in 2 March 2026, 09:00" in page
    assert "Draw another" in page


def test_a_past_answer_reads_as_it_did_after_the_scenario_was_revised(own, apprentice, address):
    row = handed_in(person=apprentice)
    before = _as_one(own.get(address("result", row)))

    ScenarioRevisionFactory(scenario=row.scenario, title="Something else", units="in")

    assert _as_one(own.get(address("result", row))) == before


def test_the_stored_marks_are_shown_and_not_worked_anew(own, apprentice, address):
    row = handed_in(person=apprentice)
    row.marked["parts"][0]["label"] = "A label of years ago"
    row.save()

    assert "A label of years ago" in text_of(own.get(address("result", row)))


# --- past drills ------------------------------------------------------------------------------------------------


def test_past_drills_come_by_twenty_five(own, apprentice):
    many_like(handed_in(person=apprentice), 25)
    address = reverse("drills:attempt_list")

    first, second = own.get(address), own.get(address, {"page": "2"})

    assert (text_of(first).count("7 of 7"), text_of(second).count("7 of 7")) == (25, 1)
    assert "Page 1 of 2" in text_of(first)
    assert own.get(address, {"page": "rubbish"}).status_code == 200


def test_past_drills_say_what_each_came_to(own, apprentice):
    handed_in(person=apprentice)
    handed_in(person=apprentice, case="tight", typed=typed_accepting)
    handed_in(person=apprentice, case="tight", typed={})

    page = text_of(own.get(reverse("drills:attempt_list")))

    for words in ("right", "unsafe a bad fit accepted", "not right yet"):
        assert words in page


def test_without_past_drills_the_page_leads_on(own):
    assert "You have handed in no drill yet." in text_of(own.get(reverse("drills:attempt_list")))


# --- how much a page asks of the database -----------------------------------------------------------------------


@pytest.mark.parametrize("verb", ["answer", "review", "result"])
def test_a_page_takes_as_many_queries_with_two_thousand_attempts_as_with_twenty(own, apprentice, address, verb):
    scenario = ScenarioFactory()
    done = handed_in(person=apprentice, scenario=scenario)
    pk = done if verb == "result" else AttemptFactory(person=apprentice, scenario=scenario)
    counts = []
    for more in (19, 1980):
        many_like(done, more)
        own.get(address(verb, pk))
        with CaptureQueriesContext(connection) as queries:
            assert own.get(address(verb, pk)).status_code == 200
        counts.append(len(queries))

    assert counts[0] == counts[1] <= 12


@pytest.mark.parametrize("name", ["drill_list", "attempt_list"])
def test_a_list_takes_as_many_queries_for_twenty_scenarios_as_for_two(own, apprentice, name):
    counts = []
    for more in (2, 18):
        for _ in range(more):
            handed_in(person=apprentice, scenario=ScenarioFactory())
        with CaptureQueriesContext(connection) as queries:
            own.get(reverse(f"drills:{name}"))
        counts.append(len(queries))

    assert counts[0] == counts[1] <= 12
