"""Forms as a page shows them. What must hold is WCAG 2.2: 1.3.1, 3.3.1, 3.3.2 (design notes, section E)."""

from __future__ import annotations

import re
import types

import pytest
from crispy_forms.layout import Layout
from crispy_forms.utils import render_crispy_form
from django import forms

from courses.layout import Acts, AskHelper, Group, PlainHelper, Send, WayBack


@pytest.fixture(autouse=True)
def _no_addresses(settings):
    settings.ROOT_URLCONF = types.ModuleType("no_addresses")
    settings.ROOT_URLCONF.urlpatterns = []


class Answer(forms.Form):
    reading = forms.CharField(label="Clearance <end>", help_text="Nearest printed width.")
    remark = forms.CharField(label="Remark", required=False)
    verdict = forms.ChoiceField(
        label="This bearing is",
        choices=[("", "---------"), ("in", "inside"), ("tight", "too tight")],
        widget=forms.RadioSelect,
        help_text="Against the sheet.",
    )
    checked = forms.BooleanField(label="I have looked it over")

    def clean(self):
        if self.cleaned_data.get("reading") == "far off":
            raise forms.ValidationError("The whole answer is far off.")


def drawn(data=None, helper=None, form_class=Answer):
    form = form_class(data)
    form.helper = helper or PlainHelper(form, send="Look it over")
    return re.sub(r"\s+", " ", render_crispy_form(form))


def test_a_form_without_errors_says_nothing_of_errors():
    page = drawn()
    assert "alert" not in page
    assert "invalid" not in page
    assert page.count("<form") == 1
    assert "novalidate" in page
    assert 'method="post"' in page


def test_each_error_stands_in_the_summary_and_at_its_field():
    page = drawn({"remark": "kept as typed"})
    summary = page[page.index('role="alert"') : page.index("</ul>")]
    assert summary.count("<li>") == 3
    assert 'href="#id_reading"' in summary
    assert 'href="#div_id_verdict"' in summary
    assert 'id="div_id_verdict"' in page
    assert 'value="kept as typed"' in page
    field = re.search(r'<input[^>]*name="reading"[^>]*>', page).group()
    assert 'aria-invalid="true"' in field
    assert 'aria-describedby="id_reading_helptext id_reading_error"' in field
    assert 'id="id_reading_error"' in page
    assert 'id="id_reading_helptext"' in page


def test_an_error_of_the_whole_form_stands_in_the_summary_alone():
    page = drawn({"reading": "far off", "verdict": "in", "checked": "on"})
    assert page.count("The whole answer is far off.") == 1
    assert page.index("The whole answer") < page.index("id_reading")


def test_radio_buttons_are_large_choices_in_a_fieldset_with_their_error_before_them():
    page = drawn({"reading": "0.1 mm"})
    group = page[page.index("<fieldset") : page.index("</fieldset>")]
    assert 'aria-describedby="id_verdict_helptext id_verdict_error"' in group
    assert (
        group.index("<legend")
        < group.index('id_verdict_error"', 120)
        < group.index('class="choice"')
        < group.index('type="radio"')
    )
    assert group.count('type="radio"') == 2
    assert "---------" not in group
    assert "invalid-feedback" not in group[group.index('class="choice"') :]


def test_an_optional_question_keeps_a_way_not_to_answer():
    class Optional(forms.Form):
        verdict = forms.ChoiceField(
            choices=[("", "---------"), ("in", "inside")], widget=forms.RadioSelect, required=False
        )

    page = drawn(form_class=Optional)
    assert page.count('type="radio"') == 2
    assert "not said" in page
    assert "---------" not in page


def test_what_may_be_left_empty_is_said_in_words_and_nothing_carries_an_asterisk():
    page = drawn()
    assert page.count("(may be left empty)") == 1
    assert "*" not in page


def test_what_people_typed_or_named_is_never_markup_nor_a_template():
    class Named(forms.Form):
        a = forms.CharField(label="<b>{{ 7 }}</b>", help_text="<i>help</i>")

    helper = PlainHelper()
    helper.layout = Layout(
        Group("<u>{{ 7 }}</u>", "a"), Acts(Send("<s>{{ 7 }}</s>"), WayBack("<s>{{ 7 }}</s>", '"><script>'))
    )
    page = drawn({"a": ""}, helper, Named)
    assert not re.search(r"<(b|i|u|s|script)>", page)
    assert page.count("{{ 7 }}") == 5  # label, its line in the summary, legend, button, link


def test_a_button_can_say_which_of_several_was_pressed():
    helper = PlainHelper()
    helper.layout = Layout(
        "remark", Acts(Send("Draw", name="do", value="draw"), Send("Leave", name="do", value="leave", quiet=True))
    )
    page = drawn(None, helper)
    assert '<button class="btn" name="do" type="submit" value="draw">Draw</button>' in page
    assert '<button class="btn quiet" name="do" type="submit" value="leave">Leave</button>' in page


def test_a_form_that_asks_for_rows_is_sent_by_get_without_a_token():
    form = Answer()
    page = drawn(None, AskHelper(form))
    assert 'method="get"' in page
    assert "csrf" not in page
    assert "(may be left empty)" not in page


@pytest.mark.parametrize("action", ["", "/somewhere/"])
def test_the_address_is_written_only_where_one_is_given(action):
    assert ("action=" in drawn(None, PlainHelper(Answer(), action=action))) == bool(action)
