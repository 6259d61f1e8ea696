"""Remove the renderer's sampling noise: Open Image Denoise on a CPU; on a GPU enough samples do it.

Degenerate triangles give a few pixels without a number; they are filled from their neighbours first.
"""

from functools import cache
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.plug_scene import PlugScene


@cache
def _open_image_denoise() -> Any:
    """Return the pyoidn module, or ``None`` where it is not installed."""
    try:
        import pyoidn  # noqa: PLC0415 - the render extra may be missing
    except ImportError:
        return None
    return pyoidn


def denoised(scene: PlugScene, picture: NDArray[np.float32], spp: int) -> NDArray[np.float32]:
    """Denoise (rows, cols, 3) linear radiance; above 48 samples a pixel, or without a denoiser, unchanged."""
    picture = filled(picture)
    if spp > 48 or scene.mi.variant().startswith("cuda"):
        return picture
    oidn = _open_image_denoise()
    if oidn is None:
        return picture
    return np.asarray(oidn.denoise(np.ascontiguousarray(picture), hdr=True), np.float32)


def filled(picture: NDArray[np.float32], highest: float = 60.0) -> NDArray[np.float32]:
    """Replace non-finite pixels by the mean of finite neighbours (black where there are none); cap at ``highest``."""
    good = np.asarray(np.isfinite(picture).all(-1))
    clean = np.where(good[..., None], picture, 0.0).astype(np.float32)
    if not good.all():
        weight = np.asarray(cv2.blur(np.asarray(good, np.float32), (5, 5)))
        mean = np.asarray(cv2.blur(np.asarray(clean), (5, 5))) / np.maximum(weight, 1e-6)[..., None]
        clean = np.where(good[..., None], clean, mean).astype(np.float32)
    return np.asarray(np.clip(clean, 0.0, highest), np.float32)
