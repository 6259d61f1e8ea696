"""The ranking: patterns over the set, what is not compared, harmless causes, reasons that are true."""

import math

import pytest

from plugsight.causes import Band, Scope, find_causes
from plugsight.causes.why import LEAST_WEIGHT
from plugsight.vocabulary.bench import BenchQuestion
from plugsight.vocabulary.circumstances import COMPLAINTS
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Cooling, EngineFacts, Ignition, Place, Stroke, Use
from plugsight.vocabulary.outcomes import CheckOutcome


def chance(causes, cause, *cylinders):
    """Posterior of a cause at the site of these cylinders (at the engine where none is given), 0 where not listed."""
    for ranked in causes.ranked:
        at = ranked.site.cylinders == cylinders if cylinders else ranked.site.scope is Scope.ENGINE
        if ranked.id == cause and at:
            return ranked.probability
    return 0.0


def test_all_one_two_and_a_pair(made_up):
    soot = Deposit.DRY_CARBON
    facts = made_up.engine(ignition=Ignition.WASTED_SPARK, coil_pairs=((1, 4), (2, 3)))
    odd = {c: made_up.plug(c, soot) for c in (1, 4)}
    everyone = find_causes(made_up.evidence(*made_up.set_of(soot), facts=facts))
    pair = find_causes(made_up.evidence(*made_up.set_of(Deposit.LIGHT, odd), facts=facts))
    one = find_causes(made_up.evidence(*made_up.set_of(Deposit.LIGHT, {1: odd[1]}), facts=facts))
    assert everyone.ranked[0].site.scope is Scope.ENGINE
    assert pair.ranked[0].site.cylinders == (1, 4)
    assert one.ranked[0].site == type(one.ranked[0].site)(Scope.CYLINDER, (1,))
    assert chance(everyone, "coil", 1, 4) < chance(pair, "coil", 1, 4)
    assert chance(one, "air_filter") < 0.03
    assert chance(everyone, "air_filter") > 0.1


def test_a_plug_that_is_not_compared_changes_nothing(made_up):
    odd = {2: made_up.plug(2, Deposit.WET_OIL)}
    unseen = {2: made_up.plug(2, cant_tell=True)}
    left_out = find_causes(made_up.evidence(*made_up.set_of(Deposit.LIGHT, odd), not_compared=(Place(2),)))
    not_seen = find_causes(made_up.evidence(*made_up.set_of(Deposit.LIGHT, unseen)))
    assert [c.probability for c in left_out.ranked] == [c.probability for c in not_seen.ranked]
    assert any("Not compared" in remark for remark in left_out.remarks)
    assert any("Counts as not seen" in remark for remark in not_seen.remarks)


def test_a_knock_sensor_code_is_no_knock(made_up):
    plain = find_causes(made_up.evidence(*made_up.set_of(Deposit.LIGHT)))
    coded = find_causes(made_up.evidence(*made_up.set_of(Deposit.LIGHT), codes=("P0325",)))
    assert [c.probability for c in coded.ranked] == [c.probability for c in plain.ranked]
    assert any("P0325" in remark for remark in coded.remarks)


def test_harmless_causes_only_without_a_sign_of_a_fault(made_up):
    well = find_causes(made_up.evidence(*made_up.set_of(Deposit.LIGHT)))
    odd = {2: made_up.plug(2, Deposit.WET_OIL)}
    ill = find_causes(made_up.evidence(*made_up.set_of(Deposit.LIGHT, odd)))
    nobody = find_causes(made_up.evidence(*(made_up.plug(c, cant_tell=True) for c in (1, 2, 3, 4))))
    assert well.ranked[0].id == "in_order"
    assert well.ranked[0].band is Band.MOST_LIKELY
    assert not any(c.id == "in_order" for causes in (ill, nobody) for c in causes.ranked)
    assert not nobody.separable


def test_a_complaint_with_normal_plugs_is_not_nothing_wrong(made_up):
    causes = find_causes(made_up.evidence(*made_up.set_of(Deposit.LIGHT), complaints=("overheats",)))
    assert not any(c.id == "in_order" for c in causes.ranked)
    assert not causes.separable
    assert any("look normal" in remark for remark in causes.remarks)


