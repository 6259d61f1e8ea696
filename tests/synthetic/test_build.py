"""Built plugs: the same from the same seed, sound meshes, shares as asked for."""

from dataclasses import replace

import numpy as np
import pytest
import trimesh

from plugsight.synthetic.build import build_plug
from plugsight.synthetic.built_plug import DEPOSITS_BY_INDEX, NO_DEPOSIT, PART_NAMES, BuiltPlug
from plugsight.synthetic.design import draw_design
from plugsight.synthetic.draw_state import draw_state
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
    reseeded = build_plug(sooty.design, sooty.state, 12)
    nose, other = sooty.part("nose"), reseeded.part("nose")
    assert nose is not None
    assert other is not None
    assert not np.array_equal(nose.colour, other.colour)


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


@pytest.mark.parametrize("cover", [0.15, 0.5, 0.9])
def test_a_single_layer_covers_the_share_asked_for(cover: float) -> None:
    rng = np.random.default_rng(5)
    design, state = draw_design(rng, "train"), draw_state(rng, Deposit.DRY_CARBON)
    layer = replace(next(la for la in state.layers if la.deposit is Deposit.DRY_CARBON), cover=cover)
    plug = build_plug(design, replace(state, layers=(layer,), damage=()), 5)
    assert dict(plug.truth.nose_shares)[Deposit.DRY_CARBON] == pytest.approx(cover, abs=0.04)


def test_no_layer_leaves_the_ceramic_bare() -> None:
    rng = np.random.default_rng(6)
    plug = build_plug(draw_design(rng, "train"), replace(draw_state(rng, Deposit.BARE), layers=()), 6)
    nose = plug.part("nose")
    assert nose is not None
    assert (nose.deposit == NO_DEPOSIT).all()
    assert plug.truth.nose_shares == ()


def test_soot_is_dark_and_chalk_white_is_bright(sooty: BuiltPlug) -> None:
    for plug, deposit, low, high in (
        (sooty, Deposit.DRY_CARBON, 0.0, 0.15),
        (built(12, Deposit.CHALK_WHITE), Deposit.CHALK_WHITE, 0.6, 1.0),
    ):
        nose = plug.part("nose")
        assert nose is not None
        on = nose.deposit == DEPOSITS_BY_INDEX.index(deposit)
        assert on.any()
        assert low < np.median(nose.colour[on]) < high
