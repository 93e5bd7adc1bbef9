"""What hypothesis draws from, shared by all property tests. Append; do not rewrite."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import strategies as st

from assessments.engine.kinds import Kind
from assessments.engine.quantities import units_of

# --- Quantities --------------------------------------------------------------------------------------

kinds = st.sampled_from(Kind)
kinds_and_units = kinds.flatmap(lambda kind: st.tuples(st.just(kind), st.sampled_from(units_of(kind))))
"""(kind, symbol of one of its units)."""

shop_fractions = st.builds(
    lambda whole, top, bottom: Fraction(whole) + Fraction(top % bottom, bottom),
    st.integers(0, 40),
    st.integers(0, 63),
    st.sampled_from([2, 4, 8, 16, 32, 64]),
)
"""Lengths a steel rule shows, in inches."""

near_quantities = st.text(alphabet="0123456789.,/- +−½⅛eExX×^⁻²_'\"°µmincthourpkNKFC*()٣１\u00a0\u202f", max_size=44)
"""Text built of what quantities are built of: mostly unreadable, sometimes not."""

# --- Scenarios -----------------------------------------------------------------------------------------

seeds = st.integers(0, 2**54 - 1)
"""Of draws: every one there is."""
