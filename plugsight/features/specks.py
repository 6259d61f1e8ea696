"""Specks, beads and thin lines on a part, counted per square millimetre."""

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.features.regions import FEWEST_PIXELS, Mask, Regions, box_about
from plugsight.features.tones import Tones, smooth_within

SPECK_STEP = 4.0
"""L* by which a speck must stand out of its surroundings of 0.4 mm."""
LINE_STEP = 6.0
LINE_MM = 0.8
_REACH_MM = 1.2
"""What lies farther from a part than this does not count: four standard deviations of the widest smoothing, 0.3 mm."""


def measure_specks(tones: Tones, regions: Regions) -> dict[str, float]:
    """Return counts of specks and beads on nose and strap, and of lines on the nose, by catalogue name."""
    found: dict[str, float] = {}
    for part in ("nose", "strap"):
        mask = regions.named(part)
        if mask.sum() < FEWEST_PIXELS:
            continue
        area = float(mask.sum()) / regions.px_per_mm**2
        box = box_about(mask, round(_REACH_MM * regions.px_per_mm) + 3)
        light, mask = np.ascontiguousarray(tones.lab[(*box, 0)]), mask[box]
        band = smooth_within(light, mask, 0.08 * regions.px_per_mm) - smooth_within(
            light, mask, 0.3 * regions.px_per_mm
        )
        bright, dark = _peaks(band, mask), _peaks(-band, mask)
        found[f"{part}_beads"] = float((bright & _near(dark, 0.4 * regions.px_per_mm)).sum()) / area
        if part == "nose":
            lone_dark = dark & ~_near(bright, 0.3 * regions.px_per_mm)
            found["nose_bright_specks"] = float(bright.sum()) / area
            found["nose_dark_specks"] = float(lone_dark.sum()) / area
            heights = np.abs(band[bright | dark])
            found["nose_speck_contrast"] = float(np.percentile(heights, 90)) if heights.size else 0.0
            found["nose_lines"] = _lines(light, mask, regions.px_per_mm) / area
    return found


def _peaks(band: NDArray[np.float32], mask: Mask) -> Mask:
    """Local maxima over 3x3 pixels that stand out by ``SPECK_STEP`` and by 3 robust standard deviations."""
    inner = cv2.erode(mask.astype(np.uint8), np.ones((3, 3), np.uint8)).astype(bool)
    noise = 1.4826 * float(np.median(np.abs(band[mask] - np.median(band[mask]))))
    highest = cv2.dilate(band, np.ones((3, 3), np.uint8))
    peaks: Mask = inner & (band >= highest) & (band > max(SPECK_STEP, 3.0 * noise))
    return peaks


def _near(points: Mask, distance_px: float) -> Mask:
    size = 2 * round(distance_px) + 1
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (size, size))
    return cv2.dilate(points.astype(np.uint8), disc).astype(bool)


def _lines(light: NDArray[np.float32], mask: Mask, px_per_mm: float) -> float:
    """Length in mm of thin dark lines longer than ``LINE_MM`` and at least four times as long as wide."""
    size = max(3, 2 * round(0.2 * px_per_mm) + 1)
    closed = cv2.morphologyEx(light, cv2.MORPH_CLOSE, np.ones((size, size), np.uint8))
    inner = cv2.erode(mask.astype(np.uint8), np.ones((5, 5), np.uint8)).astype(bool)
    thin = ((closed - light > LINE_STEP) & inner).astype(np.uint8)
    count, _, stats, _ = cv2.connectedComponentsWithStats(thin, connectivity=8)
    total = 0.0
    for k in range(1, count):
        length = float(np.hypot(stats[k, cv2.CC_STAT_WIDTH], stats[k, cv2.CC_STAT_HEIGHT]))
        if length >= LINE_MM * px_per_mm and length**2 >= 4.0 * stats[k, cv2.CC_STAT_AREA]:
            total += length / px_per_mm
    return total
