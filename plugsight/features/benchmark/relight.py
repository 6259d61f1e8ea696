"""Two photos of one plug under different light: a render lit, exposed and toned anew.

Light: Planck's law at 2700 to 6500 K through the CIE 1931 observer (multi-lobe fit of Wyman, Sloan, Shirley, J. Comput.
Graph. Tech. 2(2), 2013), of which the phone's white balance removes a random part; exposure ±1 EV; a random global tone
curve. Optionally what the card can't undo: local tone mapping and flash.
"""

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.photo.tone import decode, encode

_RGB_FROM_XYZ = np.array(
    [
        [3.2404542, -1.5371385, -0.4985314],
        [-0.9692660, 1.8760108, 0.0415560],
        [0.0556434, -0.2040259, 1.0572252],
    ]
)


def light_of(kelvin: float) -> NDArray[np.float64]:
    """Linear sRGB of a black body, green 1, ``(3,)``."""
    nm = np.arange(380.0, 781.0, 5.0)
    metres = nm * 1e-9
    power = metres**-5 / np.expm1(1.438777e-2 / (metres * kelvin))
    x = (
        1.056 * _lobe(nm, 599.8, 37.9, 31.0)
        + 0.362 * _lobe(nm, 442.0, 16.0, 26.7)
        - 0.065 * _lobe(nm, 501.1, 20.4, 26.2)
    )
    y = 0.821 * _lobe(nm, 568.8, 46.9, 40.5) + 0.286 * _lobe(nm, 530.9, 16.3, 31.1)
    z = 1.217 * _lobe(nm, 437.0, 11.8, 36.0) + 0.681 * _lobe(nm, 459.0, 26.0, 13.8)
    rgb = _RGB_FROM_XYZ @ np.array([np.sum(power * curve) for curve in (x, y, z)])
    rgb = np.maximum(rgb, 1e-3 * rgb.max())
    return np.asarray(rgb / rgb[1], dtype=np.float64)


def _lobe(nm: NDArray[np.float64], peak: float, below: float, above: float) -> NDArray[np.float64]:
    width = np.where(nm < peak, below, above)
    return np.asarray(np.exp(-0.5 * ((nm - peak) / width) ** 2), dtype=np.float64)


def relight(pixels: NDArray[np.uint8], rng: np.random.Generator, *, harsh: bool = False) -> NDArray[np.uint8]:
    """Photograph sRGB bytes ``(rows, cols, 3)`` anew; ``harsh`` adds local tone mapping and a flash's hot spot."""
    left_over = rng.uniform(0.05, 0.45)
    cast = (light_of(rng.uniform(2700, 6500)) / light_of(6500)) ** left_over
    linear = decode(pixels) * np.asarray(cast * 2.0 ** rng.uniform(-1, 1), np.float32)
    if harsh:
        linear = _local(linear, rng)
    toned = _tone(np.clip(linear, 0.0, 1.0), rng)
    noisy = toned + rng.normal(0, 0.002, toned.shape).astype(np.float32)
    return encode(np.clip(noisy, 0.0, 1.0).astype(np.float32))


def _tone(linear: NDArray[np.float32], rng: np.random.Generator) -> NDArray[np.float32]:
    """Global curve: a power and a soft S about mid grey, as phones put on top of sRGB."""
    power, contrast = rng.uniform(0.88, 1.14), rng.uniform(0.0, 0.25)
    curved = linear**power
    s = curved * curved * (3 - 2 * curved)
    return np.asarray((1 - contrast) * curved + contrast * s, dtype=np.float32)


def _local(linear: NDArray[np.float32], rng: np.random.Generator) -> NDArray[np.float32]:
    rows, cols = linear.shape[:2]
    around = cv2.GaussianBlur(linear.mean(axis=2), (0, 0), rows / 20) + 0.02
    mapped = linear * ((0.18 / around) ** rng.uniform(0.1, 0.35))[..., None]
    row, col = np.mgrid[0:rows, 0:cols] / max(rows, cols)
    spot = np.exp(-((row - rng.uniform(0.2, 0.5)) ** 2 + (col - rng.uniform(0.3, 0.7)) ** 2) / 0.08)
    return np.asarray(mapped * (1 + rng.uniform(0, 1.2) * spot[..., None]), dtype=np.float32)
