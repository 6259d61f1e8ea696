"""Objects that are not plugs are sound meshes of background label."""

import numpy as np
import pytest

from plugsight.synthetic.built_plug import NO_DEPOSIT
from plugsight.synthetic.loose_object import finger, rag
from plugsight.synthetic.near_miss import NEAR_MISSES, near_miss


@pytest.mark.parametrize("kind", NEAR_MISSES)
@pytest.mark.parametrize("seed", [1, 2])
def test_near_miss(kind, seed):
    mesh, width, high, low = near_miss(np.random.default_rng(seed), kind)
    z = mesh.vertices[:, 2]
    assert mesh.label == 0
    assert (mesh.deposit == NO_DEPOSIT).all()
    assert mesh.faces.max() < len(mesh.vertices)
    assert high == pytest.approx(z.max(), abs=0.05)
    assert low == pytest.approx(z.min(), abs=0.05)
    # A hexagon's corners stand out by 2/sqrt(3) of its flats.
    assert np.hypot(*mesh.vertices[:, :2].T).max() <= width / 2 * 2 / np.sqrt(3) + 0.2


@pytest.mark.parametrize("make", [finger, rag])
def test_foreground_objects_are_in_the_foreground_slot(make):
    mesh = make(np.random.default_rng(3))
    assert mesh.name == "foreground"
    assert np.isfinite(mesh.vertices).all()
    assert 0 < mesh.colour.min() <= mesh.colour.max() < 1
