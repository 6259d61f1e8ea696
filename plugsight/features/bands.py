"""Bands along the nose: thirds from tip to root, the strongest ring border, and shade in the bore."""

import numpy as np
from numpy.typing import NDArray

from plugsight.features.regions import FEWEST_PIXELS, Regions
from plugsight.features.tones import Tones
from plugsight.view.record import ViewKind

BINS = 24
"""Steps from tip to root."""


def measure_bands(tones: Tones, regions: Regions) -> dict[str, float]:
    """Return band values by catalogue name; nothing where the nose is not seen.

    Position along the nose is the row in a side or oblique view (middle 70 % of its width), in an end view the distance
    from the nose's middle, which is the tip.
    """
    mask = regions.nose
    if mask.sum() < 2 * FEWEST_PIXELS:
        return {}
    rows, cols = np.nonzero(mask & ~tones.highlight)
    if rows.size < 2 * FEWEST_PIXELS:
        return {}
    if regions.kind is ViewKind.END:
        along = np.hypot(rows - rows.mean(), cols - cols.mean())
    else:
        middle, half = np.median(cols), np.percentile(cols, 97.5) - np.percentile(cols, 2.5)
        kept = np.abs(cols - middle) <= 0.35 * half
        if kept.sum() < 2 * FEWEST_PIXELS:
            return {}
        rows, cols = rows[kept], cols[kept]
        along = rows.astype(float)
    low, high = np.percentile(along, (1, 99))
    place = np.clip((along - low) / max(high - low, 1.0), 0.0, 1.0)
    lab = tones.lab[rows, cols]
    thirds = [_median(lab, place, k / 3, (k + 1) / 3) for k in range(3)]
    found = {
        f"nose_band_{name}_L": float(third[0])
        for name, third in zip(("tip", "mid", "root"), thirds, strict=True)
    }
    profile = np.array([_median(lab, place, k / BINS, (k + 1) / BINS) for k in range(BINS)])
    found |= _ring(profile)
    found["nose_shaded"] = _shade(thirds[0], thirds[2])
    return found


def _median(
    lab: NDArray[np.float32], place: NDArray[np.float64], low: float, high: float
) -> NDArray[np.float64]:
    inside = (place >= low) & (place <= high)
    if inside.sum() < 4:
        return np.full(3, np.nan)
    return np.asarray(np.median(lab[inside], axis=0), dtype=np.float64)


def _ring(profile: NDArray[np.float64]) -> dict[str, float]:
    """Largest step between the means of three bins before and after a place (CIE 1976 difference)."""
    steps = np.array(
        [
            np.linalg.norm(np.nanmean(profile[k : k + 3], axis=0) - np.nanmean(profile[k - 3 : k], axis=0))
            if np.isfinite(profile[k - 3 : k + 3]).all()
            else 0.0
            for k in range(3, BINS - 2)
        ]
    )
    best = int(np.argmax(steps))
    return {"nose_ring_step": float(steps[best]), "nose_ring_place": (best + 3) / BINS}


def _shade(tip: NDArray[np.float64], root: NDArray[np.float64]) -> float:
    """Share of the fall in L* that shade explains: shade scales a* and b* with (L* + 16), a deposit changes them."""
    fall = float(tip[0] - root[0])
    if not fall > 4.0:
        return 0.0 if np.isfinite(fall) else float("nan")
    expected = tip[1:] * (root[0] + 16.0) / (tip[0] + 16.0)
    left = float(np.linalg.norm(root[1:] - expected))
    return max(0.0, 1.0 - 2.0 * left / fall)
