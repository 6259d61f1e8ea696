"""The choice: what tells most per minute, what is left out, and when to stop."""

import dataclasses
import re

import pytest

from plugsight.causes import find_causes
from plugsight.checks import choose_checks, known_checks
from plugsight.checks.choose import LEAST_BITS, SETUP_MINUTES
from plugsight.vocabulary.bench import BenchQuestion
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Cooling, EngineFacts, Place, Use
from plugsight.vocabulary.outcomes import CheckOutcome


def chosen(evidence, **options):
    return choose_checks(evidence, find_causes(evidence), **options)


def ids(evidence, **options):
    return [c.id for c in chosen(evidence, **options).items]


def test_most_telling_per_minute_first(made_up):
    items = chosen(made_up.evidence(*made_up.set_of(Deposit.DRY_CARBON))).items
    rates = [c.bits_per_minute for c in items]
    assert rates == sorted(rates, reverse=True)
    for check in items:
        assert check.bits >= LEAST_BITS
        assert check.bits_per_minute == pytest.approx(check.bits / (check.minutes + SETUP_MINUTES))
        assert check.cautions
        assert check.why


def test_a_sooty_set_looks_at_the_filter_first(made_up):
    assert "air_filter_look" in ids(made_up.evidence(*made_up.set_of(Deposit.DRY_CARBON)))[:3]


def test_a_check_that_was_done_is_not_proposed_again(made_up):
    plugs = made_up.set_of(Deposit.DRY_CARBON)
    done = CheckOutcome("air_filter_look", "clear")
    assert "air_filter_look" not in ids(made_up.evidence(*plugs, outcomes=[done]))


def test_what_is_known_already_is_not_proposed(made_up):
    plugs = made_up.set_of(Deposit.DRY_CARBON)
    assert "fuel_trims" in ids(made_up.evidence(*plugs))
    assert "fuel_trims" not in ids(made_up.evidence(*plugs, long_trim_percent=(1.0,)))


def test_a_check_on_one_cylinder_says_which(made_up):
    odd = {3: made_up.plug(3, Deposit.WET_OIL)}
    items = chosen(made_up.evidence(*made_up.set_of(Deposit.LIGHT, odd))).items
    local = {c.id: c.cylinder for c in items if c.cylinder is not None}
    assert local
    assert {*local.values()} == {3}
    assert len({c.id for c in items}) == len(items)


def test_nothing_that_the_engine_rules_out(made_up):
    hot = {"damage": [Damage.BLUED_METAL]}
    plugs = [made_up.plug(c, Deposit.CHALK_WHITE, **hot) for c in (1, 2)]
    air = EngineFacts("made up", 2, cooling=Cooling.AIR)
    found = ids(made_up.evidence(*plugs, facts=air, complaints=("overheats",)))
    assert "cooling_air" in found
    assert not {"thermostat", "pump_flow", "coolant_level", "fan"} & {*found}


def test_a_sound_set_needs_no_check(made_up):
    evidence = made_up.evidence(*made_up.set_of(Deposit.LIGHT))
    result = chosen(evidence)
    assert result.items == ()
    assert "nothing speaks for a fault" in result.stop


def test_the_list_stops_where_the_cause_stands_clear(made_up):
    plugs = [made_up.plug(c, Deposit.LIGHT, damage=[Damage.WORN_ELECTRODES]) for c in (1, 2, 3, 4)]
    result = chosen(made_up.evidence(*plugs, km_on_plugs=90_000.0))
    assert result.items == ()
    assert "stands clear" in result.stop


def test_answers_settle_it_in_the_end(made_up):
    evidence = made_up.evidence(*made_up.set_of(Deposit.DRY_CARBON))
    asked = []
    for _ in range(30):
        result = chosen(evidence)
        if not result.items:
            break
        first = result.items[0]
        assert (first.id, first.cylinder) not in asked
        asked.append((first.id, first.cylinder))
        outcome = CheckOutcome(first.id, first.outcomes[-1].id, first.cylinder, first.bank)
        evidence = dataclasses.replace(evidence, outcomes=(*evidence.outcomes, outcome))
    assert result.items == ()
    assert result.stop


@pytest.mark.parametrize(
    "plug",
    [
        {"damage": [Damage.METAL_SPECKS]},
        {"damage": [Damage.MELTED_ELECTRODE]},
        {"bench": [(BenchQuestion.LIQUID, "coolant or water")]},
        {"bench": [(BenchQuestion.SMELL, "sweet")]},
        {"bench": [(BenchQuestion.GAP_CLOSED_BY, "the piston")]},
    ],
)
def test_no_cranking_after_a_finding_that_stops(made_up, plug):
    odd = {2: made_up.plug(2, Deposit.LIGHT, **plug)}
    result = chosen(made_up.evidence(*made_up.set_of(Deposit.LIGHT, odd)))
    turning = {c.id for c in known_checks() if c.turns_engine}
    assert not turning & {c.id for c in result.items}
    assert any("left out" in remark for remark in result.remarks)


def test_what_the_repair_needs_comes_early(made_up):
    facts = made_up.engine(cylinders=6, banks=((1, 3, 5), (2, 4, 6)))
    odd = {c: made_up.plug(c, Deposit.CHALK_WHITE, damage=[Damage.BLUED_METAL]) for c in (1, 3, 5)}
    plugs = made_up.set_of(Deposit.LIGHT, odd, cylinders=6)
    evidence = made_up.evidence(*plugs, facts=facts, long_trim_percent=(19.0, 1.0), codes=("P0171",))
    assert ids(evidence)[0] == "intake_smoke"


def test_intrusiveness_can_be_made_to_cost(made_up):
    odd = {3: made_up.plug(3, Deposit.DRY_CARBON)}
    evidence = made_up.evidence(*made_up.set_of(Deposit.LIGHT, odd))
    plain, dear = chosen(evidence).items, chosen(evidence, minutes_per_intrusion=60.0).items
    mean = [sum(c.intrusive for c in items[:3]) for items in (plain, dear)]
    assert mean[1] <= mean[0]
    assert {c.id for c in dear} < {c.id for c in plain}


def test_each_outcome_says_what_it_means_and_enters(made_up):
    evidence = made_up.evidence(*made_up.set_of(Deposit.DRY_CARBON))
    first = chosen(evidence).items[0]
    before = find_causes(evidence)
    for outcome in first.outcomes:
        assert re.search("Then first: |Still first: |still first: ", outcome.meaning)
        entered = CheckOutcome(first.id, outcome.id, first.cylinder, first.bank)
        after = find_causes(dataclasses.replace(evidence, outcomes=(entered,)))
        assert after != before
        leading = max((c for c in after.ranked), key=lambda c: c.probability)
        assert leading.name.partition(":")[0] in outcome.meaning


def test_two_plugs_a_cylinder_are_not_asked_for_one(made_up):
    facts = EngineFacts("made up", 2, use=Use.AIRCRAFT, cooling=Cooling.AIR, positions=("top", "bottom"))
    plugs = [made_up.plug(Place(c, p), Deposit.DRY_CARBON) for c in (1, 2) for p in ("top", "bottom")]
    assert "clean_and_meter" not in ids(made_up.evidence(*plugs, facts=facts))
