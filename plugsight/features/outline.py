"""Coarse shape from the label map of a canonical crop: widths, heights, gap and strap. Not for judging a gap."""

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.features.regions import FEWEST_PIXELS, Mask, Regions
from plugsight.segments.record import Part
from plugsight.view.record import ViewKind

SMOOTH_MM = 0.4


def measure_outline(labels: NDArray[np.uint8], regions: Regions) -> dict[str, float]:
    """Return shape values by catalogue name from ``labels`` ``(rows, cols)``; parts not seen are left out."""
    scale = regions.px_per_mm
    nose, centre, strap = (
        labels == part for part in (Part.NOSE, Part.CENTRE_ELECTRODE, Part.GROUND_ELECTRODE)
    )
    found: dict[str, float] = {"nose_area": float(nose.sum()) / scale**2}
    if regions.kind is ViewKind.END:
        return found
    if nose.sum() >= FEWEST_PIXELS:
        found["nose_width"] = float(np.percentile(nose.sum(axis=1)[nose.any(axis=1)], 90)) / scale
        found["nose_outline_rough"] = _roughness(nose, scale)
        if np.isfinite(regions.rim_row):
            found["nose_height"] = (regions.rim_row - _top(nose)) / scale
    if strap.sum() >= FEWEST_PIXELS:
        found["strap_outline_rough"] = _roughness(strap, scale)
    if centre.sum() >= 12:
        found |= _electrode(centre, nose, scale)
        found |= _over_gap(centre, strap, scale)
    return found


def _top(mask: Mask) -> float:
    """First row that holds at least a tenth of the part's width."""
    widths = mask.sum(axis=1)
    return float(np.argmax(widths >= max(2.0, 0.1 * widths.max())))


def _roughness(mask: Mask, scale: float) -> float:
    """Area between the outline and the outline smoothed over 0.4 mm, per length of outline."""
    solid = mask.astype(np.float32)
    smooth = cv2.GaussianBlur(solid, (0, 0), SMOOTH_MM * scale) > 0.5
    edge = mask & ~cv2.erode(mask.astype(np.uint8), np.ones((3, 3), np.uint8)).astype(bool)
    return float((mask ^ smooth).sum()) / max(float(edge.sum()), 1.0) / scale


def _electrode(centre: Mask, nose: Mask, scale: float) -> dict[str, float]:
    widths = centre.sum(axis=1)
    rows = np.flatnonzero(widths)
    full = float(np.percentile(widths[rows], 80))
    near_face = rows[0] + round(0.15 * scale)
    top = float(widths[min(int(near_face), int(rows[-1]))])
    found = {"electrode_width": full / scale, "electrode_squareness": min(1.0, top / max(full, 1.0))}
    if nose.any():
        found["electrode_height"] = (_top(nose) - float(rows[0])) / scale
    return found


def _over_gap(centre: Mask, strap: Mask, scale: float) -> dict[str, float]:
    """Strap and gap over the electrode's columns."""
    cols = np.flatnonzero(centre.any(axis=0))
    face = np.argmax(centre, axis=0)
    lowest = np.array([_lowest_above(strap[:, c], face[c]) for c in cols])
    seen = lowest >= 0
    found = {"strap_reach": float(seen.mean())}
    if not seen.any():
        return found
    clear = (face[cols[seen]] - lowest[seen] - 1) / scale
    found["gap_coarse"] = float(np.percentile(clear, 10))
    found["gap_bridged_share"] = float(np.mean(clear <= 0.5 / scale))
    thick = strap[:, cols[seen]].sum(axis=0)
    found["strap_thickness"] = float(np.median(thick)) / scale
    if seen.sum() >= 5:
        legs = np.flatnonzero(strap.any(axis=0))
        leg_right = legs.max() - cols.mean() > cols.mean() - legs.min()
        slope, offset = np.polyfit(cols[seen], lowest[seen], 1)
        # rows grow downwards: a free end that lies higher than the leg side is a strap that slopes up
        found["strap_slope"] = float(np.degrees(np.arctan(slope))) * (1.0 if leg_right else -1.0)
        found["strap_hollow_coarse"] = float(np.max(slope * cols[seen] + offset - lowest[seen])) / scale
    return found


def _lowest_above(column: NDArray[np.bool_], face_row: int) -> int:
    """Lowest strap pixel above (or touching) the electrode's face in one column; -1 where there is none."""
    above = np.flatnonzero(column[: face_row + 2])
    return int(above[-1]) if above.size else -1
