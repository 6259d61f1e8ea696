"""Geometry at the tip on one view: refusals first, then electrode, gap and edge radius in that order."""

from dataclasses import dataclass

import numpy as np

from plugsight.features.gap import MeasuredGap, TipScale, fit_face, measure_gap
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
    """What was measured at the tip; ``gap_line`` in view ``(col, row)``."""

    gap: Length | NotMeasured
    edge_radius: Length | NotMeasured
    gap_line: tuple[tuple[float, float], tuple[float, float]] | None = None


def measure_tip(view: View, fine: TipMap, off_profile_deg: float) -> TipGeometry:
    """Measure the tip; every quantity that can't be had is a ``NotMeasured`` with its remedy.

    ``off_profile_deg``: how far the strap is from profile, NaN where nothing shows it.
    """
    tip = read_tip(fine)
    if view.pose.kind is ViewKind.END:
        why = NotMeasured(
            "an end view does not show the gap", "take a photo from the side, the strap in profile"
        )
        return TipGeometry(why, why)
    if isinstance(view.scale, NotMeasured):
        why = NotMeasured(f"no scale: {view.scale.reason}", view.scale.remedy)
        return TipGeometry(why, why)
    if tip is None:
        return TipGeometry(HIDDEN, HIDDEN)
    scale = TipScale(view.scale.mm_per_px * fine.px, view.scale.u_mm_per_px / view.scale.mm_per_px)
    tilt = view.pose.tilt_deg, view.pose.u_tilt_deg
    return _measure_traced(tip, fine, scale, tilt, _unfit(tip, off_profile_deg, tilt[0]))


def _measure_traced(
    tip: Tip, fine: TipMap, scale: TipScale, tilt: tuple[float, float], unfit: NotMeasured | None
) -> TipGeometry:
    steep = abs(tilt[0]) > EDGE_LIMIT_DEG
    electrode = None if steep else fit_face(tip, scale, tilt)
    edge = STEEP if steep else measure_edge_radius(electrode, tip.width, scale, fine.read.get("edge_px"))
    gap: MeasuredGap | NotMeasured = HIDDEN if unfit is None else unfit
    if unfit is None and electrode is not None:
        gap = measure_gap(tip, electrode, scale, tilt, fine.read.get("gap_px"))
    if isinstance(gap, NotMeasured):
        return TipGeometry(gap, edge)
    return TipGeometry(gap.length, edge, _line(gap, fine))


def _line(gap: MeasuredGap, fine: TipMap) -> tuple[tuple[float, float], tuple[float, float]]:
    ends = [fine.to_view @ np.array([col, row, 1.0]) for col, row in gap.line]
    return (float(ends[0][0]), float(ends[0][1])), (float(ends[1][0]), float(ends[1][1]))


def _unfit(tip: Tip, off: float, tilt_deg: float) -> NotMeasured | None:
    """Why this view can't show the gap, if so."""
    if abs(tilt_deg) > TILT_LIMIT_DEG:
        return NotMeasured(
            f"the plug is tilted {abs(tilt_deg):.0f} degrees to the line of sight, at most {TILT_LIMIT_DEG:.0f} are allowed",
            "hold the camera level with the gap, square to the plug",
        )
    if tip.crossed > MOST_CROSSED:
        return NotMeasured("the strap's leg stands in front of the gap", _PROFILE)
    if tip.covered < LEAST_COVERED:
        return NotMeasured(
            "the strap is not seen over the electrode's face: turned away, bent, or it faces the electrode's side",
            f"{_PROFILE}; a gap at the electrode's side needs a gauge",
        )
    if off > PROFILE_LIMIT_DEG:
        return NotMeasured(
            f"the strap is turned {off:.0f} degrees from profile, at most {PROFILE_LIMIT_DEG:.0f} are allowed",
            _PROFILE,
        )
    return None
