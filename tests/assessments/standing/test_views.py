"""The pages of standing: who sees them, what stands on them, and what a signature takes."""

from __future__ import annotations

import datetime as dt
import re
import uuid

import pytest
from django.urls import reverse
from django.utils import timezone

from assessments.ledger.models import Event, Occurrence, WorkDone
from assessments.standing import services
from assessments.standing.acts import ACTS
from courses.people.roles import Role
from tests.factories.people import PASSWORD, CrewFactory, PersonFactory
from tests.factories.standing import NOW, TODAY

READERS = [Role.SUPERVISOR, Role.ASSESSOR, Role.INSTRUCTOR, Role.AUDITOR, Role.ADMINISTRATOR]


@pytest.fixture
def at(client):
    def signed_in(person):
        client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
        return client

    return signed_in


@pytest.fixture(autouse=True)
def _today(time_machine):
    time_machine.move_to(NOW, tick=False)


def text(response):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", response.content.decode()))


def url(name, plant, *more, task="B1"):
    return reverse(f"standing:{name}", args=[plant.person.pk, task, *more])


# --- The board -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("role", READERS)
def test_those_who_plan_teach_and_oversee_read_the_board(at, plant, role):
    response = at(PersonFactory(roles=[role])).get(reverse("standing:board_show"))
    assert response.status_code == 200
    assert response.content.count(b"<h1>") == 1


def test_the_board_is_not_there_for_a_mechanic_and_that_is_logged(at, plant, caplog):
    for address in (reverse("standing:board_show"), reverse("standing:task_holders", args=["B1"])):
        assert at(plant.person).get(address).status_code == 404
    assert "without the role for it" in caplog.text


def test_the_board_gives_each_state_as_a_word_and_a_mark_and_leads_to_its_reasons(at, plant, said):
    services.grant(**said)
    page = at(plant.boss).get(reverse("standing:board_show")).content.decode()
    cell = page[page.index(f'<a href="{url("standing_show", plant)}"') :]
    assert 'href="#m-qualified"' in cell[:400]
    assert '<span class="word">qualified</span>' in cell[:600]
    assert page.count("<symbol") == 9
    for mark in set(re.findall(r'href="#(m-[a-z-]+)"', page)):
        assert f'<symbol id="{mark}"' in page


def test_the_board_of_another_day_says_so_and_keeps_the_day_in_its_links(at, plant, said):
    services.grant(**said)
    shown = at(plant.boss).get(reverse("standing:board_show"), {"on": "2029-11-25"})
    assert "On Sunday 25 November 2029" in text(shown)
    assert f"{url('standing_show', plant)}?on=2029-11-25" in shown.content.decode()
    assert 'class="c lapsed"' in shown.content.decode()


def test_a_day_that_cannot_be_read_shows_today_and_says_what_would_be_right(at, plant):
    shown = at(plant.boss).get(reverse("standing:board_show"), {"on": "soon", "crew": "zzz"})
    assert shown.status_code == 200
    assert "Write the day as 2027-03-14" in text(shown)


def test_thin_cover_is_named_below_the_board(at, plant, said):
    services.grant(**said)
    shown = text(at(plant.boss).get(reverse("standing:board_show")))
    assert "Thin cover: B1 measure has one holder, B4 bearings has nobody, D1 trip gear has nobody." in shown
    services.grant(**{**said, "person": plant.other})
    filtered = at(plant.boss).get(reverse("standing:board_show"), {"task": "B1"})
    assert "Every task has two holders or more." in text(filtered)


def test_a_crew_with_nobody_in_it_gets_a_sentence(at, plant):
    shown = at(plant.boss).get(reverse("standing:board_show"), {"crew": CrewFactory().pk})
    assert "Nobody stands on the board for this choice." in text(shown)


