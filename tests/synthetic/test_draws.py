"""Draws: families disjoint in kind, nuisances apart from deposits."""

from itertools import combinations
from typing import get_args

import numpy as np
import pytest
from scipy.stats import chi2_contingency, f_oneway

from plugsight.synthetic.design import (
    CREST_6G_MM,
    ELECTRODES,
    FINISHES,
    NOSES,
    STRAPS,
    THREAD_NAMES,
    Family,
    draw_design,
    kinds_of,
)
from plugsight.synthetic.draw_state import draw_state
from plugsight.synthetic.state import PlugState
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit

FAMILIES: tuple[Family, ...] = get_args(Family)


def test_no_kind_of_plug_is_in_two_families() -> None:
    kinds = {family: set(kinds_of(family)) for family in FAMILIES}
    for one, other in combinations(FAMILIES, 2):
        assert not kinds[one] & kinds[other]
    assert sum(len(k) for k in kinds.values()) == 144


@pytest.mark.parametrize("family", FAMILIES)
def test_every_family_has_every_thread_nose_electrode_and_strap(family: Family) -> None:
    for place, values in enumerate((THREAD_NAMES, NOSES, ELECTRODES, STRAPS)):
        assert {kind[place] for kind in kinds_of(family)} == set(values)


@pytest.mark.parametrize("family", FAMILIES)
def test_designs_stay_within_their_kind_and_can_be_made(family: Family) -> None:
    rng = np.random.default_rng(8)
    for _ in range(200):
        design = draw_design(rng, family)
        assert design.kind in kinds_of(family)
        assert 0.35 <= design.electrode_diameter_mm <= 2.8
        assert design.nose_tip_radius_mm < design.bore_radius_mm
        assert design.electrode_base_mm / 2 < design.nose_tip_radius_mm
        low, high = CREST_6G_MM[design.thread]
        assert low <= design.crest_allowance_mm <= high
        assert design.strap_depth_mm > 0.4
        assert design.ground_electrodes == 1 or design.strap == "side"


@pytest.fixture(scope="module")
def states() -> list[PlugState]:
    rng = np.random.default_rng(9)
    return [draw_state(rng) for _ in range(2400)]


def test_every_deposit_is_aimed_at_about_equally(states: list[PlugState]) -> None:
    counts = [sum(s.aim is d for s in states) for d in Deposit]
    assert min(counts) > 150
    assert max(counts) < 260


@pytest.mark.parametrize(
    "nuisance",
    [
        "gap_mm",
        "hollow_mm",
        "strap_lean_deg",
        "erosion",
        "rust",
        "face_stain",
        "thread_stain",
        "scratches",
        "grime",
    ],
)
def test_nuisances_do_not_tell_the_deposit(states: list[PlugState], nuisance: str) -> None:
    groups = [[getattr(s, nuisance) for s in states if s.aim is d] for d in Deposit]
    # One-way analysis of variance; seed fixed, so this is one draw of a p-value uniform under independence.
    assert f_oneway(*groups).pvalue > 0.001


def test_rounding_tells_only_chalk_white(states: list[PlugState]) -> None:
    groups = {d: [s.edge_rounding for s in states if s.aim is d] for d in Deposit}
    hot = groups.pop(Deposit.CHALK_WHITE)
    assert f_oneway(*groups.values()).pvalue > 0.001
    assert np.mean(hot) > max(np.mean(g) for g in groups.values())


def test_damage_tells_only_chalk_white(states: list[PlugState]) -> None:
    others = [d for d in Deposit if d is not Deposit.CHALK_WHITE]
    for damage in (Damage.BLUED_METAL, Damage.CRACKED_NOSE, Damage.BLISTERED_NOSE, Damage.BENT_STRAP):
        table = np.array(
            [
                [sum((s.amount(damage) > 0) is has for s in states if s.aim is d) for d in others]
                for has in (True, False)
            ]
        )
        assert chi2_contingency(table).pvalue > 0.001, damage
    assert all(s.amount(Damage.BLUED_METAL) > 0 for s in states if s.aim is Deposit.CHALK_WHITE)


def test_same_seed_same_draws() -> None:
    one, other = np.random.default_rng(10), np.random.default_rng(10)
    assert draw_state(one) == draw_state(other)
    assert draw_design(one, "test") == draw_design(other, "test")


def test_finishes_all_occur() -> None:
    rng = np.random.default_rng(11)
    assert {draw_design(rng, "train").finish for _ in range(120)} == set(FINISHES)
