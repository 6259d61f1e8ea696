"""The checks: enough of them, each with cautions, and files that don't fit are refused with every error at once."""

import shutil
from importlib.resources import files
from pathlib import Path

import pytest

from plugsight.causes import KnowledgeError, catalogue
from plugsight.checks import known_checks
from plugsight.checks.known import load_checks
from plugsight.vocabulary.cautions import CAUTIONS
from plugsight.vocabulary.engine import EngineFacts, Fuel, FuelSystem, Ignition, Use

KNOWLEDGE = Path(str(files("plugsight.checks") / "knowledge"))


@pytest.fixture
def copy(tmp_path):
    folder = tmp_path / "knowledge"
    shutil.copytree(KNOWLEDGE, folder)

    def change(name, old, new):
        path = folder / f"{name}.toml"
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), encoding="utf-8")

    return folder, change


def problems(folder):
    with pytest.raises(KnowledgeError) as caught:
        load_checks(folder, catalogue())
    return caught.value.problems


def by_id(name):
    return next(c for c in known_checks() if c.id == name)


def test_at_least_twenty_five_checks_each_complete():
    assert len(known_checks()) >= 25
    for check in known_checks():
        assert check.cautions
        assert check.minutes > 0
        assert check.tools
        assert check.how
        assert check.source
        assert len(check.outcomes) >= 2
        assert all(o.words and o.meaning for o in check.outcomes)


def test_every_outcome_is_known_to_the_causes_and_the_other_way_round():
    told = {(c.id, o.id) for c in known_checks() for o in c.outcomes}
    assert told == catalogue().outcomes.keys()


def test_a_check_without_a_caution_fails_to_load(copy):
    folder, change = copy
    change("cooling", 'cautions = ["radiator", "fan"]\n', "")
    assert any("coolant_level.cautions" in p for p in problems(folder))


def test_an_empty_caution_list_fails_too(copy):
    folder, change = copy
    change("cooling", 'cautions = ["radiator", "fan"]', "cautions = []")
    assert any("coolant_level.cautions" in p for p in problems(folder))


def test_what_dangles_is_all_named_at_once(copy):
    folder, change = copy
    change("cooling", 'cautions = ["radiator", "fan"]', 'cautions = ["radiator", "no_such_caution"]')
    change("mechanical", "outcomes.at_mark", "outcomes.no_such_outcome")
    change("ignition", 'source = "1d"', 'source = "no_such_source"')
    change("cautions", 'same_as = "engine cold"', 'same_as = "no such words"')
    change("fuel_and_air", 'locates = ["intake_leak"]', 'locates = ["no_such_cause"]')
    change("cooling", "[check.fan]", "[check.no_such_check]")
    found = "\n".join(problems(folder))
    for name in (
        "caution 'no_such_caution'",
        "no outcome 'no_such_outcome'",
        "outcome 'at_mark' has no words",
        "source 'no_such_source'",
        "no caution 'no such words'",
        "no cause 'no_such_cause'",
        "check no_such_check",
        "there is no check 'fan'",
    ):
        assert name in found


def test_a_check_twice(copy):
    folder, _ = copy
    text = (folder / "cooling.toml").read_text(encoding="utf-8")
    start = text.index("[check.fan]")
    block = text[start : text.index("[check.pump_flow]")]
    path = folder / "mechanical.toml"
    path.write_text(path.read_text(encoding="utf-8") + "\n" + block, encoding="utf-8")
    assert any("'fan' stands twice" in p for p in problems(folder))


def test_a_caution_has_words_or_is_the_same_as_another(copy):
    folder, change = copy
    change("cautions", 'same_as = "engine cold"', 'same_as = "engine cold", words = "cold"')
    assert any("words and a source, or same_as alone" in p for p in problems(folder))


def test_cautions_shared_with_the_vocabulary_are_word_for_word():
    shared = {c.id: c.text for c in CAUTIONS}
    assert shared["engine cold"] in by_id("compression").cautions
    assert shared["spark test"] in by_id("spark_tester").cautions
    assert shared["radiator cap"] in by_id("gas_in_coolant").cautions


def test_cautions_follow_the_engine():
    shared = {c.id: c.text for c in CAUTIONS}
    check = by_id("fuel_pressure")
    petrol = EngineFacts("made up", 4, fuel=Fuel.PETROL, fuel_system=FuelSystem.PORT_INJECTION, use=Use.ROAD)
    boat = EngineFacts("made up", 4, fuel=Fuel.PETROL, use=Use.MARINE)
    gas = EngineFacts("made up", 4, fuel=Fuel.LPG, use=Use.ROAD)
    assert not {shared["gas tank"], shared["boat vapour"], shared["rail pressure"]} & {
        *check.cautions_on(petrol)
    }
    assert shared["boat vapour"] in check.cautions_on(boat)
    assert shared["rail pressure"] in check.cautions_on(boat)  # injection not known: warned of
    assert shared["gas tank"] in check.cautions_on(gas)


def test_solvents_and_air_carry_their_warnings():
    # OSHA, welding hazards (read in quotations); 29 CFR 1910.242(b)
    for check in known_checks():
        if "cleaner" in f"{check.how} {check.tools}" or "solvent" in check.how:
            assert any("phosgene" in c for c in check.cautions), check.id
        if "compressed air" in check.tools:
            assert any("30 psi" in c for c in check.cautions), check.id
        assert "85 psi" not in " ".join(check.cautions)


def test_what_cranks_or_runs_the_engine_is_marked():
    turning = {c.id for c in known_checks() if c.turns_engine}
    assert {"compression", "spark_tester", "smoke_watch", "gas_in_coolant", "misfire_counter"} <= turning
    assert not turning & {"borescope", "cooling_pressure", "induction_look", "air_filter_look"}


@pytest.mark.parametrize(
    ("facts", "check"),
    [
        ({"cooling": "air"}, "thermostat"),
        ({"cooling": "liquid"}, "cooling_air"),
        ({"stroke": "two-stroke"}, "valve_clearance"),
        ({"stroke": "four-stroke"}, "crankcase_pressure"),
        ({"fuel_system": FuelSystem.CARBURETTOR}, "injector_balance"),
        ({"fuel_system": FuelSystem.PORT_INJECTION}, "float_and_needle"),
        ({"ignition": Ignition.COIL_ON_PLUG}, "cap_and_rotor"),
        ({"cylinders": 1}, "swap_plug"),
        ({"turbo": False}, "charge_pipe"),
        ({"use": Use.ROAD}, "primer"),
    ],
)
def test_a_check_that_the_engine_rules_out(facts, check):
    assert not by_id(check).applies_to(EngineFacts(**({"name": "made up", "cylinders": 4} | facts)))
    assert check == "swap_plug" or by_id(check).applies_to(EngineFacts("made up", 4)) or "stroke" in facts
