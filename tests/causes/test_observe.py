"""From confirmations, circumstances, readings and outcomes to findings present and absent."""

import pytest

from plugsight.causes.load_knowledge import catalogue
from plugsight.causes.observe import observe
from plugsight.readings import ReadingEntry, ReadingKind, judge_readings
from plugsight.vocabulary.bench import BENCH, CANT_TELL, BenchQuestion
from plugsight.vocabulary.circumstances import COMPLAINTS
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Fuel, Meter, Place, PlugSpec
from plugsight.vocabulary.errors import InputError
from plugsight.vocabulary.outcomes import CheckOutcome

COVERING = {"dry_carbon", "wet_oil", "wet_fuel", "ash", "glaze", "lead", "grit"}


def findings(evidence):
    """Finding and place (as text) -> present."""
    return {
        (s.finding, str(s.place or s.cylinder or s.bank or "engine")): s.present
        for s in observe(evidence, catalogue())
    }


def on_plug(evidence, number=1):
    return {name: present for (name, where), present in findings(evidence).items() if where == str(number)}


def test_a_dominant_deposit_leaves_the_others_open(made_up):
    seen = on_plug(made_up.evidence(made_up.plug(1, Deposit.ASH), facts=made_up.engine(cylinders=1)))
    assert seen == {"ash": True}


def test_said_absent_is_absent(made_up):
    plug = made_up.plug(1, Deposit.ASH, absent=[Deposit.WET_OIL], damage_absent=[Damage.CRACKED_NOSE])
    seen = on_plug(made_up.evidence(plug, facts=made_up.engine(cylinders=1)))
    assert seen == {"ash": True, "wet_oil": False, "cracked_nose": False}


def test_a_light_nose_shows_that_nothing_covers_it(made_up):
    seen = on_plug(made_up.evidence(made_up.plug(1, Deposit.LIGHT), facts=made_up.engine(cylinders=1)))
    assert seen == {"light": True} | dict.fromkeys([*COVERING, "chalk_white", "mineral"], False)


def test_a_bare_nose_says_nothing_of_heat_or_coolant(made_up):
    seen = on_plug(made_up.evidence(made_up.plug(1, Deposit.BARE), facts=made_up.engine(cylinders=1)))
    assert seen == {"bare": True} | dict.fromkeys(COVERING, False)


def test_a_second_deposit_stays_present_under_a_light_one(made_up):
    plug = made_up.plug(1, Deposit.LIGHT, Deposit.ASH)
    assert on_plug(made_up.evidence(plug, facts=made_up.engine(cylinders=1)))["ash"] is True


def test_cant_tell_counts_as_not_seen(made_up):
    plug = made_up.plug(1, cant_tell=True)
    assert on_plug(made_up.evidence(plug, facts=made_up.engine(cylinders=1))) == {}


def test_a_cleaned_plug_shows_damage_but_no_deposit(made_up):
    plug = made_up.plug(
        1,
        Deposit.LIGHT,
        damage=[Damage.METAL_SPECKS],
        bench=[(BenchQuestion.CLEANED_BEFORE_PHOTO, "yes")],
    )
    assert on_plug(made_up.evidence(plug, facts=made_up.engine(cylinders=1))) == {"metal_specks": True}


def test_a_plug_not_compared_tells_only_of_its_cylinder(made_up):
    plug = made_up.plug(1, Deposit.DRY_CARBON, bench=[(BenchQuestion.LIQUID, "fuel")])
    seen = findings(made_up.evidence(plug, facts=made_up.engine(cylinders=1), not_compared=(Place(1),)))
    assert seen == {("liquid_fuel", "1"): True}


