from __future__ import annotations

import logging
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal

import pytest
from django.urls import reverse

from courses.machines.models import SheetRevision
from courses.machines.selectors import drafts_of
from courses.machines.services import issue_sheet
from courses.people.roles import Role
from tests.courses.machines.test_forms import sent
from tests.factories.machines import EntryDraftFactory, MachineFactory
from tests.factories.people import PersonFactory

pytestmark = pytest.mark.django_db
AT = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)
LINE = EntryDraftFactory()
TIGHTER = replace(LINE, high=Decimal("0.140"))
OPEN = [
    reverse("machines:machine_list"),
    reverse("machines:machine_show", args=["t-2"]),
    reverse("machines:sheet_show", args=["t-2", 1]),
]
REVISE = reverse("machines:sheet_revise", args=["t-2"])


@pytest.fixture
def machine():
    machine = MachineFactory(slug="t-2", name="T-2 feed pump drive")
    issue_sheet(machine=machine, entries=[LINE], reason="First issue.", by=PersonFactory(), at=AT)
    return machine


def signed_in(client, *roles):
    person = PersonFactory(roles=roles)
    client.force_login(person)
    return person


def text(response):
    return " ".join(response.content.decode().split())


def send(client, *entries, step, **given):
    return client.post(REVISE, {**sent(*entries, **given), "step": step})


@pytest.mark.parametrize("role", Role)
@pytest.mark.parametrize("address", OPEN)
def test_every_role_may_see_machines_and_sheets(client, machine, role, address):
    signed_in(client, role)

    response = client.get(address)

    assert response.status_code == 200
    assert response.content.count(b"<h1") == 1
    assert (b"Issue a new revision" in response.content) == (role == Role.INSTRUCTOR and address != OPEN[0])


@pytest.mark.parametrize("role", Role)
def test_only_an_instructor_may_issue_a_sheet(client, machine, role):
    signed_in(client, role)
    status = 200 if role == Role.INSTRUCTOR else 404

    assert client.get(REVISE).status_code == status
    assert send(client, TIGHTER, step="issue").status_code == (302 if role == Role.INSTRUCTOR else 404)
    assert SheetRevision.objects.count() == (2 if role == Role.INSTRUCTOR else 1)


@pytest.mark.parametrize("address", [*OPEN, REVISE])
def test_a_stranger_is_sent_to_sign_in(client, machine, address):
    assert client.get(address).status_code == 302


@pytest.mark.parametrize("address", ["/machines/t-9/", "/machines/t-2/sheet/9/", "/machines/t-9/sheet/revise/"])
def test_what_does_not_exist_is_not_found(client, machine, address):
    signed_in(client, Role.INSTRUCTOR)

    assert client.get(address).status_code == 404


def test_a_plant_without_machines_says_so(client):
    signed_in(client, Role.MECHANIC)

    assert "There is no machine yet" in text(client.get(OPEN[0]))


def test_a_machine_without_a_sheet_says_so(client):
    MachineFactory(slug="t-2")
    signed_in(client, Role.INSTRUCTOR)

    assert "No sheet yet" in text(client.get(OPEN[0]))
    assert "No sheet has been issued yet." in text(client.get(OPEN[1]))
    assert "The first sheet of this machine." in text(client.get(REVISE))


def test_a_sheet_gives_figure_unit_source_and_what_to_do(client, machine):
    issue_sheet(
        machine=machine, entries=[replace(LINE, outside="Refit.")], reason="Say what to do.", by=PersonFactory(), at=AT
    )
    signed_in(client, Role.MECHANIC)

    page = text(client.get(reverse("machines:sheet_show", args=["t-2", 2])))

    for words in ("0.090 to 0.150 mm", "invented for practice", "Refit.", "governor-end bearing", "Say what to do."):
        assert words in page
    assert "Never use them for a real machine" in page
    assert "Not in force" not in page


def test_a_real_machine_bears_no_notice_of_invention(client, machine):
    type(machine).objects.update(is_invented=False)
    signed_in(client, Role.MECHANIC)

    assert "made up for practice" not in text(client.get(OPEN[2]))


def test_an_old_sheet_says_that_it_is_not_in_force(client, machine):
    issue_sheet(machine=machine, entries=[TIGHTER], reason="Drawn in.", by=PersonFactory(), at=AT)
    signed_in(client, Role.MECHANIC)

    page = text(client.get(OPEN[2]))

    assert "Not in force." in page
    assert reverse("machines:sheet_show", args=["t-2", 2]) in page
    assert "Drawn in." not in page  # the history on a sheet ends with that sheet


def test_the_history_says_what_changed(client, machine):
    issue_sheet(machine=machine, entries=[TIGHTER], reason="Drawn in.", by=PersonFactory(), at=AT)
    signed_in(client, Role.MECHANIC)

    page = text(client.get(OPEN[1]))

    assert "<del>0.090 to 0.150 mm</del> is now <ins>0.090 to 0.140 mm</ins>" in page


def test_a_new_sheet_is_looked_over_before_it_counts(client, machine):
    by = signed_in(client, Role.INSTRUCTOR)

    looked = send(client, TIGHTER, step="look over")

    assert looked.content.count(b"<h1") == 1
    assert "<ins>0.090 to 0.140 mm</ins>" in text(looked)
    assert SheetRevision.objects.count() == 1

    done = send(client, TIGHTER, step="issue")

    latest = SheetRevision.objects.first()
    assert done.url == reverse("machines:sheet_show", args=["t-2", 2])
    assert (latest.number, latest.issued_by, drafts_of(latest)) == (2, by, [TIGHTER])


