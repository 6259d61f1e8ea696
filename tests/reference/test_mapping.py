"""What government handbooks say a look means, and whether the knowledge says so too, with the same source.

Every row is association, not proof; the sources give no probability. Short names of the sources stand in
``plugsight/causes/knowledge/sources.toml``.
"""

from datetime import UTC, datetime

import pytest

from plugsight.causes import Evidence, Scope, find_causes
from plugsight.causes.load_knowledge import catalogue
from plugsight.confirmation import confirm
from plugsight.vocabulary.bench import BenchFinding, BenchQuestion
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import (
    Context,
    Cooling,
    EngineFacts,
    FuelSystem,
    Ignition,
    Place,
    PlugSpec,
)
from plugsight.vocabulary.shown import ShownToPerson

# (row, finding, what the source names, cause that stands for it, source)
ROWS = [
    ("normal", "light", "normal; heat range right", "in_order", "1g"),
    ("normal", "light", "normal", "in_order", "1h"),
    ("normal", "light", "light tan or grey", "in_order", "1i"),
    ("carbon", "dry_carbon", "mixture too rich", "carburettor_rich", "1a"),
    ("carbon", "dry_carbon", "so lean that it fires intermittently", "lean_misfire", "1a"),
    ("carbon", "dry_carbon", "idle mixture", "idle_mixture_rich", "1a"),
    ("carbon", "dry_carbon", "primer leak", "primer_leak", "1a"),
    ("carbon", "dry_carbon", "plug too cold", "cold_plug", "1g"),
    ("carbon", "dry_carbon", "hotter plug for carbon", "cold_plug", "1h"),
    ("carbon", "dry_carbon", "weak ignition", "ignition_weak", "1g"),
    ("carbon", "dry_carbon", "dirty air cleaner", "air_filter", "1g"),
    ("carbon", "dry_carbon", "fuel-pump fault", "fuel_pressure_high", "1g"),
    ("carbon", "dry_carbon", "choke", "choke_stuck", "1g"),
    ("carbon", "dry_carbon", "long idle, slow running", "short_trips", "1g"),
    ("carbon", "dry_carbon", "whole set: air cleaner", "air_filter", "1i"),
    ("carbon", "dry_carbon", "whole set: heat riser, choke", "choke_stuck", "1i"),
    ("carbon", "dry_carbon", "one or two: sticking valves", "valve_leak", "1i"),
    ("carbon", "dry_carbon", "one or two: ignition leads", "plug_lead", "1i"),
    ("oil", "wet_oil", "rings", "oil_ring", "1a"),
    ("oil", "wet_oil", "valve guides", "valve_guide", "1a"),
    ("oil", "wet_oil", "impeller seal", "turbo_seal", "1a"),
    ("oil", "wet_oil", "worn rings", "oil_ring", "1g"),
    ("oil", "wet_oil", "worn pistons", "cylinder_wear", "1g"),
    ("oil", "wet_oil", "worn bearings", "bearing_wear", "1g"),
    ("oil", "wet_oil", "guide-to-stem clearance", "valve_guide", "1h"),
    ("lead", "lead", "highly leaded fuel", "leaded_fuel", "1g"),
    ("lead", "lead", "low temperature and rich mixture", "lead_cold_rich", "1n"),
    ("ash", "ash", "poor fuel", "fuel_residue", "1j"),
    ("ash", "ash", "oil entry", "oil_additives", "1j"),
    ("ash", "red_tint", "red powder: poor fuel", "fuel_residue", "1j"),
    ("fused spots", "blistered_nose", "sudden acceleration", "hard_after_slow", "1g"),
    ("overheated", "chalk_white", "wrong timing", "over_advance", "1g"),
    ("overheated", "chalk_white", "wrong timing", "timing_late", "1g"),
    ("overheated", "chalk_white", "loose plug", "loose_plug", "1g"),
    ("overheated", "chalk_white", "low fuel-pump pressure", "fuel_supply_low", "1g"),
    ("overheated", "chalk_white", "wrong fuel", "low_octane", "1g"),
    ("overheated", "chalk_white", "too hot a plug", "hot_plug", "1g"),
    ("overheated", "blued_metal", "loose plug", "loose_plug", "1g"),
    ("overheated", "blued_metal", "too hot a plug", "hot_plug", "1g"),
    ("overheated", "chalk_white", "engine overheat", "low_coolant", "1g"),
    ("overheated", "chalk_white", "engine overheat", "water_pump", "1g"),
    ("overheated", "chalk_white", "engine overheat", "air_cooling", "1g"),
    ("pre-ignition", "blistered_nose", "over-advanced timing", "over_advance", "1j"),
    ("pre-ignition", "blistered_nose", "low octane", "low_octane", "1j"),
    ("pre-ignition", "blistered_nose", "too hot a plug", "hot_plug", "1j"),
    ("pre-ignition", "blistered_nose", "lean mixture", "intake_leak", "1j"),
    ("pre-ignition", "blistered_nose", "lean mixture", "carburettor_lean", "1j"),
    ("pre-ignition", "melted_electrode", "pre-ignition, as cause or effect", "pre_ignition", "1c"),
    ("metal spray", "metal_specks", "one cylinder: its piston", "piston_failing", "1d"),
    ("metal spray", "metal_specks", "all: induction-side part", "induction_part_failing", "1d"),
    ("worn", "worn_electrodes", "long service", "worn_plug", "1g"),
    ("worn", "worn_electrodes", "eroded electrodes", "worn_plug", "1c"),
    ("worn", "gap_wide", "wide gap", "worn_plug", "1g"),
    ("flashover", "flashover_track", "dirty or moist terminal well", "boot_flashover", "1d"),
]
# bridged: "heavy oil or carbon" names a deposit and no part; any cause may stand for it, with that source
BRIDGED = ("1c", "1g")
ENGINE = EngineFacts(
    "made up", 4, cooling=Cooling.LIQUID, ignition=Ignition.DISTRIBUTOR, fuel_system=FuelSystem.CARBURETTOR
)


