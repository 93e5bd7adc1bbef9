"""Who may sign (ISO/IEC 17024: the one who decides took no part); more cases in test_states.py."""

from __future__ import annotations

import pytest

from assessments.standing.rules import Rule, Standing, State, refusal_to_sign


@pytest.mark.parametrize("state", list(State))
def test_only_who_holds_the_task_signs_without_being_named(state):
    refused = refusal_to_sign(
        Rule("A1"), signer=2, person=1, roles={"assessor"}, own=Standing(state, ()), is_named=False
    )
    assert (refused is None) is state.holds


@pytest.mark.parametrize("state", list(State))
def test_a_naming_stands_in_for_holding_but_not_for_what_was_taken_away(state):
    said = {"signer": 2, "person": 1, "roles": {"assessor"}, "is_named": True}
    refused = refusal_to_sign(Rule("A1"), own=Standing(state, ()), **said)
    assert (refused is not None) is (state in {State.SUSPENDED, State.WITHDRAWN})
    bound = refusal_to_sign(Rule("A1"), own=Standing(state, (), restrictions=("by day only",)), **said)
    assert bound is not None


def test_a_rule_may_let_supervisors_alone_sign():
    rule = Rule("A1", signed_by_roles=("supervisor",))
    own = Standing(State.QUALIFIED, ())
    assert (
        refusal_to_sign(rule, signer=2, person=1, roles={"assessor"}, own=own, is_named=True)
        == "A1 is signed by: supervisor."
    )
    assert refusal_to_sign(rule, signer=2, person=1, roles={"assessor", "supervisor"}, own=own, is_named=False) is None
