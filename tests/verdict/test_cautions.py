from dataclasses import replace

import pytest

from plugsight.readings import ReadingKind
from plugsight.verdict import cautions_for
from plugsight.vocabulary.bench import BenchQuestion
from plugsight.vocabulary.cautions import CAUTIONS
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import (
    Context,
    Cooling,
    EngineFacts,
    Fuel,
    FuelSystem,
    Ignition,
    Stroke,
    Use,
)

ENGINE = EngineFacts(
    "made up",
    4,
    cooling=Cooling.LIQUID,
    ignition=Ignition.COIL_ON_PLUG,
    fuel_system=FuelSystem.PORT_INJECTION,
    fuel=Fuel.PETROL,
    use=Use.ROAD,
)
TEXT = {c.id: c.text for c in CAUTIONS}


def shown(plug, engine=ENGINE, **what):
    texts = cautions_for(plug(engine=engine, **what))
    return {c.id for c in CAUTIONS if c.text in texts}


def test_every_caution_has_its_own_id_text_and_source():
    assert len(TEXT) == len(CAUTIONS)
    assert all(c.text and c.source for c in CAUTIONS)


def test_always_shown(plug):
    assert {"rules first", "engine cold", "ignition off", "spark test", "wells", "vapour"} <= shown(plug)


@pytest.mark.parametrize(
    ("facts", "caution"),
    [
        ({"fuel_system": FuelSystem.DIRECT_INJECTION}, "rail pressure"),
        ({"fuel_system": None}, "rail pressure"),
        ({"ignition": Ignition.MAGNETO}, "magneto live"),
        ({"use": Use.MARINE}, "boat vapour"),
        ({"use": Use.AIRCRAFT}, "aircraft"),
        ({"fuel": Fuel.LPG}, "gas tank"),
        ({"fuel": Fuel.CNG}, "gas tank"),
    ],
)
def test_shown_where_it_applies_and_only_there(plug, facts, caution):
    assert caution in shown(plug, replace(ENGINE, **facts))
    assert caution not in shown(plug)


def test_no_radiator_on_an_air_cooled_engine(plug):
    assert "radiator cap" in shown(plug)
    assert "radiator cap" not in shown(plug, replace(ENGINE, cooling=Cooling.AIR))


def test_liquid_in_a_cylinder(plug):
    assert "liquid" not in shown(plug)
    assert "liquid" in shown(plug, deposits=[Deposit.MINERAL])
    assert "liquid" in shown(plug, bench={BenchQuestion.LIQUID: "oil"})


def test_a_hot_catalyst_after_a_misfire(plug):
    assert "catalyst" in shown(plug, context=Context(complaints=("misfire",)))
    assert "catalyst" in shown(plug, context=Context(codes=("P0302",)))
    assert "catalyst" not in shown(plug, context=Context(codes=("P0325",)))


def test_a_plug_that_is_cleaned_gets_the_cleaning_cautions(verdict):
    said = verdict(deposits=[Deposit.DRY_CARBON]).cautions
    assert {TEXT["brake cleaner"], TEXT["wire brush"], TEXT["cleaning air"]} <= {*said}
    assert not verdict().cautions
    leak = verdict(readings={ReadingKind.INSULATION: "5M"})
    assert TEXT["brake cleaner"] in leak.cautions


@pytest.mark.parametrize("damage", [Damage.METAL_SPECKS, Damage.BENT_STRAP, Damage.MISSING_PIECE])
def test_broken_parts_are_not_run(verdict, damage):
    assert TEXT["don't run"] in verdict(damage=[damage]).cautions


def test_a_pale_two_stroke_can_seize(verdict):
    two = replace(ENGINE, stroke=Stroke.TWO)
    assert TEXT["can seize"] in verdict(deposits=[Deposit.CHALK_WHITE], engine=two).cautions
    assert TEXT["can seize"] not in verdict(deposits=[Deposit.CHALK_WHITE]).cautions
