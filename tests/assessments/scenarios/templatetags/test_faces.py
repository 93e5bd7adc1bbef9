"""The tags put the engine's drawings into a page, and nothing else is marked safe."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import numpy as np
import pytest
from django.template import Context, Template

from assessments.engine.errors import UnknownNameError
from assessments.engine.instruments import all_instruments, find_instrument
from assessments.engine.sheets import Limit

HELD = {
    "label": "Tightest end",
    "value": 0.113,
    "low": 0.09,
    "high": None,
    "allowed": 0.005,
    "value_text": "0.113 mm",
    "low_text": "0.09 mm",
    "high_text": "",
}


def rendered(tag, **context):
    return Template("{% load faces %}" + tag).render(Context(context))


@pytest.mark.parametrize("name", all_instruments())
def test_every_instrument_can_be_put_into_a_page(name):
    instrument = find_instrument(name)
    middle = instrument.read((instrument.low + instrument.high) / 2)
    svg = rendered("{% face name reading 'f' '' %}", name=name, reading=middle)
    assert svg == instrument.face(middle, ident="f").svg
    assert ET.fromstring(svg).get("role") == "img"  # noqa: S314 - our own drawing


def test_a_condition_of_the_print_is_drawn():
    plain = rendered("{% face 'squashed_strip_metric' 2.3 'f' %}")
    odd = rendered("{% face 'squashed_strip_metric' 2.3 'f' 'disturbed' %}")
    assert plain != odd


def test_an_instrument_that_is_not_there_is_an_error_and_no_empty_picture():
    with pytest.raises(UnknownNameError):
        rendered("{% face 'crystal_ball' 1.0 'f' %}")


def test_a_marked_result_is_put_on_its_limit():
    svg = rendered("{% limit_bar held 'bar' %}", held=HELD)
    assert 'id="bar-title"' in svg
    assert "at least 0.09 mm" in svg


def test_a_label_cannot_break_out_of_the_drawing():
    svg = rendered("{% limit_bar held 'bar' %}", held={**HELD, "label": "<script>alert(1)</script>"})
    assert "<script" not in svg


def test_a_spread_and_a_range_are_drawn():
    limit = Limit.between(0.09, 0.15, source="x")
    svg = rendered("{% spread_plot values limit 'Mean' 'mm' None 'p' %}", values=np.array([0.1, 0.2]), limit=limit)
    assert "50 % inside" in svg
    svg = rendered("{% range_bar 'Width' 0.4 5.5 1.2 4.0 'mm' 'r' %}")
    assert "1.2 to 4 mm" in svg
