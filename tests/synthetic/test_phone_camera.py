"""The phone's picture: transfer curve and colours against published values, exposure that tells nothing of the plug."""

import numpy as np
import pytest

from plugsight.synthetic.phone_camera import draw_camera, expose, take, to_linear, to_srgb
from plugsight.synthetic.workshop_light import kelvin_rgb

CAMERA = draw_camera(np.random.default_rng(1), "train", 5000.0, careful=True)


def test_srgb_curve_at_published_points():
    # IEC 61966-2-1: breakpoint 0.0031308 -> 0.04045; 18 % grey -> 0.4614; ends fixed.
    linear = np.array([0.0, 0.0031308, 0.18, 1.0], np.float32)
    assert np.allclose(to_srgb(linear), [0.0, 0.04045, 0.4614, 1.0], atol=2e-4)
    assert np.allclose(to_linear(to_srgb(linear)), linear, atol=1e-5)


@pytest.mark.parametrize(
    ("kelvin", "x", "y"),
    # Planckian locus, CIE 1931: 2856 K is illuminant A (CIE 15); 6500 K from memory.
    [(2856.0, 0.4476, 0.4074), (6500.0, 0.3135, 0.3237)],
)
def test_black_body_colours(kelvin, x, y):
    to_xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
    xyz = to_xyz @ kelvin_rgb(kelvin)
    assert xyz[0] / xyz.sum() == pytest.approx(x, abs=0.002)
    assert xyz[1] / xyz.sum() == pytest.approx(y, abs=0.002)


def test_exposure_does_not_depend_on_the_plug():
    card = np.zeros((60, 60), bool)
    card[:, :30] = True
    scene = np.full((60, 60, 3), 0.4, np.float32)
    black, white = scene.copy(), scene.copy()
    black[:, 30:] = 0.01
    white[:, 30:] = 3.0
    assert np.allclose(expose(CAMERA, black, card)[card], expose(CAMERA, white, card)[card])


def test_same_generator_state_same_picture_and_brighter_light_needs_no_brighter_picture():
    radiance = np.random.default_rng(2).uniform(0.1, 0.6, (48, 48, 3)).astype(np.float32)
    one = take(CAMERA, radiance, np.random.default_rng(5))
    assert (one == take(CAMERA, radiance, np.random.default_rng(5))).all()
    assert one.dtype == np.uint8
    scaled = take(CAMERA, radiance * 8, np.random.default_rng(5))
    assert np.abs(one.astype(int) - scaled).max() <= 1


def test_shift_family_is_another_kind_of_phone():
    drawn = {
        family: [draw_camera(np.random.default_rng(s), family, 4000.0, careful=False) for s in range(60)]
        for family in ("train", "shift")
    }
    for name in ("saturation", "noise", "sharpen"):
        train, shift = (np.mean([getattr(c, name) for c in drawn[f]]) for f in ("train", "shift"))
        assert shift > train * 1.2
