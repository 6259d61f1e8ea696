"""A thread's size without a plug spec: named only when nothing else is possible and the silhouette is sure."""

from types import SimpleNamespace

import pytest

from plugsight.view.crests import Period
from plugsight.view.flanks import FlankPeriod
from plugsight.view.record import Scale
from plugsight.view.scale import scale_of
from plugsight.view.stance import Stance
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.refusal import NotMeasured

LEVEL = Stance(0.0, 0.0, 0.5, nearness=0.05, u_nearness=0.01, height=0.0)


def a_shell(pitches_wide: float, share: float | None) -> SimpleNamespace:
    """A shell 400 pixels wide; ``share`` None: no silhouette was read."""
    px = 400.0 / pitches_wide
    period = None if share is None else Period(px, 0.001 * px, 0.0, 0.0, 9.0, share, 0.0, None, 400.0)
    return SimpleNamespace(width_px=400.0, period=period, flank=FlankPeriod(1.04 * px, 0.5, 9.0))


@pytest.mark.parametrize(("share", "named"), [(0.97, True), (0.6, False), (None, False)])
def test_only_a_sure_silhouette_names_a_size(share: float | None, named: bool) -> None:
    # ISO 724: M8x1.0 is 8 pitches wide, the next plug thread is 9.6
    found = scale_of(a_shell(0.99 * 8.0, share), LEVEL, PlugSpec())  # type: ignore[arg-type]
    assert isinstance(found, Scale) == named
    if isinstance(found, Scale):
        assert found.thread == "M8x1.0"
    else:
        assert isinstance(found, NotMeasured)
        assert "thread" in found.remedy


def test_sizes_that_lie_near_each_other_are_asked_for() -> None:
    # ISO 724: M10x1.0 is 10 pitches wide, M12x1.25 is 9.6
    found = scale_of(a_shell(0.99 * 9.8, 0.97), LEVEL, PlugSpec())  # type: ignore[arg-type]
    assert isinstance(found, NotMeasured)
    assert "M10x1.0" in found.reason
    assert "M12x1.25" in found.reason


def test_the_specs_size_is_taken_from_any_silhouette() -> None:
    found = scale_of(a_shell(0.99 * 11.2, 0.5), LEVEL, PlugSpec(thread="M14x1.25"))  # type: ignore[arg-type]
    assert isinstance(found, Scale)
    assert found.thread == "M14x1.25"
