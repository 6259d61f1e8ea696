"""A thread's size without a plug spec: named only when nothing else is possible and the silhouette is sure."""

import math
from dataclasses import replace
from types import SimpleNamespace

import pytest

from plugsight.view.crests import Period
from plugsight.view.flanks import FlankPeriod
from plugsight.view.record import Scale
from plugsight.view.scale import scale_of
from plugsight.view.stance import Stance
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.refusal import NotMeasured

LEVEL = Stance(300.0, 100.0, 0.0, 0.0, 0.5, 0.05, 0.01)


def a_shell(
    pitches_wide: float,
    share: float | None,
    taper: tuple[float, float] = (0.0, math.inf),
    middle: float = 300.0,
) -> SimpleNamespace:
    """A shell 400 pixels wide, seen by a lens that looks straight at row ``middle``; ``share`` None: no silhouette was read."""
    px = 400.0 / pitches_wide
    period = None
    if share is not None:
        period = Period(px, 0.001 * px, 0.0, 0.0, 9.0, share, 300.0, None, 400.0)
        period = replace(period, taper=taper[0], u_taper=taper[1])
    flank = FlankPeriod(1.0375 * px, 0.5, 9.0)
    upright = SimpleNamespace(middle_row=middle)
    return SimpleNamespace(width_px=400.0, period=period, flank=flank, upright=upright)


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


M14 = PlugSpec(thread="M14x1.25")


def mm_per_px(shell: SimpleNamespace, stance: Stance = LEVEL) -> float:
    found = scale_of(shell, stance, M14)  # type: ignore[arg-type]
    assert isinstance(found, Scale)
    return found.mm_per_px


def test_a_level_plug_shows_its_pitch_as_it_is() -> None:
    # pinhole: the crests lie r^2/D nearer than the axis, 0.05^2 of the distance
    px = 400.0 / 11.09
    assert mm_per_px(a_shell(11.09, 0.97)) == pytest.approx(1.25 / px * 1.0025, rel=2e-4)


def test_crest_lines_that_part_towards_the_gap_bring_it_nearer() -> None:
    # lines along the axis meet in one point: 400 pixels at row 300 and 402 at row 100 make the gap 0.5 % nearer; the pose says not at all
    nearer = mm_per_px(a_shell(11.09, 0.97, (-0.005 / 200, 1e-7))) / mm_per_px(a_shell(11.09, 0.97))
    assert 0.995 < nearer < 0.9985


def test_a_taper_that_contradicts_the_pose_counts_little() -> None:
    astray = mm_per_px(a_shell(11.09, 0.97, (-0.2 / 200, 1e-7))) / mm_per_px(a_shell(11.09, 0.97))
    assert astray == pytest.approx(1.0, abs=0.01)


def test_what_is_nearer_goes_by_the_photos_middle() -> None:
    # 10 degrees at the thread, less by 2.9 at the gap (a radius higher at r/D = 0.05); a lens that looks straight at a row 400 lower
    # meets the axis at 15.7: the gap, a radius higher, is nearer by 0.05 sin(15.7)
    tilted = Stance(300.0, 100.0, 10.0, 7.135, 0.5, 0.05, 0.01)
    low, level = (
        mm_per_px(a_shell(11.09, 0.97, middle=700.0), tilted),
        mm_per_px(a_shell(11.09, 0.97, middle=300.0), tilted),
    )
    wanted = (1 - 0.05 * math.sin(math.radians(15.73))) / (1 - 0.05 * math.sin(math.radians(10.0)))
    assert low / level == pytest.approx(wanted, abs=1e-4)
