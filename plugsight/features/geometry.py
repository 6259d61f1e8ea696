"""Geometry at the tip on one view: refusals first, then tilt, electrode, gap and edge radius in that order."""

import math
from dataclasses import dataclass

import numpy as np

from plugsight.features.gap import BRIDGED, MeasuredGap, TipScale, fit_face, measure_gap
from plugsight.features.pooled import pool
from plugsight.features.record import Length
from plugsight.features.rounding import measure_edge_radius
from plugsight.features.tip import Tip, read_tip
from plugsight.segments.record import TipMap
from plugsight.view.record import View, ViewKind
from plugsight.vocabulary.refusal import NotMeasured

TILT_LIMIT_DEG = 12.0
"""Beyond this the overlap of the outlines is larger than a gap's tolerance and rests on assumed depths."""
PROFILE_LIMIT_DEG = 30.0
"""A strap turned further hides the near edge of the gap."""
EDGE_LIMIT_DEG = 30.0
"""Seen from further above, the face's far edge is the outline, and the rounding no longer shows."""
LEAST_COVERED = 0.5
MOST_CROSSED = 0.4

HIDDEN = NotMeasured(
    "the centre electrode is not seen in this view",
    "take a photo from the side, the strap seen in profile and the gap open to the camera",
)
STEEP = NotMeasured(
    "the electrode is seen from too far above for its edge's rounding to show", "take a photo from the side"
)
_PROFILE = "turn the plug about its axis until the strap is seen from its side, and take the photo again"


@dataclass(frozen=True, slots=True, eq=False)
class TipGeometry:
    """What was measured at the tip; ``gap_line`` in view ``(col, row)``; ``tilt_deg`` pooled, with its uncertainty."""

    gap: Length | NotMeasured
    edge_radius: Length | NotMeasured
    tilt_deg: tuple[float, float]
    gap_line: tuple[tuple[float, float], tuple[float, float]] | None = None
    bridged: bool = False


def measure_tip(view: View, fine: TipMap | None) -> TipGeometry:
    """Measure the tip; every quantity that can't be had is a ``NotMeasured`` with its remedy."""
    tilt = pooled_tilt(view, fine)
    tip = None if fine is None else read_tip(fine)
    if view.pose.kind is ViewKind.END:
        why = NotMeasured(
            "an end view does not show the gap", "take a photo from the side, the strap in profile"
        )
        return TipGeometry(why, why, tilt)
    if isinstance(view.scale, NotMeasured):
        why = NotMeasured(f"no scale: {view.scale.reason}", view.scale.remedy)
        return TipGeometry(why, why, tilt)
    if fine is None or tip is None:
        return TipGeometry(HIDDEN, HIDDEN, tilt)
    scale = TipScale(view.scale.mm_per_px * fine.px, view.scale.u_mm_per_px / view.scale.mm_per_px)
    return _measure_traced(tip, fine, scale, view.pose.kind, tilt)


def _measure_traced(
    tip: Tip, fine: TipMap, scale: TipScale, kind: ViewKind, tilt: tuple[float, float]
) -> TipGeometry:
    steep = abs(tilt[0]) > EDGE_LIMIT_DEG
    electrode = None if steep else fit_face(tip, scale, tilt)
    edge = STEEP if steep else measure_edge_radius(electrode, tip.width, scale)
    gap: MeasuredGap | NotMeasured | None = _unfit(tip, fine, kind, tilt)
    if gap is None:
        gap = HIDDEN if electrode is None else measure_gap(tip, electrode, scale, tilt, fine.overlap_px)
    if isinstance(gap, NotMeasured):
        return TipGeometry(gap, edge, tilt, bridged=gap is BRIDGED)
    return TipGeometry(gap.length, edge, tilt, _line(gap, fine))


def pooled_tilt(view: View, fine: TipMap | None) -> tuple[float, float]:
    """Signed tilt at the gap from the view's geometry and from the look of the tip, with its uncertainty."""
    seen = None if fine is None or fine.tilt_deg is None else (fine.tilt_deg.value, fine.tilt_deg.u)
    return pool((view.pose.tilt_deg, view.pose.u_tilt_deg), seen)


def _line(gap: MeasuredGap, fine: TipMap) -> tuple[tuple[float, float], tuple[float, float]]:
    ends = [fine.to_view @ np.array([col, row, 1.0]) for col, row in gap.line]
    return (float(ends[0][0]), float(ends[0][1])), (float(ends[1][0]), float(ends[1][1]))


def _unfit(tip: Tip, fine: TipMap, kind: ViewKind, tilt: tuple[float, float]) -> NotMeasured | None:
    """Why this view can't show the gap, if so."""
    if kind is not ViewKind.SIDE or abs(tilt[0]) > TILT_LIMIT_DEG:
        return NotMeasured(
            f"the plug is tilted {abs(tilt[0]):.0f} degrees to the line of sight, at most {TILT_LIMIT_DEG:.0f} are allowed",
            "hold the camera level with the gap, square to the plug",
        )
    if tip.crossed > MOST_CROSSED:
        return NotMeasured("the strap's leg stands in front of the gap", _PROFILE)
    if tip.covered < LEAST_COVERED:
        return NotMeasured(
            "the strap is not seen over the electrode's face: turned away, bent, or it faces the electrode's side",
            f"{_PROFILE}; a gap at the electrode's side needs a gauge",
        )
    off = fine.off_profile_deg
    if off is not None and math.isfinite(off.value) and off.value > PROFILE_LIMIT_DEG:
        return NotMeasured(
            f"the strap is turned {off.value:.0f} degrees from profile, at most {PROFILE_LIMIT_DEG:.0f} are allowed",
            _PROFILE,
        )
    return None
