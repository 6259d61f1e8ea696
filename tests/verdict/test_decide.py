from dataclasses import replace

import pytest

from plugsight.causes import Band, Causes, RankedCause, Scope, Site
from plugsight.readings import ReadingKind
from plugsight.verdict import Action, decide
from plugsight.vocabulary.bench import CANT_TELL, BenchQuestion
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Context, Electrode, EngineFacts, Fuel, Place, PlugSpec, Stroke

PLACE = Place(1)
NO_CAUSES = Causes((), separable=True, left_out=0.0)
SPEC = PlugSpec(gap_mm=(0.7, 0.8), resistor=True, electrode=Electrode.NICKEL)
ENGINE = EngineFacts("made up", 4)


class TestClasses:
    def test_a_sound_light_plug_is_refitted(self, verdict):
        found = verdict()
        assert found.action is Action.REFIT
        assert not found.look_at
        assert found.reasons

    @pytest.mark.parametrize("damage", [Damage.METAL_SPECKS, Damage.MELTED_ELECTRODE, Damage.MISSING_PIECE])
    def test_broken_or_melted_parts_stop_the_engine(self, action, damage):
        assert action(damage=[damage]) is Action.STOP

    @pytest.mark.parametrize(
        ("question", "answer"),
        [
            (BenchQuestion.GAP_CLOSED_BY, "the piston"),
            (BenchQuestion.LIQUID, "fuel"),
            (BenchQuestion.LIQUID, "oil"),
            (BenchQuestion.LIQUID, "coolant or water"),
            (BenchQuestion.SMELL, "sweet"),
            (BenchQuestion.NOSE_CLEANER, "yes"),
        ],
    )
    def test_liquid_coolant_or_a_struck_strap_stop_the_engine(self, action, question, answer):
        assert action(bench={question: answer}) is Action.STOP

    @pytest.mark.parametrize(
        "damage",
        [Damage.CRACKED_NOSE, Damage.BLISTERED_NOSE, Damage.WORN_ELECTRODES, Damage.FLASHOVER_TRACK],
    )
    def test_damage_replaces(self, action, damage):
        assert action(damage=[damage]) is Action.REPLACE

    @pytest.mark.parametrize("deposit", [Deposit.GLAZE, Deposit.WET_OIL, Deposit.GRIT])
    def test_what_does_not_clean_off_replaces(self, action, deposit):
        assert action(deposits=[deposit]) is Action.REPLACE

    @pytest.mark.parametrize(
        ("question", "answer"),
        [
            (BenchQuestion.LENS, "crack or chip"),
            (BenchQuestion.LENS, "blisters"),
            (BenchQuestion.THREAD, "damaged"),
            (BenchQuestion.SEAT, "damaged"),
            (BenchQuestion.TERMINAL, "damaged"),
            (BenchQuestion.OUTER_INSULATOR, "cracked"),
            (BenchQuestion.OUTER_INSULATOR, "flashover track"),
            (BenchQuestion.DROPPED, "yes"),
            (BenchQuestion.GAP_CLOSED_BY, "a fall"),
            (BenchQuestion.ELECTRODE_SQUARE, "rounded"),
        ],
    )
    def test_what_the_eye_finds_replaces(self, action, question, answer):
        assert action(bench={question: answer}) is Action.REPLACE

    @pytest.mark.parametrize("deposit", [Deposit.CHALK_WHITE, Deposit.WET_FUEL])
    def test_heat_and_wet_fuel_ask_for_the_cause_first(self, verdict, deposit):
        found = verdict(deposits=[deposit])
        assert found.action is Action.CAUSE_FIRST
        assert any("no load until then" in step for step in found.steps)

    def test_dry_carbon_is_cleaned(self, action):
        assert action(deposits=[Deposit.DRY_CARBON]) is Action.CLEAN

    @pytest.mark.parametrize(
        ("answer", "expected"),
        [("crumbles", Action.CLEAN), ("holds", Action.REPLACE), (None, Action.NOT_DECIDED)],
    )
    @pytest.mark.parametrize("deposit", [Deposit.ASH, Deposit.LEAD])
    def test_powder_is_cleaned_and_glaze_replaced(self, action, deposit, answer, expected):
        # NAVEDTRA 14273, figs 2-48 to 2-51: powder harmless and cleanable, glaze conducts when hot: replace
        assert action(deposits=[deposit], bench={BenchQuestion.SCRATCH: answer}) is expected

    def test_bridged_is_judged_again_after_cleaning(self, action):
        assert action(deposits=[Deposit.DRY_CARBON], damage=[Damage.BRIDGED_GAP]) is Action.CLEAN


