"""Built plugs: the same from the same seed, sound meshes, shares as asked for."""

from dataclasses import replace

import numpy as np
import pytest
import trimesh
from scipy.spatial import cKDTree

from plugsight.synthetic.build import build_plug
from plugsight.synthetic.built_plug import (
    DAMAGE_BY_INDEX,
    DEPOSITS_BY_INDEX,
    NO_DEPOSIT,
    NOSE,
    PART_NAMES,
    BuiltPlug,
    PartMesh,
)
from plugsight.synthetic.ceramic import nose_grid
from plugsight.synthetic.covers import nose_zone_mm
from plugsight.synthetic.design import PlugDesign, draw_design
from plugsight.synthetic.draw_state import draw_state
from plugsight.synthetic.dress import dress_nose
from plugsight.synthetic.noise import Noise
from plugsight.synthetic.skin import Skin
from plugsight.synthetic.state import PlugState
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit


def built(seed: int, aim: Deposit) -> BuiltPlug:
    rng = np.random.default_rng(seed)
    return build_plug(draw_design(rng, "train"), draw_state(rng, aim), seed)


@pytest.fixture(scope="module")
def sooty() -> BuiltPlug:
    return built(11, Deposit.DRY_CARBON)


def test_same_seed_same_arrays_other_seed_others(sooty: BuiltPlug) -> None:
    again = built(11, Deposit.DRY_CARBON)
    assert again.truth == sooty.truth
    for one, other in zip(sooty.parts, again.parts, strict=True):
        for name in (
            "vertices",
            "faces",
            "colour",
            "roughness",
            "metallic",
            "clearcoat",
            "deposit",
            "damage",
        ):
            assert np.array_equal(getattr(one, name), getattr(other, name)), (one.name, name)
    one, other = (dressed_nose(seed, sooty.state, sooty.design) for seed in (11, 12))
    assert not np.array_equal(one.colour, other.colour)


def test_parts_are_named_ordered_and_whole(sooty: BuiltPlug) -> None:
    names = [p.name for p in sooty.parts]
    assert names == sorted(names, key=PART_NAMES.index)
    for part in sooty.parts:
        n = len(part.vertices)
        assert part.faces.min() == 0
        assert part.faces.max() < n
        assert len(part.colour) == len(part.roughness) == len(part.deposit) == len(part.damage) == n
        assert np.isfinite(part.vertices).all()
        assert (part.colour > 0).all()
        assert (part.colour < 1).all()


def test_meshes_face_outwards(sooty: BuiltPlug) -> None:
    for part in sooty.parts:
        # Flanks and ends are closed enough that a mesh turned inside out has a negative volume.
        assert trimesh.Trimesh(part.vertices, part.faces, process=False).volume > 0, part.name


def dressed_nose(seed: int, state: PlugState, design: PlugDesign) -> PartMesh:
    """Only the nose, which is a fifth of the work of a whole plug."""
    skin = Skin("nose", NOSE, nose_grid(design), Noise(seed))
    dress_nose(skin, design, state)
    return skin.mesh()


def share_of(nose: PartMesh, deposit: Deposit, design: PlugDesign) -> float:
    """Area share of a deposit on the nose's outer area, by trimesh's face areas."""
    mesh = trimesh.Trimesh(nose.vertices, nose.faces, process=False)
    outer = mesh.triangles_center[:, 2] > design.nose_tip_z_mm - nose_zone_mm(design)
    on = nose.deposit[nose.faces[:, 0]] == DEPOSITS_BY_INDEX.index(deposit)
    return float(mesh.area_faces[outer & on].sum() / mesh.area_faces[outer].sum())


@pytest.mark.parametrize("cover", [0.15, 0.5, 0.9])
def test_a_single_layer_covers_the_share_asked_for(cover: float) -> None:
    rng = np.random.default_rng(5)
    design, state = draw_design(rng, "train"), draw_state(rng, Deposit.RED_TINT)
    layer = replace(next(la for la in state.layers if la.deposit is Deposit.RED_TINT), cover=cover)
    nose = dressed_nose(5, replace(state, layers=(layer,), damage=()), design)
    assert share_of(nose, Deposit.RED_TINT, design) == pytest.approx(cover, abs=0.04)


def test_shares_in_the_truth_are_those_of_the_mesh(sooty: BuiltPlug) -> None:
    nose = sooty.part("nose")
    assert nose is not None
    for deposit, share in sooty.truth.nose_shares:
        assert share == pytest.approx(share_of(nose, deposit, sooty.design), abs=1e-3)


def test_no_layer_leaves_the_ceramic_bare() -> None:
    rng = np.random.default_rng(6)
    design, state = draw_design(rng, "train"), draw_state(rng, Deposit.BARE)
    nose = dressed_nose(6, replace(state, layers=(), damage=()), design)
    assert (nose.deposit == NO_DEPOSIT).all()
    assert (nose.damage == 0).all()


@pytest.mark.parametrize(
    "damage",
    [
        Damage.BLISTERED_NOSE,
        Damage.CRACKED_NOSE,
        Damage.METAL_SPECKS,
        Damage.PEPPER_SPECKS,
        Damage.MISSING_PIECE,
    ],
)
def test_damage_of_the_nose_is_marked_where_it_is(damage: Damage) -> None:
    rng = np.random.default_rng(7)
    design, state = draw_design(rng, "train"), draw_state(rng, Deposit.LIGHT)
    sound = dressed_nose(7, replace(state, damage=()), design)
    hurt = dressed_nose(7, replace(state, damage=((damage, 0.6),)), design)
    marked = hurt.damage == 1 + DAMAGE_BY_INDEX.index(damage)
    changed = np.abs(hurt.colour - sound.colour).max(axis=1) > 0.05
    assert marked.any()
    assert not sound.damage.any()
    # What is marked looks different, and nothing far from a mark does (soft edges reach a little farther).
    moved = np.linalg.norm(hurt.vertices - sound.vertices, axis=1) > 0.003
    assert (changed | moved)[marked].mean() > 0.8
    reach = cKDTree(hurt.vertices[marked]).query(hurt.vertices[changed])[0] if changed.any() else np.zeros(1)
    assert reach.max() < 0.25


def test_soot_is_dark_and_chalk_white_is_bright(sooty: BuiltPlug) -> None:
    soot = sooty.part("nose")
    assert soot is not None
    rng = np.random.default_rng(12)
    design, state = draw_design(rng, "train"), draw_state(rng, Deposit.CHALK_WHITE)
    chalk = dressed_nose(12, state, design)
    for nose, deposit, low, high in (
        (soot, Deposit.DRY_CARBON, 0.0, 0.15),
        (chalk, Deposit.CHALK_WHITE, 0.6, 1.0),
    ):
        on = nose.deposit == DEPOSITS_BY_INDEX.index(deposit)
        assert on.any()
        assert low < np.median(nose.colour[on]) < high


def test_a_bridged_gap_is_zero_and_the_lump_is_there() -> None:
    rng = np.random.default_rng(3)
    state = replace(draw_state(rng, Deposit.ASH), damage=((Damage.BRIDGED_GAP, 0.8),))
    plug = build_plug(draw_design(rng, "train"), state, 3)
    assert plug.part("bridge") is not None
    assert plug.truth.gap_wire_mm == plug.truth.gap_flat_mm == 0.0
