"""The sRGB tone curve: coded values to linear light and back."""

import cv2
import numpy as np
from numpy.typing import NDArray

_CODES = np.arange(256, dtype=np.float64) / 255


def srgb_to_linear(coded: NDArray[np.floating]) -> NDArray[np.float64]:
    """Linear light of sRGB values 0..1, any shape (IEC 61966-2-1:1999). Values outside 0..1 are clipped."""
    c = np.clip(np.asarray(coded, dtype=np.float64), 0.0, 1.0)
    return np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)


def linear_to_srgb(linear: NDArray[np.floating]) -> NDArray[np.float64]:
    """SRGB values 0..1 of linear light, any shape (IEC 61966-2-1:1999). Values outside 0..1 are clipped."""
    v = np.clip(np.asarray(linear, dtype=np.float64), 0.0, 1.0)
    return np.where(v <= 0.0031308, 12.92 * v, 1.055 * np.power(v, 1 / 2.4) - 0.055)


_TABLE = srgb_to_linear(_CODES).astype(np.float32)
_FINE = 4096
_ENCODE = np.rint(255 * linear_to_srgb(np.arange(_FINE + 1) / _FINE)).astype(np.uint8)


def decode(pixels: NDArray[np.uint8]) -> NDArray[np.float32]:
    """Linear float32 0..1 of uint8 sRGB pixels, same shape, by table: exact for the 256 codes."""
    if pixels.ndim == 3 and pixels.size:
        return np.asarray(cv2.LUT(pixels, _TABLE), dtype=np.float32)
    linear: NDArray[np.float32] = _TABLE[pixels]
    return linear


def decode_in_light(pixels: NDArray[np.uint8], gain: tuple[float, float, float]) -> NDArray[np.float32]:
    """Linear float32 of uint8 sRGB pixels ``(rows, cols, 3)``, each channel times its ``gain``, by one table."""
    table = (_TABLE[:, None] * np.array(gain, np.float32))[None]
    return np.asarray(cv2.LUT(pixels, table), dtype=np.float32)


def encode(linear: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Turn linear light into uint8 sRGB pixels, same shape.

    By a table of 4096 steps: within one code above code 10, within three below it. NaN is not allowed.
    """
    steps = np.clip(linear * np.float32(_FINE) + np.float32(0.5), 0, _FINE).astype(np.uint16)
    coded: NDArray[np.uint8] = _ENCODE[steps]
    return coded