def test_damage_on_one_plug_is_looked_for_on_the_others(made_up):
    marked = {2: made_up.plug(2, Deposit.LIGHT, damage=[Damage.METAL_SPECKS])}
    one = find_causes(made_up.evidence(*made_up.set_of(Deposit.LIGHT, marked)))
    unseen = [made_up.plug(c, cant_tell=True) for c in (1, 3, 4)]
    alone = find_causes(made_up.evidence(marked[2], *unseen))
    assert chance(one, "induction_part_failing") < chance(alone, "induction_part_failing") / 5
    assert one.ranked[0].id == "piston_failing"
    assert any("not marked on plugs 1, 3, 4" in w.words for w in one.ranked[0].speaks_for)


def test_less_context_a_wider_answer(made_up):
    plugs = made_up.set_of(Deposit.DRY_CARBON)
    told = find_causes(made_up.evidence(*plugs))
    untold = find_causes(made_up.evidence(*plugs, facts=EngineFacts("made up", 4)))
    assert {(c.id, c.site) for c in told.ranked if c.band is not Band.UNLIKELY} < {
        (c.id, c.site) for c in untold.ranked
    }


def test_an_outcome_moves_the_causes(made_up):
    plugs = made_up.set_of(Deposit.DRY_CARBON)
    before = find_causes(made_up.evidence(*plugs))
    blocked = find_causes(made_up.evidence(*plugs, outcomes=[CheckOutcome("air_filter_look", "blocked")]))
    clear = find_causes(made_up.evidence(*plugs, outcomes=[CheckOutcome("air_filter_look", "clear")]))
    assert blocked.ranked[0].id == "air_filter"
    assert blocked.separable
    assert chance(clear, "air_filter") < chance(before, "air_filter") / 5
    assert chance(blocked, "short_trips") < chance(before, "short_trips")


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        ({"use": Use.AIRCRAFT}, "licensed person"),
        ({"stroke": Stroke.TWO}, "it can seize"),
        ({"cooling": Cooling.AIR}, "no thermostat"),
        ({"stroke": Stroke.ROTARY}, "rotors"),
        ({"cylinders": 1}, "no set to compare"),
    ],
)
def test_remarks_of_the_engine(made_up, facts, words):
    engine = EngineFacts(**({"name": "made up", "cylinders": 2} | facts))
    plugs = (made_up.plug(c, Deposit.LIGHT) for c in range(1, engine.cylinders + 1))
    causes = find_causes(made_up.evidence(*plugs, facts=engine))
    assert any(words in remark for remark in causes.remarks)


def test_what_is_left_out_is_said_above_one_per_cent(made_up):
    few = find_causes(made_up.evidence(made_up.plug(1, Deposit.LIGHT), facts=made_up.engine(cylinders=1)))
    many = find_causes(
        made_up.evidence(
            *made_up.set_of(Deposit.LIGHT, cylinders=16),
            facts=EngineFacts("made up", 16, banks=(tuple(range(1, 9)), tuple(range(9, 17)))),
        )
    )
    assert few.left_out < 0.01 < many.left_out < 0.2
    assert not any("left out" in remark for remark in few.remarks)
    assert any(f"{many.left_out:.1%}" in remark for remark in many.remarks)


def log_odds(p):
    return math.log(p) - math.log1p(-p)


def test_a_reason_is_what_the_finding_does_to_the_odds(made_up):
    said = {"complaints": ("blue smoke load",), "oil_use": "much"}
    odd = {3: made_up.plug(3, Deposit.WET_OIL, bench=[(BenchQuestion.WELL, "dry")])}
    plugs = made_up.set_of(Deposit.LIGHT, odd)
    full = find_causes(made_up.evidence(*plugs, **said))
    without = find_causes(made_up.evidence(*plugs, oil_use="much"))
    for cause in ("oil_ring", "valve_seal"):
        ranked = next(c for c in full.ranked if c.id == cause and c.site.cylinders == (3,))
        why = next(
            w for w in (*ranked.speaks_for, *ranked.speaks_against) if "Blue smoke under load" in w.words
        )
        change = log_odds(chance(full, cause, 3)) - log_odds(chance(without, cause, 3))
        assert why.weight == pytest.approx(change, abs=1e-9)
    assert any("Blue smoke" in w.words for w in full.ranked[0].speaks_for)