def test_the_board_takes_the_same_queries_for_two_people_and_for_twenty(at, plant, said, django_assert_max_num_queries):
    client = at(plant.boss)
    PersonFactory(roles=[Role.MECHANIC])
    with django_assert_max_num_queries(15) as two:
        client.get(reverse("standing:board_show"))
    for _ in range(18):
        services.grant(**{**said, "person": PersonFactory(roles=[Role.MECHANIC])})
    with django_assert_max_num_queries(len(two)):
        client.get(reverse("standing:board_show"))


def test_the_board_as_it_was_known_leaves_out_what_came_later_and_says_so(at, plant, said):
    services.grant(**said)
    asked = {"on": "2026-11-24", "known": "2026-11-23"}
    shown = at(plant.boss).get(reverse("standing:board_show"), asked)
    assert "As it was known at the end of 23 November 2026." in text(shown)
    assert "As known the end of 23 November 2026" in text(shown)
    assert 'class="c qualified"' not in shown.content.decode()
    for name in ("standing_show", "task_holders"):
        address = url(name, plant) if name == "standing_show" else reverse("standing:task_holders", args=["B1"])
        assert f'{address}?known=2026-11-23"' in shown.content.decode()
        assert "As it was known at the end of 23 November 2026." in text(at(plant.boss).get(address, asked))
    assert "Nobody may do B1 alone that day." in text(at(plant.boss).get(address, asked))
    assert "/suspend/" not in at(plant.boss).get(url("standing_show", plant), asked).content.decode()


def test_the_day_shown_stands_in_the_field_also_where_another_question_was_asked(at, plant):
    shown = at(plant.boss).get(reverse("standing:board_show"), {"task": "B1"}).content.decode()
    assert re.search(r'<input type="date" name="on" value="2026-11-24"', shown)


# --- One person and one task -------------------------------------------------------------------------------------


def test_the_page_says_why_until_when_and_under_what_condition(at, plant, said):
    services.grant(**said)
    services.restrict(**said, restriction="by day only")
    shown = text(at(plant.boss).get(url("standing_show", plant)))
    for words in (
        "qualified, restricted",
        "to the end of 24 November 2029",
        "Granted on 24 November 2026 by Maren Boss.",
        "by day only",
        "24 Nov 2026 09:26 GMT",
    ):
        assert words in shown


def test_a_supervisor_gets_the_buttons_and_an_auditor_does_not(at, plant, said):
    services.grant(**said)
    page = at(plant.boss).get(url("standing_show", plant)).content.decode()
    for name in ("renew", "suspend", "restrict", "withdraw"):
        assert url(name, plant) in page
    assert url("correct", plant, Event.objects.get().pk) in page
    page = at(PersonFactory(roles=[Role.AUDITOR])).get(url("standing_show", plant)).content.decode()
    assert not any(url(name, plant) in page for name in ("renew", "suspend", "restrict", "withdraw"))
    assert "/correct/" not in page


def test_an_apprentice_reads_their_own_and_nobody_elses(at, plant):
    assert at(plant.person).get(url("standing_show", plant)).status_code == 200
    other = reverse("standing:standing_show", args=[plant.boss.pk, "B1"])
    missing = reverse("standing:standing_show", args=[10**9, "B1"])
    assert text(at(plant.person).get(other)) == text(at(plant.person).get(missing))
    assert at(plant.person).get(other).status_code == 404


def test_a_task_or_person_that_does_not_exist_is_not_there(at, plant):
    assert at(plant.boss).get(url("standing_show", plant, task="Q9")).status_code == 404
    assert at(plant.boss).get(reverse("standing:task_holders", args=["Q9"])).status_code == 404


def test_the_page_of_a_past_day_shows_that_day(at, plant, said):
    services.grant(**said)
    assert "ready for sign-off" in text(at(plant.boss).get(url("standing_show", plant), {"on": "2026-11-23"}))


