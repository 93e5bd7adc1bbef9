"""What was typed, said back as it was understood."""

from __future__ import annotations

from decimal import Decimal

from assessments.engine.quantities.printing import and_other, mixed, signed, with_unit
from assessments.engine.quantities.reading import Typed, split
from assessments.engine.quantities.units import factor


def understood(typed: Typed, step: float) -> str:
    """How a typed quantity was understood, in both systems: ``1 3/64 in (26.59 mm)``.

    The typed figures are all shown, a fraction reduced. step: what the field resolves, inner unit.
    """
    typed_number = split(typed.text, typed.kind)
    if typed.is_fraction:
        # The other unit's figures must tell one fraction from the next, however coarse the field.
        fine = min(step, abs(typed.value) / 500 or step)
        return and_other(with_unit(mixed(typed_number.value), typed.unit), typed.value, typed.unit, fine)
    exact = Decimal(typed_number.value.numerator) / Decimal(typed_number.value.denominator)
    fine = min(step, factor(typed.unit) / 10**typed_number.places)
    first = with_unit(signed(f"{exact:.{typed_number.places}f}"), typed.unit)
    return and_other(first, typed.value, typed.unit, fine)
