"""How a form is laid out, once for the whole site.

The markup itself is in ``courses/templates/bootstrap5``: a summary of the errors on top, each error beside
its field, radio buttons as large choices in a fieldset.
"""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Div, Layout, LayoutObject
from django.forms import BaseForm
from django.forms.utils import flatatt
from django.template import Context
from django.utils.html import format_html

PACK = "bootstrap5"


class PlainHelper(FormHelper):
    """A form of ours: sent by POST, its errors told by the server, with one plain button.

    ``send`` is the wording of the button; without it the form has none and the layout brings its own.
    """

    layout: Layout

    def __init__(
        self,
        form: BaseForm | None = None,
        *,
        send: str = "",
        action: str = "",
        method: str = "post",
        css_class: str = "plain",
    ) -> None:
        super().__init__(form)
        self.form_method = method
        self.form_action = action
        self.form_class = css_class
        # The browser's own pop-ups would stop a form before the server can say what is wrong.
        self.attrs = {"novalidate": True}
        if form is None:
            self.layout = Layout()
        if send:
            self.layout.append(Acts(Send(send)))


class AskHelper(PlainHelper):
    """A short form over a list: which rows to show. Sent by GET, so that the address can be kept."""

    def __init__(self, form: BaseForm | None = None, *, send: str = "Show") -> None:
        super().__init__(form, send=send, method="get", css_class="ask")


class Group(LayoutObject):
    """Fields that belong together under one legend. Unlike crispy's own, the legend is never read as a template."""

    def __init__(self, legend: str, *fields: Any) -> None:
        self.legend, self.fields = legend, list(fields)

    def render(self, form: BaseForm, context: Context, template_pack: str = PACK, **kwargs: Any) -> str:
        fields = self.get_rendered_fields(form, context, template_pack, **kwargs)
        return format_html("<fieldset><legend>{}</legend>{}</fieldset>", self.legend, fields)


class Send:
    """A button that sends the form. With ``name`` and ``value`` it tells which of several was pressed."""

    def __init__(self, text: str, *, name: str = "", value: str = "", quiet: bool = False) -> None:
        self.text = text
        self.attributes = {"type": "submit", "class": "btn quiet" if quiet else "btn"}
        if name:
            self.attributes |= {"name": name, "value": value}

    def render(self, form: BaseForm, context: Context, template_pack: str = PACK, **kwargs: Any) -> str:  # noqa: ARG002
        return format_html("<button{}>{}</button>", flatatt(self.attributes), self.text)


class Acts(Div):
    """The row of buttons at the end of a form."""

    def __init__(self, *buttons: Any) -> None:
        super().__init__(*buttons, css_class="acts")


class WayBack:
    """A link beside the buttons that leaves the form without sending it."""

    def __init__(self, text: str, address: str) -> None:
        self.text, self.address = text, address

    def render(self, form: BaseForm, context: Context, template_pack: str = PACK, **kwargs: Any) -> str:  # noqa: ARG002
        return format_html('<a class="btn quiet" href="{}">{}</a>', self.address, self.text)