def test_a_drilled_task_shows_the_path_between_the_two_lines(at, plant):
    from assessments.standing.mastery import SequentialTest
    from assessments.standing.rules import Rule

    services.issue_rule(
        task=plant.b1,
        rule=Rule("B1", mastery=SequentialTest(0.6, 0.85, 0.05, 0.1, 40)),
        effective_on=TODAY,
        by=plant.boss,
        reason="So.",
        at=NOW,
    )
    page = at(plant.person).get(url("standing_show", plant))
    assert (
        '<desc id="path-words">0 right of 0 drills. Between the lines: go on. 9 more right in a row would pass.</desc>'
        in page.content.decode()
    )
    assert "4.1% pass one series by luck" in text(page)


def test_who_may_do_a_task_is_answered_straight(at, plant, said):
    services.grant(**said)
    shown = text(at(plant.boss).get(reverse("standing:task_holders", args=["B1"])))
    assert re.search(r"May do it .*Pim Learner", shown)
    shown = text(at(plant.boss).get(reverse("standing:task_holders", args=["D1"]), {"on": "2026-11-30"}))
    assert "Nobody may do D1 alone that day." in shown
    assert re.search(r"Nearest to it .*Pim Learner", shown)


def test_ones_own_page_says_what_each_task_still_waits_for(at, plant):
    shown = text(at(plant.person).get(reverse("standing:own")))
    assert "Still missing: B1 held first (now: ready for sign-off); a grant." in shown
    assert "Still missing: a grant." in shown


def test_ones_own_page_without_tasks(at, db):
    assert "No tasks have been set up yet." in text(at(PersonFactory()).get(reverse("standing:own")))


# --- Signing --------------------------------------------------------------------------------------------------------


def answers(**more):
    return {"reason": "Watched twice.", "on": "2026-11-24", "password": PASSWORD, "token": str(uuid.uuid4()), **more}


def test_a_signing_page_shows_name_time_with_zone_and_meaning(at, plant):
    shown = text(at(plant.boss).get(url("grant", plant)))
    for words in ("Maren Boss", "24 November 2026, 09:26 GMT", "authorised", "Pim Learner", "ready for sign-off"):
        assert words in shown


def test_a_grant_is_signed_with_reason_and_password(at, plant):
    response = at(plant.boss).post(url("grant", plant), answers(), follow=True)
    assert response.redirect_chain == [(url("standing_show", plant), 302)]
    assert "Signed and entered as event 1 of Pim Learner." in text(response)
    event = Event.objects.get()
    assert (event.kind, event.reason, event.entered_by, event.meaning) == (
        "granted",
        "Watched twice.",
        plant.boss,
        "authorised",
    )


@pytest.mark.parametrize("typed", ["2026-11-01", "2026-12-24"])
def test_a_day_slipped_into_a_grant_is_not_heard(at, plant, typed):
    shown = at(plant.boss).get(url("grant", plant))
    assert 'name="on"' not in shown.content.decode()
    assert "on the day of signing; today it is 24 November 2026" in text(shown)
    at(plant.boss).post(url("grant", plant), answers(on=typed))
    assert Event.objects.get().effective_on == TODAY


def test_a_last_day_beyond_the_calendar_gets_a_sentence(at, plant):
    shown = text(at(plant.boss).post(url("grant", plant), answers(until_on="9999-12-31")))
    assert "The last day lies between 24 November 2026 and 24 November 2046." in shown
    assert not Event.objects.exists()


@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-31"])
def test_the_board_of_the_first_and_the_last_day_there_are_is_shown(at, plant, said, day):
    services.grant(**said)
    for address in (
        reverse("standing:board_show"), reverse("standing:task_holders", args=["B1"]), url("standing_show", plant),
    ):  # fmt: skip
        assert at(plant.boss).get(address, {"on": day}).status_code == 200


def test_the_same_form_sent_twice_enters_one_event(at, plant):
    sent = answers()
    for _ in range(2):
        assert at(plant.boss).post(url("grant", plant), sent).status_code == 302
    assert Event.objects.count() == 1


