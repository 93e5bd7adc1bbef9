from __future__ import annotations

import pytest

from tests.house.coverage_floors import faults


def _report(percent=100.0, path="assessments/engine/scoring.py", total=90.0):
    return {
        "files": {path: {"summary": {"percent_covered": percent}, "missing_lines": [7], "missing_branches": [[3, 5]]}},
        "totals": {"percent_covered": total},
    }


def _known(files=None, everything=90.0, at_most=1):
    return {"files": files or {}, "everything": everything, "at_most": at_most}


@pytest.mark.parametrize(
    "path", ["assessments/engine/scoring.py", "courses/lessons/rules.py", "assessments/ledger/services/signing.py"]
)
def test_a_missed_branch_in_engine_rules_or_services_is_a_fault_that_names_its_lines(path):
    (fault,) = faults(_report(99.0, path), _known())

    assert path in fault
    assert "Lines 7; branches 3->5" in fault


def test_a_view_has_no_floor_of_its_own():
    assert list(faults(_report(50.0, "courses/people/views.py"), _known())) == []


def test_a_known_exception_is_held_to_its_own_floor():
    path = "courses/people/services.py"

    assert list(faults(_report(80.0, path), _known({path: 80.0}))) == []
    assert list(faults(_report(79.0, path), _known({path: 80.0})))


def test_a_floor_has_to_rise_with_what_is_reached():
    path = "courses/people/services.py"

    assert "Raise its floor" in next(faults(_report(82.0, path), _known({path: 80.0})))
    assert "take it out" in next(faults(_report(100.0, path), _known({path: 99.5})))
    assert "Raise `everything`" in next(faults(_report(total=95.0), _known()))


def test_the_list_of_exceptions_cannot_grow_or_name_what_is_gone():
    many = {"courses/a/rules.py": 1.0, "courses/b/rules.py": 1.0}

    assert len(list(faults(_report(), _known(many)))) == 3


def test_all_files_together_have_a_floor():
    assert "90 %" in next(faults(_report(total=89.0), _known()))
