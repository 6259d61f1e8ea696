"""Which end of an outline is the firing end, on drawn outlines."""

import numpy as np
import pytest

from plugsight.view.axis import find_axes


def an_outline() -> np.ndarray:
    """A shell upright in the picture, 80 wide; above it nothing, below it a hexagon that the frame cuts off."""
    mask = np.zeros((300, 300), bool)
    mask[90:220, 110:190] = True
    mask[220:, 85:215] = True
    return mask


@pytest.mark.parametrize(
    ("tip", "sure", "up"),
    [
        ((150.0, 80.0), True, True),
        ((150.0, 80.0), False, True),
        ((150.0, 270.0), True, False),
        # a hexagon's chamfer taken for a strap by a finder that isn't sure: the outline's open end wins
        ((150.0, 270.0), False, True),
        (None, True, True),
    ],
)
def test_the_firing_end_is_put_up(tip: tuple[float, float] | None, sure: bool, up: bool) -> None:
    axis = next(find_axes(an_outline(), tip, sure=sure))
    assert abs(axis.turn_deg) == pytest.approx(0.0 if up else 180.0, abs=1.5)