class TestOpenQuestions:
    @pytest.mark.parametrize(
        "question",
        [
            BenchQuestion.LENS,
            BenchQuestion.THREAD,
            BenchQuestion.SEAT,
            BenchQuestion.TERMINAL,
            BenchQuestion.OUTER_INSULATOR,
            BenchQuestion.DROPPED,
        ],
    )
    @pytest.mark.parametrize("answer", [None, CANT_TELL])
    @pytest.mark.parametrize("deposit", [Deposit.LIGHT, Deposit.BARE, Deposit.DRY_CARBON, Deposit.RED_TINT])
    def test_one_open_question_is_enough_to_decide_nothing(self, verdict, question, answer, deposit):
        found = verdict(deposits=[deposit], bench={question: answer})
        assert found.action is Action.NOT_DECIDED
        assert len(found.look_at) == 1

    @pytest.mark.parametrize("kind", list(ReadingKind))
    def test_a_reading_not_taken_decides_nothing(self, action, kind):
        assert action(readings={kind: None}) is Action.NOT_DECIDED

    def test_cleaning_asks_for_a_square_electrode(self, action):
        unasked = {BenchQuestion.ELECTRODE_SQUARE: None}
        assert action(deposits=[Deposit.DRY_CARBON], bench=unasked) is Action.NOT_DECIDED
        assert action(bench=unasked) is Action.REFIT

    def test_a_bent_strap_asks_what_bent_it(self, verdict):
        found = verdict(damage=[Damage.BENT_STRAP], bench={BenchQuestion.GAP_CLOSED_BY: None})
        assert found.action is Action.NOT_DECIDED
        assert "the piston" in found.look_at[0]

    def test_a_chipped_nose_asks_for_the_piece(self, verdict):
        found = verdict(damage=[Damage.CRACKED_NOSE], damage_absent=[])
        assert found.action is Action.REPLACE
        assert "piece of the ceramic" in found.look_at[0]
        assert found.steps[0].startswith("Before anything goes in or is cranked")

    def test_a_white_nose_can_be_new_or_hot(self, action):
        unasked = {BenchQuestion.METAL_BLUED: None}
        assert action(deposits=[Deposit.BARE], bench=unasked) is Action.NOT_DECIDED
        few = Context(km_on_plugs=200)
        assert action(deposits=[Deposit.BARE], bench=unasked, context=few) is Action.REFIT
        gas = replace(ENGINE, fuel=Fuel.LPG)
        assert action(deposits=[Deposit.BARE], bench=unasked, engine=gas) is Action.REFIT

    def test_cant_tell_counts_as_not_seen(self, verdict):
        found = verdict(cant_tell=True)
        assert found.action is Action.NOT_DECIDED
        assert "photograph it again" in found.look_at[0]

    def test_cant_tell_still_hears_the_bench(self, action):
        assert action(cant_tell=True, bench={BenchQuestion.DROPPED: "yes"}) is Action.REPLACE

    def test_a_plug_nobody_decided_is_not_decided(self, plug):
        found = decide(plug(), Place(2), NO_CAUSES)
        assert found.action is Action.NOT_DECIDED
        assert "nobody has decided" in found.look_at[0]

    def test_a_crust_on_the_wipe_asks_for_the_pick(self, action):
        bench = {BenchQuestion.WIPE: "crust stays", BenchQuestion.SCRATCH: None}
        assert action(bench=bench) is Action.NOT_DECIDED

    def test_contradicting_tests_decide_nothing(self, action):
        assert action(deposits=[Deposit.ASH], bench={BenchQuestion.SCRATCH: "gummy"}) is Action.NOT_DECIDED


