from __future__ import annotations

from fractions import Fraction

import scipy.constants

from assessments.engine.kinds import MM_PER_INCH, Kind


def test_an_inch_is_the_one_of_1959():
    # scipy.constants.inch is in metres.
    assert scipy.constants.inch * 1000 == MM_PER_INCH
    assert Fraction("25.4") == Fraction(str(MM_PER_INCH))


def test_every_kind_is_called_by_words_that_fit_into_a_sentence():
    assert all(kind.value == kind.value.lower().strip() and "_" not in kind.value for kind in Kind)
    assert len({kind.value for kind in Kind}) == len(Kind)


def test_a_level_of_temperature_is_not_a_difference():
    assert Kind.TEMPERATURE is not Kind.TEMPERATURE_STEP
