"""The gap as a wire gauge feels it: the smallest local clearance over the electrode's face.

Seen at the tilt ``a`` the outlines of electrode and strap overlap, so the clear gap ``G`` between them is smaller than the
gap ``g``. For a cylinder of radius ``r`` with edge radius ``e`` under a flat strap of depth ``w``, in parallel projection:

    G(x) = g cos a - |sin a| (sqrt((r - e)^2 - x^2) + w / 2) - e (1 - cos a)

with ``x`` the distance from the axis (derivation: the edge is a ball of radius e swept round a circle of radius r - e; its
outline is the projected circle, grown by e). The formula is solved for ``g`` in every column.
"""

import math
from dataclasses import dataclass

import numpy as np

from plugsight.features.record import Length
from plugsight.features.tip import Tip
from plugsight.features.uncertainty import Component, length_of
from plugsight.view.record import Pose, Scale, ViewKind
from plugsight.vocabulary.refusal import NotMeasured

TILT_LIMIT_DEG = 12.0
"""Beyond this the overlap of the outlines is larger than a gap's tolerance and rests on assumed depths."""
STRAP_DEPTH_MM, U_STRAP_DEPTH_MM = 2.5, 0.35
"""Depth of a strap across the line of sight, which a side view can't show: typical value and spread (from memory)."""
EDGE_PX = 0.35
"""Standard uncertainty of one outline's place, pixels (development renders)."""
LEAST_COVERED = 0.5
GAUGE_MM = 0.2
"""Width over which clearance is averaged: a gauge wire does not enter narrower dips."""


@dataclass(frozen=True, slots=True)
class MeasuredGap:
    """The gap and the two ends of its line as view ``(col, row)``."""

    length: Length
    line: tuple[tuple[float, float], tuple[float, float]]
    bridged: bool


def measure_gap(
    tip: Tip, pose: Pose, scale: Scale | NotMeasured, edge_radius_mm: float
) -> MeasuredGap | NotMeasured:
    """Measure the gap, or say why not and what to do."""
    if isinstance(scale, NotMeasured):
        return NotMeasured(f"no scale: {scale.reason}", scale.remedy)
    refusal = _unfit(tip, pose)
    if refusal is not None:
        return refusal
    mm = scale.mm_per_px
    tilt = math.radians(pose.tilt_deg)
    radius = tip.width * mm / 2
    rim = max(radius - edge_radius_mm, 0.2 * radius)
    middle = float(np.mean((tip.cols.min(), tip.cols.max())))
    across = (tip.cols - middle) * mm
    used = np.isfinite(tip.under) & (np.abs(across) <= rim)
    if used.sum() < 3:
        return NotMeasured(
            "the strap does not lie over the electrode's face in this view",
            "turn the plug so that the strap is seen from its side, and take the photo again",
        )
    clear = (tip.face - tip.under)[used] * mm
    overlap = abs(math.sin(tilt)) * (np.sqrt(rim**2 - across[used] ** 2) + STRAP_DEPTH_MM / 2)
    gaps = (clear + overlap + edge_radius_mm * (1 - math.cos(tilt))) / math.cos(tilt)
    window = max(1, round(GAUGE_MM / mm))
    smooth = np.convolve(gaps, np.ones(window) / window, mode="valid") if gaps.size > window else gaps
    best = int(np.argmin(smooth)) + (window // 2 if gaps.size > window else 0)
    gap = float(max(smooth.min(), 0.0))
    col = float(tip.cols[used][best])
    line = ((col, float(tip.under[used][best])), (col, float(tip.face[used][best])))
    bridged = bool(np.mean(clear <= 1.5 * mm) > 0.15)
    lever = rim + STRAP_DEPTH_MM / 2
    budget = (
        Component("outline of electrode and strap", EDGE_PX * mm * math.sqrt(2)),
        Component("scale from the thread", gap * scale.u_mm_per_px / mm),
        Component("tilt at the gap", lever * math.radians(pose.u_tilt_deg)),
        Component("depth of the strap", U_STRAP_DEPTH_MM / 2 * abs(math.sin(tilt))),
    )
    return MeasuredGap(length_of(gap, budget), line, bridged)


def _unfit(tip: Tip, pose: Pose) -> NotMeasured | None:
    """Why this view can't show the gap, if so."""
    if pose.kind is not ViewKind.SIDE:
        return NotMeasured(
            f"the gap can't be measured from {'an end' if pose.kind is ViewKind.END else 'an oblique'} view",
            "take a photo from the side, the strap seen in profile",
        )
    if abs(pose.tilt_deg) > TILT_LIMIT_DEG:
        return NotMeasured(
            f"the plug is tilted {abs(pose.tilt_deg):.0f} degrees to the line of sight, at most {TILT_LIMIT_DEG:.0f} allowed",
            "hold the camera level with the gap, square to the plug",
        )
    if tip.crossed > 0.5:
        return NotMeasured(
            "the strap's leg stands in front of the gap",
            "turn the plug about its axis by a quarter turn, so that the strap is seen in profile",
        )
    if tip.covered < LEAST_COVERED:
        return NotMeasured(
            "the strap is not seen over the electrode's face: turned away, bent, or it faces the electrode's side",
            "turn the plug so that the strap is seen in profile; a gap at the electrode's side needs a gauge",
        )
    return None
