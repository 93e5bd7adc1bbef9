"""The pages of the scenarios: who may open them, what they show, what they refuse."""

from __future__ import annotations

import html
import logging
import re

import pytest
from django.urls import reverse

from assessments.scenarios.models import Scenario, ScenarioRevision
from assessments.scenarios.services import draft_of, issue_revision
from courses.people.roles import Role
from tests.factories.machines import MachineFactory, SheetEntryFactory, SheetRevisionFactory
from tests.factories.people import PersonFactory
from tests.factories.scenarios import CLEARANCE, ScenarioFactory, ScenarioRevisionFactory
from tests.factories.tasks import TaskFactory

pytestmark = pytest.mark.django_db
READERS = {Role.INSTRUCTOR, Role.ADMINISTRATOR, Role.AUDITOR}
WRITERS = {Role.INSTRUCTOR, Role.ADMINISTRATOR}


@pytest.fixture
def scenario():
    return ScenarioFactory(slug="strip")


def sign_in(client, *roles):
    person = PersonFactory(roles=roles)
    client.force_login(person)
    return person


def page(response):
    return html.unescape(response.content.decode())


def headings(response):
    return re.findall(r"<h1[^>]*>(.*?)</h1>", page(response), re.DOTALL)


def sent_from(response):
    """Every field of the one POST form with a reason, as the page holds it."""
    form = response.context["form"]
    sent = {}
    for name in form.fields:
        value = form[name].value()
        sent[name] = "" if value is None else value
    return sent


def look_over(client, scenario, **changed):
    address = reverse("scenarios:scenario_revise", args=[scenario.slug])
    sent = sent_from(client.get(address))
    return client.post(address, {**sent, "reason": "Better.", "step": "look over", **changed})


@pytest.mark.parametrize("role", Role)
@pytest.mark.parametrize(
    ("name", "args", "allowed"),
    [
        ("scenario_list", [], READERS),
        ("scenario_show", ["strip"], READERS),
        ("scenario_revise", ["strip"], WRITERS),
        ("scenario_add", [], WRITERS),
    ],
)
def test_each_role_is_shown_its_pages_and_told_that_there_are_no_others(client, scenario, role, name, args, allowed):
    sign_in(client, role)
    response = client.get(reverse(f"scenarios:{name}", args=args))
    assert response.status_code == (200 if role in allowed else 404)
    assert len(headings(response)) == 1


@pytest.mark.parametrize("name", ["scenario_close", "scenario_reopen"])
@pytest.mark.parametrize("role", Role)
def test_opening_and_closing_is_for_those_who_write(client, scenario, role, name):
    sign_in(client, role)
    address = reverse(f"scenarios:{name}", args=["strip"])
    assert client.post(address).status_code == (302 if role in WRITERS else 404)
    assert client.get(address).status_code == 405


def test_nobody_is_shown_anything_without_signing_in(client, scenario):
    for name, args in [("scenario_list", []), ("scenario_show", ["strip"])]:
        assert client.get(reverse(f"scenarios:{name}", args=args)).status_code == 302


def test_hidden_and_missing_get_the_same_refusal_and_it_is_logged(client, scenario, caplog):
    sign_in(client, Role.MECHANIC)
    with caplog.at_level(logging.WARNING, logger="refusals"):
        hidden = client.get(reverse("scenarios:scenario_show", args=["strip"]))
        missing = client.get(reverse("scenarios:scenario_show", args=["no-such"]))
    assert (hidden.status_code, missing.status_code) == (404, 404)
    assert len(caplog.records) >= 2
    sign_in(client, Role.INSTRUCTOR)
    assert client.get(reverse("scenarios:scenario_show", args=["no-such"])).status_code == 404


def test_the_list_says_machine_method_revision_and_how_fair(client, scenario):
    ScenarioFactory(slug="bare", revision=False)
    sign_in(client, Role.INSTRUCTOR)
    text = page(client.get(reverse("scenarios:scenario_list")))
    revision = scenario.current
    assert f"{revision.sheet.machine} · Clearance by a squashed strip · revision 1 · 85 % of first draws fair" in text
    assert "B4 Check bearing clearance" in text
    assert "bare" in text
    assert ("open" in text, "closed" in text) == (True, True)


def test_an_auditor_reads_and_is_offered_nothing_to_write(client, scenario):
    sign_in(client, Role.AUDITOR)
    for response in (
        client.get(reverse("scenarios:scenario_list")),
        client.get(reverse("scenarios:scenario_show", args=["strip"])),
    ):
        assert "revise" not in page(response)
        assert "New scenario" not in page(response)


@pytest.mark.parametrize("how_many", [2, 20])
def test_the_list_takes_the_same_queries_for_two_and_for_twenty(client, django_assert_max_num_queries, how_many):
    ScenarioFactory.create_batch(how_many)
    sign_in(client, Role.INSTRUCTOR)
    with django_assert_max_num_queries(5) as found:
        client.get(reverse("scenarios:scenario_list"))
    assert len(found) == 4  # session, person, roles, scenarios


