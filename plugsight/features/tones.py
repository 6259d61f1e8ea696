"""Lab tones of a crop, and highlights apart from them: a highlight shows the lamp, not the deposit."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.features.lab import lab_of
from plugsight.features.regions import FEWEST_PIXELS, Mask

HIGHLIGHT_MM = 0.8
"""Bright spots narrower than this can be highlights."""
HIGHLIGHT_STEP = 14.0
"""L* above the surroundings from which a spot can be a highlight."""
HIGHLIGHT_RATIO = 2.2
"""Times as bright as its surroundings: lumps of a light crust stay under 2, lamps on wet black reach 10 (samples looked at)."""


@dataclass(frozen=True, slots=True, eq=False)
class Tones:
    """``lab`` ``(rows, cols, 3)`` float32 CIE Lab (D65); ``highlight`` ``(rows, cols)`` bool."""

    lab: NDArray[np.float32]
    highlight: Mask

    def of(self, mask: Mask) -> NDArray[np.float32]:
        """Lab of a mask's pixels without highlights, ``(n, 3)``; all of them if fewer than 40 are left."""
        quiet = mask & ~self.highlight
        return self.lab[quiet if quiet.sum() >= FEWEST_PIXELS else mask]


def read_tones(crop: NDArray[np.uint8], px_per_mm: float) -> Tones:
    """Turn a crop ``(rows, cols, 3)`` uint8 sRGB into tones."""
    lab = lab_of(crop)
    light = np.ascontiguousarray(lab[..., 0])
    size = max(3, 2 * round(HIGHLIGHT_MM * px_per_mm / 2) + 1)
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (size, size))
    around = np.asarray(cv2.morphologyEx(light, cv2.MORPH_OPEN, disc), dtype=np.float32)
    step = light - around
    brighter = _reflectance(light) > HIGHLIGHT_RATIO * _reflectance(around)
    clipped = (crop[..., 0] >= 252) | (crop[..., 1] >= 252) | (crop[..., 2] >= 252)
    return Tones(lab, ((step > HIGHLIGHT_STEP) & brighter) | (clipped & (step > HIGHLIGHT_STEP / 2)))


def _reflectance(light: NDArray[np.float32]) -> NDArray[np.float32]:
    """Relative luminance of L* (CIE 15, the cubic branch; below L* 8 it is only used for a ratio)."""
    f = (light + np.float32(16.0)) / np.float32(116.0)
    return np.asarray(f * f * f, dtype=np.float32)


def smooth_within(values: NDArray[np.float32], mask: Mask, sigma_px: float) -> NDArray[np.float32]:
    """Gaussian blur of ``values`` that looks only at the pixels of ``mask``; 0 outside its reach."""
    weight = mask.astype(np.float32)
    kept = values * weight if values.ndim == 2 else values * weight[..., None]
    spread = cv2.GaussianBlur(kept, (0, 0), sigma_px)
    share = np.maximum(cv2.GaussianBlur(weight, (0, 0), sigma_px), 1e-3)
    return np.asarray(spread / (share if values.ndim == 2 else share[..., None]), dtype=np.float32)