@pytest.mark.parametrize(
    ("question", "answer", "finding", "present"),
    [
        (BenchQuestion.WIPE, "dry soot", "wet_oil", False),
        (BenchQuestion.WIPE, "oily smear", "wet_oil", True),
        (BenchQuestion.WIPE, "fuel, dries and smells", "wet_fuel", True),
        (BenchQuestion.SMELL, "sweet", "mineral", True),
        (BenchQuestion.LENS, "crack or chip", "cracked_nose", True),
        (BenchQuestion.LENS, "blisters", "blistered_nose", True),
        (BenchQuestion.OUTER_INSULATOR, "flashover track", "flashover_track", True),
        (BenchQuestion.CAME_OUT, "loose", "came_loose", True),
        (BenchQuestion.WELL, "dirt", "well_dirty", True),
        (BenchQuestion.GASKET, "doubled", "gasket_fault", True),
        (BenchQuestion.ELECTRODE_SQUARE, "rounded", "worn_electrodes", True),
        (BenchQuestion.METAL_BLUED, "yes", "blued_metal", True),
        (BenchQuestion.NOSE_CLEANER, "yes", "nose_cleaner", True),
        (BenchQuestion.GAP_CLOSED_BY, "the piston", "struck", True),
        (BenchQuestion.DROPPED, "yes", "fell", True),
    ],
)
def test_bench_answers(made_up, question, answer, finding, present):
    plug = made_up.plug(1, Deposit.DRY_CARBON, bench=[(question, answer)])
    assert on_plug(made_up.evidence(plug, facts=made_up.engine(cylinders=1)))[finding] is present


def test_no_bench_answer_denies_what_the_person_confirmed(made_up):
    for question, words in BENCH.items():
        for answer in (*words.answers, CANT_TELL):
            plug = made_up.plug(1, *Deposit, damage=[*Damage], bench=[(question, answer)])
            seen = on_plug(made_up.evidence(plug, facts=made_up.engine(cylinders=1)))
            if question is not BenchQuestion.CLEANED_BEFORE_PHOTO:
                assert all(seen[d.value.replace(" ", "_")] for d in Deposit)


def test_routine_means_none_of_the_complaints(made_up):
    seen = findings(
        made_up.evidence(
            made_up.plug(1, Deposit.LIGHT), facts=made_up.engine(cylinders=1), complaints=("routine",)
        )
    )
    complaints = [name for (name, where), present in seen.items() if where == "engine" and not present]
    assert len(complaints) == len(COMPLAINTS) - 1


def test_trims_positive_is_lean(made_up):
    # SAE J1979 (restated): positive = fuel added = the control works against lean
    facts = made_up.engine(cylinders=2, banks=((1,), (2,)))
    plugs = (made_up.plug(1, Deposit.LIGHT), made_up.plug(2, Deposit.LIGHT))
    seen = findings(
        made_up.evidence(*plugs, facts=facts, long_trim_percent=(8.0, -14.0), short_trim_percent=(4.0,))
    )
    assert seen["trim_lean", "(1,)"] is True
    assert seen["trim_rich", "(1,)"] is False
    assert seen["trim_lean", "(2,)"] is False
    assert seen["trim_rich", "(2,)"] is True


def test_codes(made_up):
    plugs = made_up.set_of(Deposit.LIGHT)
    seen = findings(made_up.evidence(*plugs, codes=("P0303", "P0300", "P0171", "P0351", "P0325", "P0420")))
    assert seen["misfire_here", "3"] is True
    assert seen["misfire_here", "1"] is False
    assert ("misfire_random", "engine") not in seen  # the code that names the cylinder says it better
    assert seen["trim_lean", "(1, 2, 3, 4)"] is True
    assert seen["coil_circuit", "engine"] is True
    assert seen["catalyst_weak", "(1, 2, 3, 4)"] is True
    assert ("knocks", "engine") not in seen


def test_a_misfire_is_counted_once(made_up):
    plugs = made_up.set_of(Deposit.LIGHT)
    told = {"complaints": ("misfire", "rough idle")}
    random = findings(made_up.evidence(*plugs, codes=("P0300",), **told))
    named = findings(made_up.evidence(*plugs, codes=("P0300", "P0302"), **told))
    assert random["misfire_random", "engine"] is True
    assert random["misfire", "engine"] is True
    assert named["misfire_here", "2"] is True
    assert ("misfire", "engine") not in named
    assert named["rough_idle", "engine"] is True


