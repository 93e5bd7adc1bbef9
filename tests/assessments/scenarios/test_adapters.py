"""Rows become engine values: every unit a sheet may use, and what does not fit is refused in a sentence."""

from __future__ import annotations

from decimal import Decimal

import pytest
from scipy import constants

from assessments.engine.errors import BadScenarioError
from assessments.engine.kinds import Kind
from assessments.engine.methods import find_method
from assessments.scenarios import adapters
from assessments.scenarios.adapters import engine_scenario, is_of_kind, kind_of_limit
from courses.machines.units import UNITS
from tests.factories.machines import SheetEntryFactory
from tests.factories.scenarios import JOURNAL, TAPER, ScenarioRevisionFactory, StripSheetFactory

LBF_N = constants.pound * constants.g

SIZES = {
    # What one of each is in the engine's inner unit, from CODATA and the definitions in scipy.constants.
    "mm": (Kind.LENGTH, 1.0),
    "µm": (Kind.LENGTH, 1e-3),
    "in": (Kind.LENGTH, constants.inch * 1e3),
    "thou": (Kind.LENGTH, constants.mil * 1e3),
    "°": (Kind.ANGLE, constants.degree),
    "rpm": (Kind.SPEED, 1.0),
    "°C": (Kind.TEMPERATURE, 1.0),
    "°F": (Kind.TEMPERATURE, constants.convert_temperature(1.0, "F", "C")),
    "bar": (Kind.PRESSURE, 1.0),
    "psi": (Kind.PRESSURE, constants.psi / constants.bar),
    "N": (Kind.FORCE, 1.0),
    "kN": (Kind.FORCE, 1e3),
    "lbf": (Kind.FORCE, LBF_N),
    "N m": (Kind.TORQUE, 1.0),
    "lbf ft": (Kind.TORQUE, LBF_N * constants.foot),
    "lbf in": (Kind.TORQUE, LBF_N * constants.inch),
    "kg": (Kind.MASS, 1.0),
    "lb": (Kind.MASS, constants.pound),
    "g mm": (Kind.UNBALANCE, 1.0),
    "oz in": (Kind.UNBALANCE, constants.pound / 16 * 1e3 * constants.inch * 1e3),
    "1/K": (Kind.EXPANSION, 1.0),
    "1/°F": (Kind.EXPANSION, 1.8),
    "%": (Kind.RATIO, 0.01),
}


def test_every_unit_of_a_sheet_is_in_the_table_here():
    assert SIZES.keys() == UNITS.keys()


@pytest.mark.parametrize("unit", UNITS)
def test_the_engine_reads_every_unit_of_a_sheet_as_its_kind_and_size(unit):
    kind, size = SIZES[unit]
    assert is_of_kind(unit, kind)
    assert adapters._inner(Decimal("1.000"), unit, kind) == pytest.approx(size, rel=1e-9)


@pytest.mark.parametrize("unit", UNITS)
def test_no_unit_of_a_sheet_passes_for_another_kind(unit):
    kinds = {kind for kind in Kind if is_of_kind(unit, kind)}
    also = {
        "lb": {Kind.FORCE},  # a pound is weighed and is pulled with
        "°C": {Kind.TEMPERATURE_STEP},
        "°F": {Kind.TEMPERATURE_STEP},
    }
    assert kinds == {SIZES[unit][0]} | also.get(unit, set())


def test_a_limit_measures_what_is_held_against_it():
    assert kind_of_limit(find_method("squashed_strip"), "taper") is Kind.LENGTH


@pytest.mark.django_db
def test_a_revision_becomes_an_engine_scenario_with_its_sheets_figures():
    revision = ScenarioRevisionFactory()
    scenario = engine_scenario(revision)
    assert scenario.name == f"{revision.scenario.slug}/1"
    assert scenario.dims == {"strip": 0.6}
    assert (scenario.limits["clearance"].low, scenario.limits["clearance"].high) == (0.09, 0.15)
    assert (scenario.limits["taper"].low, scenario.limits["taper"].high) == (None, 0.02)
    assert scenario.limits["clearance"].source == "sheet revision 1: invented for practice"
    assert scenario.limits["clearance"].outside == "refit the liner"


@pytest.mark.django_db
def test_a_figure_with_a_tolerance_becomes_a_limit_both_sides():
    sheet = StripSheetFactory()
    SheetEntryFactory(
        revision=sheet,
        code="pm",
        form="plus or minus",
        nominal=Decimal("0.005"),
        tolerance=Decimal("0.001"),
        low=None,
        high=None,
        unit="in",
    )
    revision = ScenarioRevisionFactory.build(
        scenario__slug="s", number=1, sheet=sheet, limits={"clearance": "pm", "taper": TAPER}
    )
    limit = engine_scenario(revision).limits["clearance"]
    assert (limit.low, limit.high) == (pytest.approx(0.1016), pytest.approx(0.1524))


@pytest.mark.django_db
def test_a_dimension_can_come_from_the_sheet():
    sheet = StripSheetFactory()
    SheetEntryFactory(
        revision=sheet, code="strip", form="dimension", nominal=Decimal("0.60"), low=None, high=None, decimals=2
    )
    revision = ScenarioRevisionFactory(sheet=sheet, dims={"strip": {"entry": "strip"}})
    assert engine_scenario(revision).dims == {"strip": 0.6}


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"limits": {"clearance": "no.such", "taper": TAPER}}, "no entry called no.such"),
        ({"limits": {"clearance": JOURNAL, "taper": TAPER}}, "is a dimension; a limit is needed here"),
        ({"dims": {"strip": {"entry": TAPER}}}, "is a limit; a dimension is needed here"),
        ({"dims": {}}, "needs a dimension called strip"),
        ({"limits": {"taper": TAPER}}, "needs a limit called clearance"),
        ({"instruments": {"w_governor": "squashed_strip_metric"}}, "needs an instrument for the reading"),
        ({"shares": {"unheard": 1.0}}, "knows no case called unheard"),
        ({"asked": ["weight"]}, "has no result called weight"),
    ],
)
def test_a_revision_that_does_not_fit_is_refused_in_a_sentence(changed, sentence):
    with pytest.raises(BadScenarioError, match=sentence):
        engine_scenario(ScenarioRevisionFactory(**changed))


@pytest.mark.django_db
def test_an_issued_revision_is_remembered_and_a_tried_one_is_not():
    issued = ScenarioRevisionFactory()
    assert engine_scenario(issued) is engine_scenario(type(issued).objects.get(pk=issued.pk))
    tried = type(issued)(scenario=issued.scenario, number=2, sheet=issued.sheet, method="squashed_strip")
    for name in ("dims", "limits", "instruments", "shares", "asked"):
        setattr(tried, name, getattr(issued, name))
    assert engine_scenario(tried) is not engine_scenario(tried)
