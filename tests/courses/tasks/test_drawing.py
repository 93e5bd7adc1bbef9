from __future__ import annotations

import re

from courses.tasks.drawing import BOX_HEIGHT, BOX_WIDTH, draw_order
from tests.courses.tasks.test_rules import JOB


def test_boxes_of_the_job_lie_inside_and_do_not_overlap():
    drawing = draw_order(JOB)

    assert len(drawing.boxes) == 15
    for box in drawing.boxes:
        assert 0 <= box.x <= drawing.width - BOX_WIDTH
        assert 0 <= box.y <= drawing.height - BOX_HEIGHT
    for one in drawing.boxes:
        for other in drawing.boxes:
            if one.code < other.code and one.y == other.y:
                assert abs(one.x - other.x) > BOX_WIDTH


def test_what_comes_after_is_drawn_lower():
    top = {box.code: box.y for box in draw_order(JOB).boxes}

    assert all(top[before] < top[code] for code, befores in JOB.items() for before in befores)


def test_each_line_begins_under_one_box_and_ends_over_another():
    drawing = draw_order(JOB)
    feet = {(box.middle_x, box.y + BOX_HEIGHT) for box in drawing.boxes}
    heads = {(box.middle_x, box.y - 2) for box in drawing.boxes}

    for path in drawing.paths:
        numbers = [float(number) for number in re.findall(r"[0-9.]+", path)]
        assert (numbers[0], numbers[1]) in feet
        assert (numbers[-2], numbers[-1]) in heads


def test_nothing_to_draw_is_an_empty_drawing():
    assert draw_order({}).boxes == ()
