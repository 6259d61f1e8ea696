"""Colour features: medians, spreads, differences within the photo, and shares of named colours."""

import numpy as np
from numpy.typing import NDArray

from plugsight.features.colour_entries import PARTS
from plugsight.features.regions import FEWEST_PIXELS, Regions
from plugsight.features.tones import Tones

DARK_L = 30.0
"""Below this a surface is called dark. Soot and oil read L* 5 to 28, bare nickel in even light over 35 (from memory)."""


def measure_colour(tones: Tones, regions: Regions) -> dict[str, float]:
    """Return values by catalogue name; parts not seen are left out."""
    found: dict[str, float] = {}
    medians: dict[str, float] = {}
    for part in PARTS:
        mask = regions.named(part)
        if mask.sum() < FEWEST_PIXELS:
            continue
        lab = tones.of(mask)
        light, red, yellow = (float(v) for v in np.median(lab, axis=0))
        low, high = np.percentile(lab[:, 0], (10, 90))
        medians[part] = light
        found |= {f"{part}_L": light, f"{part}_a": red, f"{part}_b": yellow}
        found |= {f"{part}_L_p10": float(low), f"{part}_L_p90": float(high)}
        found |= _shares(part, lab)
    for name, first, second in (
        ("nose_vs_strap", "nose", "strap"),
        ("nose_vs_face", "nose", "face"),
        ("nose_vs_thread", "nose", "thread"),
        ("strap_vs_thread", "strap", "thread"),
        ("face_vs_thread", "face", "thread"),
    ):
        if first in medians and second in medians:
            found[name] = medians[first] - medians[second]
    if "nose" in medians:
        found |= _nose(tones.of(regions.nose))
    return found


def _nose(lab: NDArray[np.float32]) -> dict[str, float]:
    middle = np.median(lab, axis=0)
    chroma = float(np.hypot(middle[1], middle[2]))
    quarter, three = np.percentile(lab[:, 0], (25, 75))
    spread = float(np.median(np.hypot(lab[:, 1] - middle[1], lab[:, 2] - middle[2])))
    found = {"nose_chroma": chroma, "nose_L_spread": float(three - quarter), "nose_colour_spread": spread}
    if chroma >= 3.0:  # the hue of a grey is noise
        found["nose_hue"] = float(np.degrees(np.arctan2(middle[2], middle[1])) % 360.0)
    return found


def _shares(part: str, lab: NDArray[np.float32]) -> dict[str, float]:
    light, red, yellow = lab.T
    if part == "thread":  # the largest part by far, and nothing else is asked of it
        return {"thread_dark_share": float(np.mean(light < DARK_L))}
    chroma = np.hypot(red, yellow)
    hue = np.degrees(np.arctan2(yellow, red)) % 360.0
    dark = light < DARK_L
    white = (light > 68.0) & (chroma < 11.0)
    shares = {
        "dark": dark,
        "white": white,
        "grey": ~dark & ~white & (chroma < 8.0),
        "tan": ~dark & (chroma >= 8.0) & (chroma < 28.0) & (hue > 50.0) & (hue < 92.0),
        "red": (light > 12.0) & (chroma >= 14.0) & ((hue <= 56.0) | (hue > 340.0)),
        "yellow": (chroma >= 22.0) & (hue > 56.0) & (hue < 110.0),
        "green": (chroma >= 6.0) & (hue >= 110.0) & (hue < 215.0),
        "covered": (light < 72.0) | (chroma > 13.0),
        "blue": (yellow < -4.0) & (chroma > 5.0),
        "straw": (yellow > 12.0) & (hue > 55.0),
    }
    wanted = {
        "nose": ("dark", "white", "grey", "tan", "red", "yellow", "green", "covered"),
        "centre": ("dark", "blue"),
        "strap": ("dark", "white", "blue", "straw"),
        "face": ("dark", "white"),
    }
    return {f"{part}_{name}_share": float(np.mean(shares[name])) for name in wanted[part]}