def test_the_page_that_looks_over_sends_back_all_that_was_typed(client, machine):
    signed_in(client, Role.INSTRUCTOR)
    data = {**sent(TIGHTER, reason="Drawn in."), "step": "look over"}

    page = text(client.post(REVISE, data))

    for name in ("line-0-high", "line-0-code", "line-2-label", "line-0-DELETE", "reason", "after", "line-TOTAL_FORMS"):
        assert f'name="{name}"' in page
    assert 'value="0.140"' in page


def test_from_the_look_over_one_can_go_back_with_everything_kept(client, machine):
    signed_in(client, Role.INSTRUCTOR)

    page = text(send(client, TIGHTER, step="change", reason="Drawn in."))

    assert "Drawn in.</textarea>" in page
    assert 'value="0.140"' in page
    assert SheetRevision.objects.count() == 1


def test_nothing_new_is_told_so(client, machine):
    signed_in(client, Role.INSTRUCTOR)

    assert "Nothing is different" in text(send(client, LINE, step="look over"))
    assert "Nothing is different" in text(send(client, LINE, step="issue"))
    assert SheetRevision.objects.count() == 1


@pytest.mark.parametrize("step", ["look over", "issue"])
def test_a_mistake_keeps_what_was_typed(client, machine, step):
    signed_in(client, Role.INSTRUCTOR)

    page = text(send(client, LINE, step=step, reason="", line_0_high="0.05", line_0_low="0.0700"))

    assert "more than the low one" in page
    assert 'value="0.0700"' in page
    assert SheetRevision.objects.count() == 1


@pytest.mark.parametrize("step", ["look over", "issue"])
def test_the_second_of_two_is_told_what_appeared_meanwhile(client, machine, step):
    other = PersonFactory(full_name="O. Thorn")
    issue_sheet(machine=machine, entries=[TIGHTER], reason="Drawn in.", by=other, at=AT)
    signed_in(client, Role.INSTRUCTOR)
    mine = replace(LINE, source="maker")

    page = text(send(client, mine, step=step, after=1))

    assert "Revision 2 appeared meanwhile" in page
    assert "O. Thorn" in page
    assert "<ins>0.090 to 0.140 mm</ins>" in page
    assert 'value="maker"' in page
    assert 'name="after" value="2"' in page
    assert SheetRevision.objects.count() == 2


def test_after_being_told_the_second_may_go_on_from_the_new_sheet(client, machine):
    issue_sheet(machine=machine, entries=[TIGHTER], reason="Drawn in.", by=PersonFactory(), at=AT)
    signed_in(client, Role.INSTRUCTOR)

    assert send(client, replace(TIGHTER, source="maker"), step="issue", after=2).status_code == 302


def test_a_sheet_sent_twice_is_issued_once(client, machine):
    signed_in(client, Role.INSTRUCTOR)

    first = send(client, TIGHTER, step="issue")
    second = send(client, TIGHTER, step="issue")

    assert first.url == second.url
    assert SheetRevision.objects.count() == 2


@pytest.mark.parametrize("after", ["x", "-1", ""])
def test_a_tampered_number_is_refused_and_logged(client, machine, caplog, after):
    signed_in(client, Role.INSTRUCTOR)

    with caplog.at_level(logging.WARNING, logger="refusals"):
        response = send(client, TIGHTER, step="issue", after=after)

    assert response.status_code == 200
    assert SheetRevision.objects.count() == 1
    assert "tampered form" in caplog.text


def test_a_tampered_count_of_lines_is_refused(client, machine):
    signed_in(client, Role.INSTRUCTOR)

    response = send(client, TIGHTER, step="issue", line_TOTAL_FORMS="many")

    assert response.status_code == 200
    assert SheetRevision.objects.count() == 1


def test_the_first_sheet_of_a_machine_is_issued_on_the_page(client):
    MachineFactory(slug="t-2")
    signed_in(client, Role.INSTRUCTOR)
    fields = {
        f"line_0_{name}": str(getattr(LINE, name))
        for name in ("code", "label", "where", "form", "unit", "low", "high", "source")
    }

    assert "What the first sheet will say" in text(send(client, step="look over", after=0, **fields))
    assert send(client, step="issue", after=0, **fields).status_code == 302
    assert drafts_of(SheetRevision.objects.get()) == [LINE]


@pytest.mark.parametrize("count", [2, 20])
def test_the_pages_take_as_many_queries_for_many_rows(client, count, django_assert_max_num_queries):
    machine = MachineFactory(slug="t-2")
    for number in range(1, count + 1):
        MachineFactory()
        entries = [replace(LINE, code=f"line.{index}", source=str(number)) for index in range(count)]
        issue_sheet(machine=machine, entries=entries, reason="So.", by=machine_owner(), at=AT)
    signed_in(client, Role.INSTRUCTOR)

    for address, most in [(OPEN[0], 4), (OPEN[1], 6), (OPEN[2], 8), (REVISE, 6)]:
        with django_assert_max_num_queries(most):
            assert client.get(address).status_code == 200


def machine_owner():
    return PersonFactory()
