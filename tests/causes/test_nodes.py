"""Which causes can act where."""

import pytest

from plugsight.causes import Scope
from plugsight.causes.load_knowledge import catalogue
from plugsight.causes.nodes import NEAR, coil_pairs, neighbours, nodes_of
from plugsight.vocabulary.engine import Cooling, EngineFacts, FuelSystem, Ignition, Stroke, Use


def ids(engine, benign=False):
    return {n.cause.id for n in nodes_of(engine, catalogue(), benign=benign)}


def test_at_least_forty_causes():
    assert len(catalogue().causes) >= 40


def test_an_unknown_fact_rules_nothing_out():
    bare = ids(EngineFacts("made up", 4))
    assert {"water_pump", "air_cooling", "carburettor_rich", "injector_leaking", "plug_lead"} <= bare


def test_two_strokes_have_no_valves_and_causes_of_their_own():
    two = ids(EngineFacts("made up", 1, stroke=Stroke.TWO))
    assert {"ts_oil_rich", "ts_air_leak", "ts_gearbox_seal"} <= two
    assert not two & {"valve_seal", "valve_guide", "valve_leak", "oil_ring", "ventilation", "intake_leak"}
    assert not ids(EngineFacts("made up", 1)) & {"ts_oil_rich", "ts_air_leak", "ts_gearbox_seal"}


def test_air_cooled_has_no_pump_or_thermostat():
    air = ids(EngineFacts("made up", 4, cooling=Cooling.AIR))
    assert "air_cooling" in air
    assert not air & {"water_pump", "thermostat", "fan", "low_coolant", "head_gasket", "cracked_head"}


def test_fuel_systems():
    assert "injector_leaking" not in ids(EngineFacts("made up", 4, fuel_system=FuelSystem.CARBURETTOR))
    assert "carburettor_rich" not in ids(EngineFacts("made up", 4, fuel_system=FuelSystem.DIRECT_INJECTION))


def test_only_boats_take_water_through_the_exhaust():
    assert "exhaust_water" in ids(EngineFacts("made up", 4, use=Use.MARINE))
    assert "exhaust_water" not in ids(EngineFacts("made up", 4, use=Use.ROAD))


def test_a_single_cylinder_has_one_site_per_cause():
    nodes = nodes_of(EngineFacts("made up", 1), catalogue(), benign=False)
    assert len({n.cause.id for n in nodes}) == len(nodes)


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        ({"cylinders": 4}, ((1, 2), (2, 3), (3, 4))),
        ({"cylinders": 4, "banks": ((1, 3), (2, 4))}, ((1, 3), (2, 4))),
        ({"cylinders": 3, "rows": ((3, 1, 2),)}, ((3, 1), (1, 2))),
    ],
)
def test_neighbours_stand_in_one_casting(facts, expected):
    assert neighbours(EngineFacts("made up", **facts)) == expected


def test_wasted_spark_pairs_lie_half_the_firing_order_apart():
    # common practice: cylinders 360 degrees apart share a coil
    engine = EngineFacts("made up", 4, ignition=Ignition.WASTED_SPARK, firing_order=(1, 3, 4, 2))
    assert coil_pairs(engine) == ((1, 4), (2, 3))
    assert coil_pairs(EngineFacts("made up", 4, ignition=Ignition.COIL_ON_PLUG)) == ()


def test_a_shared_coil_is_no_cylinders_own():
    engine = EngineFacts("made up", 4, ignition=Ignition.WASTED_SPARK, coil_pairs=((1, 4), (2, 3)))
    coils = [n for n in nodes_of(engine, catalogue(), benign=False) if n.cause.id == "coil"]
    assert [n.site.scope for n in coils] == [Scope.COIL_PAIR] * 2


def test_a_place_that_is_known_raises_the_local_prior():
    engine = EngineFacts("made up", 4, near_intake_joint=(4,))
    leaks = {
        n.site.cylinders: n.prior
        for n in nodes_of(engine, catalogue(), benign=False)
        if n.cause.id == "intake_leak" and n.site.scope is Scope.CYLINDER
    }
    assert leaks[4,] == pytest.approx(NEAR * leaks[1,])


def test_two_plugs_of_a_cylinder_fail_apart():
    engine = EngineFacts("made up", 1, positions=("top", "bottom"))
    faults = [n.site for n in nodes_of(engine, catalogue(), benign=False) if n.cause.id == "plug_fault"]
    assert [str(site) for site in faults] == ["cylinder 1 top", "cylinder 1 bottom"]