class TestMeter:
    @pytest.mark.parametrize(
        ("kind", "text"),
        [(ReadingKind.CONTINUITY, "silent"), (ReadingKind.INSULATION, "5M"), (ReadingKind.RESISTANCE, "OL")],
    )
    def test_the_meter_fails_a_plug_only_after_the_repeat(self, action, kind, text):
        assert action(readings={kind: text}) is Action.NOT_DECIDED
        assert action(readings={kind: text}, again={kind: text}) is Action.REPLACE

    def test_a_leak_gone_after_cleaning_is_gone(self, action):
        leak = {ReadingKind.INSULATION: "5M"}
        assert action(readings=leak, again={ReadingKind.INSULATION: "OL"}) is Action.REFIT

    def test_no_reading_never_lifts_a_verdict(self, action):
        assert action(deposits=[Deposit.GLAZE], readings={ReadingKind.INSULATION: "OL"}) is Action.REPLACE

    def test_an_unusual_resistance_is_looked_up(self, action):
        assert action(readings={ReadingKind.RESISTANCE: "15k"}) is Action.NOT_DECIDED
        own = replace(SPEC, resistance_ohm=(3e3, 7e3))
        assert action(readings={ReadingKind.RESISTANCE: "15k"}, spec=own) is Action.REPLACE

    def test_a_wide_gap_is_set_on_nickel_only(self, action):
        wide = {ReadingKind.GAUGE: "1.0"}
        assert action(readings=wide) is Action.CLEAN
        fine = replace(SPEC, electrode=Electrode.PRECIOUS)
        assert action(readings=wide, spec=fine) is Action.NOT_DECIDED
        assert action(readings=wide, spec=replace(fine, reset_allowed=False)) is Action.REPLACE
        assert action(readings=wide, spec=replace(fine, reset_allowed=True)) is Action.CLEAN

    def test_a_gap_without_a_figure_is_looked_up(self, action):
        assert action(spec=replace(SPEC, gap_mm=None)) is Action.NOT_DECIDED

    def test_every_strap_is_gauged(self, action):
        assert action(spec=replace(SPEC, ground_electrodes=2)) is Action.NOT_DECIDED

    def test_a_surface_gap_plug_needs_no_gauge(self, action):
        surface = replace(SPEC, ground_electrodes=0)
        assert action(spec=surface, readings={ReadingKind.GAUGE: None}) is Action.REFIT


class TestKinds:
    def test_an_aircraft_plug_gets_findings_only(self, verdict, aircraft):
        for deposit in Deposit:
            found = verdict(deposits=[deposit], engine=aircraft)
            assert found.action is Action.FINDINGS_ONLY
            assert all(r.action is Action.FINDINGS_ONLY for r in found.reasons)
            assert "licensed person" in found.steps[0]
            assert not found.gap_words

    def test_metal_on_an_aircraft_plug_grounds_it(self, aircraft, verdict):
        found = verdict(damage=[Damage.METAL_SPECKS], engine=aircraft)
        assert "don't run or fly" in found.reasons[0].words

    def test_a_dropped_aircraft_plug_is_scrap(self, verdict, aircraft):
        found = verdict(bench={BenchQuestion.DROPPED: "yes"}, engine=aircraft)
        assert any("scrap" in r.words for r in found.reasons)

    def test_oil_on_a_two_stroke_wipe_is_normal(self, action):
        smear = {BenchQuestion.WIPE: "oily smear"}
        assert action(bench=smear) is Action.REPLACE
        assert action(bench=smear, engine=replace(ENGINE, stroke=Stroke.TWO)) is Action.REFIT