def test_reasons_are_signed_sorted_and_sourced(ranked):
    for causes in ranked.values():
        for cause in causes.ranked[:8]:
            assert all(w.weight >= LEAST_WEIGHT for w in cause.speaks_for)
            assert all(w.weight <= -LEAST_WEIGHT for w in cause.speaks_against)
            for whys in (cause.speaks_for, cause.speaks_against):
                sizes = [abs(w.weight) for w in whys]
                assert sizes == sorted(sizes, reverse=True)
                assert all(w.source and w.words.endswith(".") for w in whys)


def test_the_first_cause_of_a_found_fault_has_a_reason(ranked):
    leading = {name: c.ranked[0] for name, c in ranked.items() if c.ranked[0].band is Band.MOST_LIKELY}
    assert len(leading) > 20
    assert all(first.speaks_for for first in leading.values())


def test_the_same_cause_at_nested_places_is_told_once(made_up):
    facts = made_up.engine(cylinders=6, banks=((1, 3, 5), (2, 4, 6)))
    odd = {c: made_up.plug(c, Deposit.CHALK_WHITE, damage=[Damage.BLUED_METAL]) for c in (1, 3, 5)}
    plugs = made_up.set_of(Deposit.LIGHT, odd, cylinders=6)
    causes = find_causes(made_up.evidence(*plugs, facts=facts, long_trim_percent=(19.0, 1.0)))
    leaks = [c for c in causes.ranked if c.id == "intake_leak" and {*c.site.cylinders} <= {1, 3, 5}]
    assert leaks[0].site.cylinders == (1, 3, 5)
    assert not any(0 < c.probability < 0.1 for c in leaks)


def test_ranking_is_by_probability_and_repeatable(tuned, ranked):
    for scenario in tuned[::15]:
        causes = ranked[scenario.id]
        chances = [c.probability for c in causes.ranked]
        assert chances == sorted(chances, reverse=True)
        assert all(0 <= p <= 1 for p in chances)
        assert causes == find_causes(scenario.evidence)


def test_everything_marked_at_once_is_still_answered(made_up):
    everything = made_up.plug(1, *Deposit, damage=[*Damage])
    plugs = (everything, *(made_up.plug(c, *Deposit, damage=[*Damage]) for c in (2, 3, 4)))
    causes = find_causes(
        made_up.evidence(*plugs, complaints=tuple(COMPLAINTS), oil_use="much", coolant_use="much")
    )
    assert any("Too many findings at once" in remark for remark in causes.remarks)
    assert all(0 <= c.probability <= 1 for c in causes.ranked)
    assert any(c.id == "induction_part_failing" and c.band is not Band.UNLIKELY for c in causes.ranked)


def test_a_worn_plug_does_not_hide_what_the_complaint_is_about(made_up):
    # A worn plug is sure but explains no smoke: the complaint's own cause is named beside it (common practice).
    odd = {
        2: made_up.plug(
            2, Deposit.LIGHT, damage=[Damage.WORN_ELECTRODES], bench=[("electrode square", "rounded")]
        ),
        3: made_up.plug(3, Deposit.WET_OIL),
        4: made_up.plug(4, Deposit.ASH),
    }
    plugs = made_up.set_of(Deposit.LIGHT, odd)
    smokes = find_causes(made_up.evidence(*plugs, complaints=("blue smoke overrun",)))
    assert smokes.ranked[0].id == "worn_plug"
    (story,) = [r for r in smokes.remarks if r.startswith("Two stories")]
    named = story.partition("likeliest that does")[2]
    assert any(c in named for c in ("oil-control ring", "valve-stem seal", "valve guide"))
    silent = find_causes(made_up.evidence(*plugs))
    assert silent.ranked[0].id == "worn_plug"
    assert not [r for r in silent.remarks if r.startswith("Two stories")]