def test_a_wrong_password_signs_nothing_and_is_logged(at, plant, caplog):
    response = at(plant.boss).post(url("grant", plant), answers(password="another quite long one"))
    assert response.status_code == 200
    assert "This is not the password you sign in with. Nothing was signed." in text(response)
    assert "Watched twice." in response.content.decode()
    assert not Event.objects.exists()
    assert "wrong password for a signature" in caplog.text


def test_wrong_passwords_again_and_again_are_slowed(at, plant):
    statuses = [
        at(plant.boss).post(url("grant", plant), answers(password=f"wrong one number {number}")).status_code
        for number in range(6)
    ]
    assert statuses[-1] == 429
    assert at(plant.boss).post(url("grant", plant), answers()).status_code == 429
    assert not Event.objects.exists()


def test_without_a_reason_or_a_password_nothing_is_signed(at, plant):
    response = at(plant.boss).post(url("grant", plant), answers(reason="  ", password=""))
    assert "Say why. The reason stays in the record." in text(response)
    assert "Your password makes this your signature." in text(response)
    assert not Event.objects.exists()


def test_what_the_rules_refuse_comes_back_as_a_sentence_with_what_was_typed(at, plant):
    response = at(plant.boss).post(url("grant", plant, task="B4"), answers())
    assert response.status_code == 200
    assert "Still missing: B1 held first (now: ready for sign-off)." in text(response)
    assert "Watched twice." in response.content.decode()


def test_a_form_whose_token_was_used_for_something_else_is_refused(at, plant):
    sent = answers()
    at(plant.boss).post(url("grant", plant), sent)
    response = at(plant.boss).post(url("suspend", plant), sent)
    assert "This form was already used for another entry." in text(response)
    assert Event.objects.count() == 1


def test_a_tampered_token_is_refused(at, plant):
    assert at(plant.boss).post(url("grant", plant), answers(token="not a token")).status_code == 200
    assert not Event.objects.exists()


def test_a_condition_that_is_only_spaces_is_refused(at, plant, said):
    services.grant(**said)
    assert at(plant.boss).post(url("restrict", plant), answers(restriction="  ")).status_code == 200
    assert Event.objects.count() == 1


def test_every_signature_can_be_given_on_its_page(at, plant):
    boss, assessor = plant.boss, plant.assessor

    def sign(name, by, *more, **said):
        response = at(by).post(url(name, plant, *more, task="D1"), answers(**said))
        assert response.status_code == 302, (name, text(response))
        return Event.objects.latest("pk")

    granted = sign("grant", boss)
    sign("countersign", assessor)
    sign("renew", boss)
    bound = sign("restrict", boss, restriction="by day only")
    sign("lift", boss, bound.pk)
    sign("suspend", boss, until_on="2026-12-01")
    sign("reinstate", boss)
    sign("withdraw", boss)
    sign("correct", boss, granted.pk)
    assert [event.kind for event in Event.objects.order_by("pk")] == [
        "granted", "countersigned", "renewed", "restricted", "restriction lifted", "suspended", "reinstated", "withdrawn", "correction",
    ]  # fmt: skip
    assert Event.objects.get(kind="suspended").until_on == dt.date(2026, 12, 1)
    assert Event.objects.get(kind="correction").effective_on == timezone.localdate()


def test_a_supervisor_credits_earlier_training_on_the_page(at, plant, said):
    from assessments.standing.rules import Rule

    services.issue_rule(
        task=plant.b1, rule=Rule("B1", lessons=("caps",)), effective_on=TODAY, by=plant.boss, reason="So.", at=NOW
    )
    assert "I credit training from elsewhere" in text(at(plant.boss).get(url("grant", plant)))
    assert "I credit training" not in text(at(plant.assessor).get(url("grant", plant)))
    assert at(plant.boss).post(url("grant", plant), answers(credits_earlier_training="on")).status_code == 302
    assert Event.objects.get().evidence["missing"] == ["lesson caps read"]