@pytest.mark.parametrize(("row", "finding", "named", "cause", "source"), ROWS, ids=lambda v: str(v)[:24])
def test_each_published_cause_is_linked_with_its_source(row, finding, named, cause, source):
    link = catalogue().causes[cause].links.get(finding)
    assert link is not None, f"{row}: {named} is not linked"
    assert link.strength > 0
    assert source in link.sources


def test_a_bridged_gap_has_a_published_link():
    links = [c.links["bridged_gap"] for c in catalogue().causes.values() if "bridged_gap" in c.links]
    assert {s for link in links for s in link.sources} & {*BRIDGED}


def found(looks, context=None):
    """Causes for a made-up carburettor four; ``looks``: cylinder -> (deposit, damage)."""
    confirmations = tuple(
        confirm(
            Place(c),
            [looks.get(c, (Deposit.LIGHT, ()))[0]],
            damage=looks.get(c, (Deposit.LIGHT, ()))[1],
            shown=ShownToPerson(blind=True),
            who="made up",
            when=datetime(2026, 1, 2, tzinfo=UTC),
            bench=[BenchFinding(BenchQuestion.DROPPED, "no")],
        )
        for c in range(1, 5)
    )
    return find_causes(Evidence(ENGINE, PlugSpec(), context or Context(), confirmations))


def odds(causes, name):
    return max(c.probability for c in causes.ranked if c.id == name)


def test_dry_black_on_the_whole_set_is_shared_and_on_one_is_its_own():
    # TM 5-4210-230-14&P-1: whole set: air cleaner, heat riser, choke; one or two: sticking valves, ignition leads
    whole = found(dict.fromkeys(range(1, 5), (Deposit.DRY_CARBON, ())))
    assert min(odds(whole, "air_filter"), odds(whole, "choke_stuck")) > max(
        odds(whole, "valve_leak"), odds(whole, "plug_lead")
    )
    one = found({3: (Deposit.DRY_CARBON, ())})
    assert min(odds(one, "valve_leak"), odds(one, "plug_lead")) > max(
        odds(one, "air_filter"), odds(one, "choke_stuck")
    )
    assert one.ranked[0].site.scope is Scope.CYLINDER


def test_metal_specks_on_one_and_on_all():
    # FAA AC 43.13-1B, p. 8-13: one cylinder, generally that piston; all, an induction-side part
    one = found({2: (Deposit.LIGHT, [Damage.METAL_SPECKS])}).ranked[0]
    assert (one.id, one.site.cylinders) == ("piston_failing", (2,))
    everywhere = found(dict.fromkeys(range(1, 5), (Deposit.LIGHT, [Damage.METAL_SPECKS]))).ranked[0]
    assert everywhere.id == "induction_part_failing"


def test_carbon_does_not_mean_rich_only():
    # FAA-H-8083-32 (republished): too rich or so lean that it fires intermittently; TM 10-3930-633-12: weak ignition
    whole = found(dict.fromkeys(range(1, 5), (Deposit.DRY_CARBON, ())))
    assert odds(whole, "carburettor_rich") < 0.9
    assert odds(whole, "lean_misfire") > 0
    assert odds(whole, "ignition_weak") > 0


def test_a_knock_sensor_circuit_code_is_no_evidence_of_knock():
    # SAE J2012: P0325 is a sensor-circuit code
    without, coded = found({}), found({}, Context(codes=("P0325",)))
    for name in ("over_advance", "knock", "low_octane"):
        assert odds(coded, name) <= odds(without, name) + 1e-12