@pytest.mark.parametrize("how_many", [1, 20])
def test_a_scenario_takes_the_same_queries_with_one_revision_and_with_twenty(
    client, django_assert_max_num_queries, scenario, how_many
):
    for _ in range(how_many - 1):
        ScenarioRevisionFactory(scenario=scenario, sheet=scenario.current.sheet)
    sign_in(client, Role.INSTRUCTOR)
    with django_assert_max_num_queries(10) as found:
        client.get(reverse("scenarios:scenario_show", args=["strip"]))
    assert len(found) == 7  # session, person, roles, scenario, sheets, lines, revisions


def test_a_scenario_shows_how_its_draws_lie_and_one_of_them(client, scenario):
    sign_in(client, Role.INSTRUCTOR)
    response = client.get(reverse("scenarios:scenario_show", args=["strip"]))
    text = page(response)
    assert text.count('class="face"') == 5 + 2 + 2 + len(response.context["sample"].marked["held"])
    assert "Read the strip at both ends" in text
    assert "c1 = [w1 − √(w1² − 4 × k × A)] / (2 × k), k = 1 − π/4 = 0.2146" in text
    assert "The wide end was taken as the loose end" in text
    assert "0.090 to 0.150 mm" in text
    assert "Outside it: refit the liner" in text
    assert "US Army TM 5-2420-222-34" in text


@pytest.mark.parametrize(
    ("typed", "seed"),
    [("3", 3), ("", 0), ("-1", 0), ("none", 0), ("9" * 400, 0), ("1e3", 0), ("٣", 0), (str(2**60), 2**53)],
)
def test_the_address_says_which_sample_draw(client, scenario, typed, seed):
    sign_in(client, Role.INSTRUCTOR)
    response = client.get(reverse("scenarios:scenario_show", args=["strip"]), {"seed": typed})
    assert response.context["sample"].seed == seed


def test_one_can_go_to_the_next_sample_and_back(client, scenario):
    sign_in(client, Role.INSTRUCTOR)
    text = page(client.get(reverse("scenarios:scenario_show", args=["strip"]), {"seed": "5"}))
    assert 'href="?seed=4#sample"' in text
    assert 'href="?seed=6#sample"' in text


def test_a_newer_sheet_is_told_with_what_it_says_otherwise(client, scenario):
    sheet = SheetRevisionFactory(machine=scenario.current.sheet.machine, number=2, reason="Limits corrected.")
    SheetEntryFactory(revision=sheet, code=CLEARANCE, low="0.100")
    sign_in(client, Role.INSTRUCTOR)
    text = page(client.get(reverse("scenarios:scenario_show", args=["strip"])))
    assert "The machine's sheet has moved on." in text
    assert "Limits corrected." in text
    assert "newest sheet: 0.100 to 0.150 mm" in text


def test_a_revision_that_the_engine_no_longer_takes_is_said_to_be_one(client):
    ScenarioFactory(slug="old", revision__shares={"forgotten case": 1.0})
    sign_in(client, Role.INSTRUCTOR)
    response = client.get(reverse("scenarios:scenario_show", args=["old"]))
    assert response.status_code == 200
    assert "The engine no longer takes this revision." in page(response)
    assert "knows no case called forgotten case" in page(response)


def test_a_revision_of_a_method_that_is_gone_can_be_read_and_not_revised(client):
    ScenarioFactory(slug="old", revision__method="gone_since")
    sign_in(client, Role.INSTRUCTOR)
    assert client.get(reverse("scenarios:scenario_show", args=["old"])).status_code == 200
    assert client.get(reverse("scenarios:scenario_revise", args=["old"])).status_code == 404


def test_looking_over_shows_the_spread_and_issues_nothing(client, scenario):
    sign_in(client, Role.INSTRUCTOR)
    response = look_over(client, scenario, title="Looked over")
    assert headings(response) == ["Look it over: Looked over"]
    assert "This would be revision 2" in page(response)
    assert response.context["preview"].count == 2000
    assert scenario.revisions.count() == 1


def test_what_was_looked_over_is_issued_as_it_was(client, scenario):
    person = sign_in(client, Role.INSTRUCTOR)
    over = look_over(client, scenario, title="Looked over", reach="0.7")
    address = reverse("scenarios:scenario_revise", args=["strip"])
    response = client.post(address, {**sent_from(over), "step": "issue"}, follow=True)
    scenario.refresh_from_db()
    assert (scenario.current.number, scenario.current.title, scenario.current.reach) == (2, "Looked over", 0.7)
    assert (scenario.current.issued_by, scenario.current.reason) == (person, "Better.")
    assert "Revision 2 is issued" in page(response)


def test_the_hidden_fields_of_looking_over_are_all_that_was_typed(client, scenario):
    sign_in(client, Role.INSTRUCTOR)
    over = look_over(client, scenario)
    hidden = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page(over)))
    assert {name for name in over.context["form"].fields if name != "asked"} <= set(hidden)
    assert page(over).count('<input type="hidden" name="asked"') == 3


def test_one_can_go_back_and_change_something(client, scenario):
    sign_in(client, Role.INSTRUCTOR)
    response = look_over(client, scenario, title="Half done", step="change")
    assert response.context["form"]["title"].value() == "Half done"
    assert headings(response) == [f"New revision: {scenario.current.title}"]