def test_a_grant_that_takes_two_signatures_does_not_say_that_it_counts_already(at, plant):
    shown = text(at(plant.boss).get(url("grant", plant, task="D1")))
    assert "it counts only once a second person has countersigned" in shown
    assert "From today on the person may do this task alone." not in shown
    assert "From today on the person may do this task alone." in text(at(plant.boss).get(url("grant", plant)))


def test_where_evidence_is_missing_the_page_says_what_a_signature_then_means(at, plant):
    shown = text(at(plant.boss).get(url("grant", plant, task="B4")))
    assert "Evidence is missing. Signed here, this grant credits earlier training in its place." in shown
    assert "B1 held first (now: ready for sign-off)" in shown
    assert "Sign the grant, crediting earlier training" in shown
    refused = text(at(plant.assessor).get(url("grant", plant, task="B4")))
    assert "Evidence is missing. A grant will be refused until it is there." in refused
    assert "crediting earlier training" not in refused
    assert "Evidence is missing" not in text(at(plant.boss).get(url("grant", plant)))


@pytest.mark.parametrize("name", ACTS)
@pytest.mark.parametrize("role", [Role.MECHANIC, Role.INSTRUCTOR, Role.AUDITOR, Role.ADMINISTRATOR])
def test_a_role_that_does_not_sign_finds_no_page(at, plant, said, name, role):
    event = services.grant(**said)
    more = [event.pk] if ACTS[name].about else []
    client = at(PersonFactory(roles=[role]))
    assert client.get(url(name, plant, *more)).status_code == 404
    assert client.post(url(name, plant, *more), answers()).status_code == 404
    assert Event.objects.count() == 1


@pytest.mark.parametrize("name", ["suspend", "reinstate", "restrict", "withdraw"])
def test_an_assessor_finds_no_page_of_a_supervisor(at, plant, name):
    assert at(plant.assessor).get(url(name, plant)).status_code == 404


def test_nobody_finds_a_page_to_sign_for_themself(at, plant, caplog):
    address = reverse("standing:grant", args=[plant.boss.pk, "B1"])
    assert at(plant.boss).get(address).status_code == 404
    assert address in caplog.text


def test_signing_is_never_done_by_a_link(at, plant):
    at(plant.boss).get(url("grant", plant), answers())
    assert not Event.objects.exists()


# --- Evidence ------------------------------------------------------------------------------------------------------


def enter(kind, plant, *more):
    name = f"{kind}_correct" if more else f"{kind}_enter"
    return reverse(f"standing:{name}", args=[plant.person.pk, *more])


def seen(**more):
    return {"task": "B1", "on": "2026-11-20", "note": "On the feed pump turbine.", **more}


def test_a_task_done_is_entered_once_and_the_record_shows_it(at, plant):
    for _ in range(2):
        response = at(plant.boss).post(enter("work", plant), seen(), follow=True)
        assert response.redirect_chain == [(reverse("ledger:record_show", args=[plant.person.pk]), 302)]
        assert "Entered: a task done, Pim Learner." in text(response)
        assert "On the feed pump turbine." in text(response)
    row = WorkDone.objects.get()
    assert (row.task, row.on, row.entered_by, row.machine) == (plant.b1, dt.date(2026, 11, 20), plant.boss, None)


def test_an_absence_and_a_call_for_a_refresher_are_entered(at, plant):
    away = seen(kind="absent", task="", to_on="2026-11-22")
    assert at(plant.assessor).post(enter("occurrence", plant), away).status_code == 302
    assert at(plant.assessor).post(enter("occurrence", plant), seen(kind="near miss")).status_code == 302
    assert list(Occurrence.objects.values_list("kind", "task__code", "to_on")) == [
        ("absent", None, dt.date(2026, 11, 22)),
        ("near miss", "B1", None),
    ]


def test_an_instructor_enters_evidence_from_the_board_and_returns_there(at, plant):
    client = at(PersonFactory(roles=[Role.INSTRUCTOR]))
    assert enter("work", plant) in client.get(url("standing_show", plant)).content.decode()
    assert '<option value="B1" selected>' in client.get(enter("work", plant), {"task": "B1"}).content.decode()
    response = client.post(enter("work", plant), seen())
    assert (response.status_code, response.url) == (302, reverse("standing:board_show"))


