"""Texture at physical sizes, gloss, and the local binary pattern of the nose."""

import cv2
import numpy as np
from numpy.typing import NDArray
from skimage.feature import local_binary_pattern

from plugsight.features.regions import FEWEST_PIXELS, Mask, Regions, box_about
from plugsight.features.texture_entries import GRAIN_MM
from plugsight.features.tones import Tones, smooth_within


def measure_grain(tones: Tones, regions: Regions) -> dict[str, float]:
    """Return grain, gloss, patchiness, border and pattern values by catalogue name."""
    found: dict[str, float] = {}
    for part in ("nose", "strap", "face"):
        mask = regions.named(part)
        if mask.sum() < FEWEST_PIXELS:
            continue
        box = box_about(mask, margin=4)
        light = np.ascontiguousarray(tones.lab[(*box, 0)])
        within = mask[box]
        quiet = within & ~tones.highlight[box]
        found |= _gloss(part, light, within, tones.highlight[box], regions.px_per_mm)
        if quiet.sum() < FEWEST_PIXELS:
            continue
        found |= _bands(part, light, quiet, regions.px_per_mm)
        if part == "nose":
            found |= _pattern(light, quiet, regions.px_per_mm)
            found["nose_border"] = _border(tones.lab[box], quiet, regions.px_per_mm)
    return found


def _bands(part: str, light: NDArray[np.float32], quiet: Mask, px_per_mm: float) -> dict[str, float]:
    """Root mean square of differences of Gaussians; a band at ``s`` mm passes structure about ``s`` wide."""
    found: dict[str, float] = {}
    finer = smooth_within(light, quiet, GRAIN_MM[0] / 2 * px_per_mm)
    total = float(np.var(light[quiet]))
    for size in GRAIN_MM:
        coarser = smooth_within(light, quiet, size * px_per_mm)
        band = (finer - coarser)[quiet]
        found[f"{part}_grain_{int(1000 * size):04d}"] = float(np.sqrt(np.mean(band**2)))
        finer = coarser
    if part == "nose":
        found["nose_patchiness"] = float(np.var(finer[quiet])) / max(total, 1.0)
    return found


def _gloss(
    part: str, light: NDArray[np.float32], within: Mask, highlight: Mask, px_per_mm: float
) -> dict[str, float]:
    spots = highlight & within
    found = {f"{part}_highlight_share": float(spots.sum() / within.sum())}
    if spots.sum() >= 4:
        slope = (
            np.hypot(cv2.Sobel(light, cv2.CV_32F, 1, 0), cv2.Sobel(light, cv2.CV_32F, 0, 1)) / 8 * px_per_mm
        )
        found[f"{part}_highlight_sharpness"] = float(np.percentile(slope[spots], 75))
    return found


def _border(lab: NDArray[np.float32], quiet: Mask, px_per_mm: float) -> float:
    """95th percentile of the colour slope (CIE 1976 difference per mm) after smoothing over 0.15 mm."""
    smooth = smooth_within(np.ascontiguousarray(lab), quiet, 0.15 * px_per_mm)
    across = np.linalg.norm(np.gradient(smooth, axis=1), axis=2)
    along = np.linalg.norm(np.gradient(smooth, axis=0), axis=2)
    inner = cv2.erode(quiet.astype(np.uint8), np.ones((3, 3), np.uint8)).astype(bool)
    if inner.sum() < FEWEST_PIXELS:
        return float("nan")
    return float(np.percentile(np.hypot(across, along)[inner], 95)) * px_per_mm


def _pattern(light: NDArray[np.float32], quiet: Mask, px_per_mm: float) -> dict[str, float]:
    """Rotation-invariant uniform patterns of 8 neighbours at 0.2 mm (Ojala, Pietikainen, Maenpaa 2002).

    Lightness is rounded to steps of 3 L* first, so that camera noise on a flat surface counts as flat.
    """
    steps = np.round(light / 3.0).astype(np.uint8)
    code = local_binary_pattern(  # type: ignore[no-untyped-call]
        steps, P=8, R=max(1.0, 0.2 * px_per_mm), method="uniform"
    )[quiet]
    return {
        "nose_lbp_flat": float(np.mean(code == 8)),
        "nose_lbp_edge": float(np.mean((code >= 2) & (code <= 6))),
        "nose_lbp_spot": float(np.mean(code <= 1)),
        "nose_lbp_mixed": float(np.mean(code == 9)),
    }