class TestOtherPlugs:
    @pytest.mark.parametrize(
        ("deposit", "says"),
        [
            (Deposit.MINERAL, "until the engine is cleared: see plug 2"),
            (Deposit.CHALK_WHITE, "cause at plug 2"),
            (Deposit.LIGHT, ""),
        ],
    )
    def test_nothing_is_fitted_while_another_plug_holds_the_engine_back(self, plug, deposit, says):
        evidence, other = plug(), plug(deposits=[deposit]).confirmations[0]
        both = replace(evidence, confirmations=(*evidence.confirmations, replace(other, place=Place(2))))
        first = decide(both, PLACE, NO_CAUSES).steps[0]
        assert (says in first) if says else first == decide(evidence, PLACE, NO_CAUSES).steps[0]


class TestRepairFirst:
    def cause(self, name, cylinders, band, probability):
        return RankedCause(
            name, name, Site(Scope.CYLINDER, cylinders), probability, 0.1, band, (), (), f"repair {name}"
        )

    def first(self, plug, *causes):
        ranked = Causes(tuple(causes), separable=True, left_out=0.0)
        return decide(plug(deposits=[Deposit.WET_OIL]), PLACE, ranked).repair_first

    def test_names_the_standing_causes_of_this_cylinder(self, plug):
        said = self.first(
            plug,
            self.cause("oil_ring", (1,), Band.MOST_LIKELY, 0.8),
            self.cause("valve_seal", (2,), Band.POSSIBLE, 0.6),
            self.cause("in_order", (1,), Band.POSSIBLE, 0.6),
            self.cause("valve_guide", (1,), Band.POSSIBLE, 0.2),
            self.cause("cylinder_wear", (1,), Band.UNLIKELY, 0.05),
        )
        assert said == (
            "oil_ring (cylinder 1): repair oil_ring",
            "If that is not it: valve_guide (cylinder 1).",
        )

    def test_where_none_stands_out_the_next_check_comes_first(self, plug):
        said = self.first(
            plug,
            self.cause("oil_ring", (1,), Band.POSSIBLE, 0.4),
            self.cause("valve_seal", (1,), Band.POSSIBLE, 0.35),
        )
        assert said == (
            "Settle by the next check first which it is: oil_ring (cylinder 1); valve_seal (cylinder 1).",
        )

    def test_a_single_doubtful_cause_is_settled_first(self, plug):
        said = self.first(plug, self.cause("oil_ring", (1,), Band.POSSIBLE, 0.4))
        assert said == ("Settle by the next check first whether it is: oil_ring (cylinder 1).",)

    def test_one_cause_is_named_once(self, plug):
        said = self.first(
            plug,
            self.cause("oil_ring", (1, 2), Band.MOST_LIKELY, 0.8),
            self.cause("oil_ring", (1,), Band.POSSIBLE, 0.1),
        )
        assert len(said) == 1

    def test_a_cause_that_can_not_show_so_on_this_plug_is_not_named(self, plug):
        said = self.first(plug, self.cause("short_trips", (1,), Band.MOST_LIKELY, 0.9))
        assert said == ()

    def test_a_plug_with_nothing_wrong_asks_for_no_repair(self, plug):
        ranked = Causes((self.cause("oil_ring", (1,), Band.MOST_LIKELY, 0.9),), separable=True, left_out=0.0)
        assert decide(plug(bench={BenchQuestion.LENS: None}), PLACE, ranked).repair_first == ()


class TestWords:
    def test_gap_words_tell_the_trend_of_a_worn_gap(self, plug, verdict):
        worn = plug(damage=[Damage.WORN_ELECTRODES], readings={ReadingKind.GAUGE: "1.10"})
        words = decide(worn, PLACE, NO_CAUSES).gap_words
        assert "0.75 mm (0.70 to 0.80)" in words
        assert "1.4 times the voltage" in words
        assert "times the voltage" not in verdict().gap_words

    def test_every_reason_carries_its_source(self, verdict):
        for deposit in Deposit:
            for reason in verdict(deposits=[deposit]).reasons:
                assert reason.source

    def test_all_answers_of_the_sound_plug_are_what_the_bench_can_answer(self, sound):
        assert {*sound} <= {*BenchQuestion}
