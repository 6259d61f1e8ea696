"""Sizes in the truth against the geometry that was made."""

from dataclasses import replace

import numpy as np
import pytest

from plugsight.synthetic.design import PlugDesign, draw_design
from plugsight.synthetic.draw_state import draw_state
from plugsight.synthetic.electrodes import (
    Wear,
    centre_grid,
    damage_of,
    edge_radius,
    strap_grid,
    tip_z,
    wear_of,
)
from plugsight.synthetic.grids import filleted
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit

NEW = Wear(gap_mm=0.9, edge_radius_mm=0.03, lean_deg=0.0, swing_deg=0.0, hollow_mm=0.0)


@pytest.fixture(scope="module")
def design() -> PlugDesign:
    rng = np.random.default_rng(21)
    drawn = draw_design(rng, "train")
    while drawn.strap != "straight" or drawn.electrode != "wide":
        drawn = draw_design(rng, "train")
    return drawn


@pytest.mark.parametrize("rounding", [0.0, 0.4, 0.9])
def test_centre_electrode_has_its_diameter_and_edge_radius(design: PlugDesign, rounding: float) -> None:
    radius = edge_radius(design, rounding)
    points = centre_grid(design, radius).flat
    r, z = np.hypot(points[:, 0], points[:, 1]), points[:, 2]
    half, top = design.electrode_diameter_mm / 2, tip_z(design)
    assert z.max() == pytest.approx(top, abs=1e-6)
    assert r[z > design.nose_tip_z_mm].max() == pytest.approx(half, abs=1e-3)
    # The flat face ends, and the flank begins, one edge radius from the corner; points are 0.025 mm apart.
    assert r[z > top - 1e-4].max() == pytest.approx(half - radius, abs=0.03)
    assert z[r > half - 1e-4].max() == pytest.approx(top - radius, abs=0.03)


@pytest.mark.parametrize("electrode", ["medium", "fine"])
def test_a_worn_wire_has_the_edge_radius_of_the_truth(electrode: str) -> None:
    rng = np.random.default_rng(24)
    wire = draw_design(rng, "test")
    while wire.electrode != electrode:
        wire = draw_design(rng, "test")
    radius = edge_radius(wire, 0.95)
    points = centre_grid(wire, radius).flat
    r, z = np.hypot(points[:, 0], points[:, 1]), points[:, 2]
    assert r[z > tip_z(wire) - 1e-4].max() == pytest.approx(wire.electrode_diameter_mm / 2 - radius, abs=0.03)


@pytest.mark.parametrize("azimuth", [0.0, 120.0, 240.0])
def test_strap_has_its_depth_width_and_azimuth(design: PlugDesign, azimuth: float) -> None:
    points = strap_grid(design, NEW, azimuth).flat
    turn = np.deg2rad(azimuth)
    along = points[:, 0] * np.cos(turn) + points[:, 1] * np.sin(turn)
    across = -points[:, 0] * np.sin(turn) + points[:, 1] * np.cos(turn)
    over = np.abs(along) < 0.3
    assert np.ptp(points[over, 2]) == pytest.approx(design.strap_depth_mm, abs=0.01)
    assert np.ptp(across[over]) == pytest.approx(design.strap_width_mm, abs=0.01)
    assert along.min() == pytest.approx(-design.strap_overhang_mm, abs=0.01)


def test_hollow_is_cut_into_the_face_that_meets_the_spark(design: PlugDesign) -> None:
    flat = strap_grid(design, NEW, 0.0).points
    hollow = strap_grid(design, replace(NEW, hollow_mm=0.3), 0.0).points
    lifted = (hollow - flat)[..., 2]
    deepest = np.unravel_index(lifted.argmax(), lifted.shape)
    assert lifted.max() == pytest.approx(0.3, abs=0.01)
    assert np.hypot(*flat[deepest][:2]) < 0.15
    assert flat[deepest][2] == pytest.approx(tip_z(design) + NEW.gap_mm, abs=1e-3)


def test_struck_strap_closes_or_swings(design: PlugDesign) -> None:
    state = replace(draw_state(np.random.default_rng(22), Deposit.LIGHT), gap_mm=0.9, strap_swing_deg=1.0)
    closed = wear_of(design, replace(state, damage=((Damage.BENT_STRAP, 0.9),)))
    aside = wear_of(design, replace(state, damage=((Damage.BENT_STRAP, 0.3),)))
    assert closed.gap_mm < 0.1
    assert aside.gap_mm == 0.9
    assert aside.swing_deg > 10


def test_worn_electrodes_follow_from_gap_rounding_and_hollow(design: PlugDesign) -> None:
    state = replace(
        draw_state(np.random.default_rng(23), Deposit.BARE),
        damage=(),
        gap_mm=0.8,
        edge_rounding=0.0,
        hollow_mm=0.0,
    )
    assert damage_of(design, state, wear_of(design, state)) == ()
    for worn in (
        replace(state, gap_mm=1.9),
        replace(state, edge_rounding=0.9),
        replace(state, hollow_mm=0.35),
    ):
        found = dict(damage_of(design, worn, wear_of(design, worn)))
        assert found[Damage.WORN_ELECTRODES] > 0.5


def test_fillet_is_round_and_tangent() -> None:
    line = filleted([(0.0, 0.0, 0.0), (4.0, 0.0, 1.0), (4.0, 4.0, 0.0)])
    arc = line[1:-1]
    assert np.allclose(np.hypot(arc[:, 0] - 3.0, arc[:, 1] - 1.0), 1.0)
    assert np.allclose(arc[0], (3.0, 0.0))
    assert np.allclose(arc[-1], (4.0, 1.0))