def test_oil_use(made_up):
    plugs = made_up.set_of(Deposit.LIGHT)
    used = {
        word: {
            name: present
            for (name, _), present in findings(made_up.evidence(*plugs, oil_use=word)).items()
            if name.startswith("oil_used")
        }
        for word in ("none", "some", "much", "")
    }
    assert used["none"] == {"oil_used": False, "oil_used_much": False}
    assert used["some"] == {"oil_used": True, "oil_used_much": False}
    assert used["much"] == {"oil_used_much": True}
    assert used[""] == {}


def test_service_and_fuel(made_up):
    plugs = made_up.set_of(Deposit.LIGHT)
    seen = findings(made_up.evidence(*plugs, facts=made_up.engine(fuel=Fuel.CNG), km_on_plugs=300.0))
    assert seen["km_few", "engine"] is True
    assert seen["km_many", "engine"] is False
    assert seen["gas_or_alcohol", "engine"] is True


def test_readings_say_only_what_they_allow(made_up):
    spec = PlugSpec(gap_mm=(0.7, 0.8), resistor=True)
    entries = [
        ReadingEntry(Place(1), ReadingKind.GAUGE, "1.1"),
        ReadingEntry(Place(1), ReadingKind.RESISTANCE, "5.1k"),
        ReadingEntry(Place(1), ReadingKind.INSULATION, "0.8M"),
        ReadingEntry(Place(2), ReadingKind.INSULATION, "0.8M"),
        ReadingEntry(Place(2), ReadingKind.INSULATION, "0.9M", after_cleaning=True),
    ]
    plugs = made_up.set_of(Deposit.DRY_CARBON)
    seen = findings(made_up.evidence(*plugs, spec=spec, readings=judge_readings(entries, spec, Meter())))
    assert seen["gap_wide", "1"] is True
    assert seen["gap_narrow", "1"] is False
    assert seen["resistance_open", "1"] is False
    assert ("insulation_leak", "1") not in seen  # clean and repeat first
    assert seen["insulation_leak", "2"] is True


def test_an_outcome_replaces_what_was_told(made_up):
    plugs = made_up.set_of(Deposit.LIGHT)
    told = made_up.evidence(*plugs, codes=("P0302",))
    checked = made_up.evidence(
        *plugs, codes=("P0302",), outcomes=[CheckOutcome("misfire_counter", "none", cylinder=2)]
    )
    assert findings(told)["misfire_here", "2"] is True
    assert findings(checked)["misfire_here", "2"] is False


@pytest.mark.parametrize(
    ("outcome", "words"),
    [
        (CheckOutcome("no_such_check", "even"), "no check 'no_such_check'"),
        (CheckOutcome("compression", "no_such_outcome", cylinder=1), "can't end in 'no_such_outcome'"),
        (CheckOutcome("compression", "even"), "say which"),
        (CheckOutcome("compression", "even", cylinder=9), "no cylinder 9"),
        (CheckOutcome("back_pressure", "high", bank=3), "no bank 3"),
    ],
)
def test_outcomes_that_cant_be_are_refused(made_up, outcome, words):
    with pytest.raises(InputError, match=words):
        observe(made_up.evidence(*made_up.set_of(Deposit.LIGHT), outcomes=[outcome]), catalogue())


def test_all_wrong_outcomes_are_named_at_once(made_up):
    outcomes = [CheckOutcome("no_such_check", "even"), CheckOutcome("compression", "even")]
    with pytest.raises(InputError, match=r"no_such_check.*say which"):
        observe(made_up.evidence(*made_up.set_of(Deposit.LIGHT), outcomes=outcomes), catalogue())