def test_what_cannot_be_entered_comes_back_with_what_was_typed(at, plant):
    response = at(plant.boss).post(enter("work", plant), seen(on="2026-11-25"))
    assert response.status_code == 200
    assert "That day has not come yet. Enter it on the day." in text(response)
    assert "On the feed pump turbine." in response.content.decode()
    assert not WorkDone.objects.exists()


def test_a_correction_is_a_further_entry_and_the_first_stays(at, plant):
    client = at(plant.boss)
    client.post(enter("work", plant), seen())
    row = WorkDone.objects.get()
    assert "The entry of 20 November 2026 stays in the record" in text(client.get(enter("work", plant, row.pk)))
    taken_back = seen(note="Another person.", is_mistake="on", password=PASSWORD)
    assert client.post(enter("work", plant, row.pk), taken_back).status_code == 302
    assert list(WorkDone.objects.values_list("happened", "corrects")) == [(True, None), (False, row.pk)]
    assert client.post(enter("work", plant, row.pk), taken_back).status_code == 302
    again = client.post(enter("work", plant, row.pk), seen(note="Otherwise.", password=PASSWORD))
    assert "That entry has been corrected already." in text(again)
    assert WorkDone.objects.count() == 2


def test_a_correction_takes_the_password_again(at, plant, caplog):
    client = at(plant.boss)
    client.post(enter("occurrence", plant), seen(kind="unsafe act"))
    address = enter("occurrence", plant, Occurrence.objects.get().pk)
    assert "unsafe act seen, 20 November 2026, B1: On the feed pump turbine." in text(client.get(address))
    without = client.post(address, seen(note="Not so.", is_mistake="on"))
    assert "Your password makes this your signature." in text(without)
    wrong = client.post(address, seen(note="Not so.", is_mistake="on", password="another quite long one"))
    assert "This is not the password you sign in with. Nothing was entered." in text(wrong)
    assert Occurrence.objects.count() == 1
    assert "wrong password for a signature" in caplog.text
    assert client.post(address, seen(note="Not so.", is_mistake="on", password=PASSWORD)).status_code == 302
    assert Occurrence.objects.filter(happened=False).count() == 1


def test_an_entry_of_another_is_not_there_to_correct_but_for_a_supervisor(at, plant, caplog):
    at(plant.assessor).post(enter("occurrence", plant), seen(kind="unsafe act"))
    address = enter("occurrence", plant, Occurrence.objects.get().pk)
    other = PersonFactory(roles=[Role.INSTRUCTOR, Role.ASSESSOR])
    assert at(other).get(address).status_code == 404
    assert at(other).post(address, seen(is_mistake="on", password=PASSWORD)).status_code == 404
    assert Occurrence.objects.count() == 1
    record = reverse("ledger:record_show", args=[plant.person.pk])
    assert address not in at(other).get(record).content.decode()
    for may in (plant.assessor, plant.boss):
        assert at(may).get(address).status_code == 200
        assert address in at(may).get(record).content.decode()


@pytest.mark.parametrize("kind", ["work", "occurrence"])
@pytest.mark.parametrize("role", [Role.MECHANIC, Role.AUDITOR, Role.ADMINISTRATOR])
def test_a_role_that_enters_no_evidence_finds_no_page(at, plant, kind, role, caplog):
    client = at(PersonFactory(roles=[role]))
    assert client.get(enter(kind, plant)).status_code == 404
    assert client.post(enter(kind, plant), seen(kind="absent")).status_code == 404
    assert enter(kind, plant) in caplog.text
    assert not WorkDone.objects.exists()
    assert not Occurrence.objects.exists()


def test_nobody_finds_a_page_to_enter_evidence_for_themself(at, plant):
    assert at(plant.boss).get(reverse("standing:work_enter", args=[plant.boss.pk])).status_code == 404