def test_an_unfair_scenario_is_refused_with_the_remedy_and_what_was_typed_stays(client, scenario):
    sign_in(client, Role.INSTRUCTOR)
    response = look_over(client, scenario, title="Too coarse", **{"value-strip": "0.30 mm"})
    text = page(response)
    assert "of 2000 draws are fair" in text
    assert response.context["form"]["title"].value() == "Too coarse"
    assert response.context["form"]["value-strip"].value() == "0.30 mm"
    assert scenario.revisions.count() == 1


def test_a_revision_without_a_reason_is_refused(client, scenario):
    sign_in(client, Role.INSTRUCTOR)
    response = look_over(client, scenario, reason="")
    assert "reason" in response.context["form"].errors


def issued_meanwhile(scenario, other):
    return issue_revision(
        scenario=scenario,
        draft=draft_of(scenario.current),
        by=other,
        reason="Quicker.",
        at=scenario.current.issued_at,
        after=1,
    )


@pytest.mark.parametrize("step", ["look over", "issue"])
def test_the_second_of_two_instructors_is_told_and_can_go_on(client, scenario, step):
    sign_in(client, Role.INSTRUCTOR)
    address = reverse("scenarios:scenario_revise", args=["strip"])
    sent = {**sent_from(client.get(address)), "reason": "Better.", "title": "Mine"}
    issued_meanwhile(scenario, PersonFactory(full_name="Ada Quick"))
    response = client.post(address, {**sent, "step": step})
    text = page(response)
    assert "Revision 2 appeared meanwhile" in text
    assert "Ada Quick" in text
    assert response.context["form"]["title"].value() == "Mine"
    assert scenario.revisions.count() == 2
    again = client.post(address, {**sent_from(response), "step": "issue"}, follow=True)
    assert "Revision 3 is issued" in page(again)


def test_a_tampered_number_is_refused_and_logged(client, scenario, caplog):
    sign_in(client, Role.INSTRUCTOR)
    with caplog.at_level(logging.WARNING, logger="refusals"):
        response = look_over(client, scenario, after="yesterday")
    assert response.status_code == 200
    assert scenario.revisions.count() == 1
    assert "tampered" in caplog.text


def test_the_form_takes_no_more_queries_than_it_needs(client, django_assert_max_num_queries, scenario):
    sign_in(client, Role.INSTRUCTOR)
    with django_assert_max_num_queries(10):
        client.get(reverse("scenarios:scenario_revise", args=["strip"]))


def test_a_closed_scenario_says_so_and_can_be_opened_again(client, scenario):
    sign_in(client, Role.INSTRUCTOR)
    response = client.post(reverse("scenarios:scenario_close", args=["strip"]), follow=True)
    assert "closed: nobody can draw it" in page(response)
    assert not Scenario.objects.get(slug="strip").is_open
    response = client.post(reverse("scenarios:scenario_reopen", args=["strip"]), follow=True)
    assert "open for drills" in page(response)


def begin(client, **changed):
    revision = ScenarioRevisionFactory()
    query = {
        "task": TaskFactory(code="B4").code,
        "machine": revision.sheet.machine.slug,
        "method": "squashed_strip",
        **changed,
    }
    return reverse("scenarios:scenario_add", query=query), revision


def test_a_new_scenario_is_written_looked_over_and_opened(client):
    sign_in(client, Role.INSTRUCTOR)
    address, revision = begin(client)
    first = client.get(address)
    assert headings(first) == [f"New scenario: Clearance by a squashed strip, {revision.sheet.machine}"]
    typed = {
        **sent_from(first),
        "slug": "new-one",
        "title": "A new one",
        "situation": "Read it.",
        "value-strip": "0.60 mm",
        "limit-clearance": revision.limits["clearance"],
        "limit-taper": revision.limits["taper"],
        "instrument-w_governor": "squashed_strip_metric",
        "instrument-w_coupling": "squashed_strip_metric",
        "share-tapered": "0",
        "reason": "Wanted.",
    }
    over = client.post(address, {**typed, "step": "look over"})
    assert headings(over) == ["Look it over: A new one"]
    assert not Scenario.objects.filter(slug="new-one").exists()
    done = client.post(address, {**sent_from(over), "step": "issue"}, follow=True)
    assert "open for drills" in page(done)
    assert ScenarioRevision.objects.get(scenario__slug="new-one").number == 1


def test_a_machine_without_a_sheet_is_told_to_need_one(client):
    sign_in(client, Role.INSTRUCTOR)
    address, _ = begin(client, machine=MachineFactory().slug)
    assert "This machine has no sheet yet" in page(client.get(address))


@pytest.mark.parametrize("changed", [{"task": "Z98"}, {"machine": "none"}, {"method": "none"}])
def test_a_beginning_that_is_none_is_asked_again(client, changed):
    sign_in(client, Role.INSTRUCTOR)
    address, _ = begin(client, **changed)
    response = client.get(address)
    assert response.status_code == 200
    assert headings(response) == ["New scenario"]
