"""The canonical crop's geometry from projected points, and its grey from the card."""

import numpy as np
import pytest

from plugsight.synthetic.canonical_crop import CROP_PX, canonical_crop, card_gains, crop_matrix
from plugsight.synthetic.draw_view import Extent, draw_viewpoint
from plugsight.synthetic.viewpoint import camera_of

MAJOR = 13.8
THING = Extent(MAJOR, 6.5, -60.0, (0.0, 0.0, 4.2))


def view_of(kind, seed=4):
    return draw_viewpoint(np.random.default_rng(seed), kind, THING, 512, careful=1.0)


@pytest.mark.parametrize("seed", range(8))
def test_side_view_stands_upright_with_the_thread_at_45_percent(seed):
    view = view_of("side", seed)
    camera = camera_of(view)
    matrix, _ = crop_matrix(view, camera, MAJOR)

    def placed(points):
        seen = camera.project(np.array(points))[:, :2]
        return np.concatenate([seen, np.ones((len(seen), 1))], 1) @ matrix.T

    gap, below = placed([THING.gap, (0, 0, THING.gap[2] - MAJOR)])
    assert gap[0] == pytest.approx((CROP_PX - 1) / 2, abs=0.5)
    assert gap[1] == pytest.approx(0.35 * CROP_PX, abs=0.5)
    assert below[0] == pytest.approx(gap[0], abs=0.5)
    assert below[1] > gap[1]
    left, right = (placed([tuple(sign * MAJOR / 2 * camera.right)])[0] for sign in (-1, 1))
    # The middle plane's width: perspective changes it by under one part in a hundred at 80 mm and more.
    assert np.linalg.norm(right - left) == pytest.approx(0.45 * CROP_PX, rel=0.01)


def test_end_view_puts_the_shell_circle_at_80_percent():
    view = view_of("end")
    camera = camera_of(view)
    matrix, scale = crop_matrix(view, camera, MAJOR)
    assert scale * MAJOR == pytest.approx(0.80 * CROP_PX)
    face = np.append(camera.project(np.zeros((1, 3)))[0, :2], 1) @ matrix.T
    assert np.allclose(face, (CROP_PX - 1) / 2, atol=1e-6)


def test_card_becomes_18_percent_grey():
    view = view_of("side")
    photo = np.full((512, 512, 3), (90, 120, 150), np.uint8)
    gains = card_gains(photo, np.ones((512, 512), bool))
    assert gains is not None
    crop = canonical_crop(photo, np.zeros((512, 512), np.uint8), view, camera_of(view), MAJOR, gains)
    inside = crop.picture[crop.mask == 0]
    # sRGB of 18 % linear is 0.4614 (IEC 61966-2-1): 117.6 of 255.
    assert np.abs(inside.astype(float) - 117.6).max() <= 1.0


def test_too_little_card_gives_no_gains():
    photo = np.full((64, 64, 3), 120, np.uint8)
    few = np.zeros((64, 64), bool)
    few[:10, :10] = True
    assert card_gains(photo, few) is None
    assert card_gains(np.full((64, 64, 3), 255, np.uint8), np.ones((64, 64), bool)) is None


def test_outside_of_the_photo_is_marked():
    view = view_of("side")
    crop = canonical_crop(
        np.zeros((512, 512, 3), np.uint8),
        np.zeros((512, 512), np.uint8),
        view,
        camera_of(view),
        MAJOR,
        (1, 1, 1),
    )
    assert set(np.unique(crop.mask)) <= {0, 255}
    assert (crop.picture[crop.mask == 255] == 118).all()
