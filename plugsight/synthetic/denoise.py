"""Remove the renderer's sampling noise: Open Image Denoise on a CPU; on a GPU enough samples do it."""

from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.plug_scene import PlugScene


@cache
def _open_image_denoise() -> Any:
    """Return the pyoidn module, or ``None`` where it is not installed."""
    try:
        import pyoidn
    except ImportError:
        return None
    return pyoidn


def denoised(scene: PlugScene, picture: NDArray[np.float32], spp: int) -> NDArray[np.float32]:
    """Denoise (rows, cols, 3) linear radiance; above 48 samples a pixel, or without a denoiser, unchanged."""
    if spp > 48 or scene.mi.variant().startswith("cuda"):
        return np.minimum(picture, 60.0)
    oidn = _open_image_denoise()
    if oidn is None:
        return np.minimum(picture, 60.0)
    return np.asarray(oidn.denoise(np.ascontiguousarray(np.minimum(picture, 60.0)), hdr=True), np.float32)
