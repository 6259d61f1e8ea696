"""Edge radius from outline and look together."""

import numpy as np
import pytest

from plugsight.features.electrode import FittedElectrode
from plugsight.features.gap import TipScale
from plugsight.features.record import Length
from plugsight.features.rounding import WIDER, measure_edge_radius
from plugsight.segments.record import Sighting
from plugsight.vocabulary.refusal import NotMeasured

SCALE = TipScale(1 / 31, 0.01)


def an_electrode(edge: float, u: float) -> FittedElectrode:
    return FittedElectrode(
        face_mm=0.0, edge_radius_mm=edge, u_edge_radius_mm=u, sin_tilt=0.0, u_sin_tilt=0.01,
        outline_mm=np.zeros(9), misfit_mm=0.01,
    )  # fmt: skip


def test_outline_and_look_are_weighed_by_their_uncertainties() -> None:
    u = 0.02 * WIDER
    found = measure_edge_radius(an_electrode(0.2, 0.02), 70.0, SCALE, Sighting(0.3 * 31, u * 31))
    assert isinstance(found, Length)
    assert found.mm == pytest.approx(0.25)
    # Birge ratio: they differ by 0.1 mm, 1.41 times what their uncertainties of 0.05 mm each allow
    wanted = np.hypot(u / np.sqrt(2) * 0.1 / (u * np.sqrt(2)), 0.25 * 0.01)
    assert found.u_mm == pytest.approx(wanted, rel=1e-3)


def test_without_a_look_the_outline_stands_alone_and_wider() -> None:
    found = measure_edge_radius(an_electrode(0.2, 0.02), 70.0, SCALE, None)
    assert isinstance(found, Length)
    assert found.mm == pytest.approx(0.2)
    assert found.u_mm == pytest.approx(np.hypot(0.02 * WIDER, 0.002))


def test_a_radius_is_neither_negative_nor_more_than_half_the_electrode() -> None:
    low = measure_edge_radius(an_electrode(0.0, 0.02), 70.0, SCALE, Sighting(-5.0, 0.1))
    high = measure_edge_radius(an_electrode(3.0, 0.02), 62.0, SCALE, None)
    assert isinstance(low, Length)
    assert isinstance(high, Length)
    assert low.mm == 0.0
    assert high.mm == pytest.approx(1.0)


def test_a_thin_electrode_shows_no_radius() -> None:
    found = measure_edge_radius(an_electrode(0.1, 0.02), 11.0, SCALE, None)
    assert isinstance(found, NotMeasured)
    assert "lens" in found.remedy
