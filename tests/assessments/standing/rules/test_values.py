from __future__ import annotations

from assessments.standing.rules import State


def test_only_two_states_let_a_person_do_the_task():
    assert [state for state in State if state.holds] == [State.QUALIFIED, State.DUE]
