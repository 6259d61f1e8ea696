"""Focus as a width in pixels, against drawn edges of known blur."""

import cv2
import numpy as np
import pytest

from plugsight.view.fitness import edge_width


@pytest.mark.parametrize("sigma", [1.0, 2.0, 4.0])
def test_width_of_a_blurred_slanted_edge(sigma: float) -> None:
    over = 4
    rows, cols = np.mgrid[0 : 160 * over, 0 : 160 * over]
    step = np.where(cols + 0.1 * rows > 88 * over, 200.0, 40.0).astype(np.float32)
    sharp = cv2.resize(step, (160, 160), interpolation=cv2.INTER_AREA)
    grey = np.rint(cv2.GaussianBlur(sharp, (0, 0), sigma)).astype(np.uint8)
    width = edge_width(grey, np.ones(grey.shape, bool))
    # ISO 12233's slanted edge; the identity of the Gaussian ties the width to MTF50 = sqrt(ln 2 / (2 pi^2)) / sigma, 0.187 cy/px at
    # sigma 1. A box of one pixel adds 0.29 px in quadrature.
    wanted = np.hypot(sigma, 0.29)
    assert width == pytest.approx(wanted, rel=0.15)
    assert np.sqrt(np.log(2) / (2 * np.pi**2)) / 1.0 == pytest.approx(0.187, abs=0.001)


def test_an_even_picture_has_no_edge() -> None:
    assert edge_width(np.full((50, 50), 99, np.uint8), np.ones((50, 50), bool)) == 0.0
