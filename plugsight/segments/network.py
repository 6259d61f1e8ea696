"""The learned part network: a small U-Net (Ronneberger, Fischer, Brox 2015), run by OpenCV's dnn module.

It replaces thresholds because soot on soot, soft shadows and thread flanks defeat them. The file is ONNX: data, no code.
Trained on renders only (``plugsight.training``).
"""

from threading import Lock

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.segments.model_file import load_model_bytes

SIZE = 320
"""Rows and columns of the network's input: the canonical crop's."""

_lock = Lock()
_loaded: list[cv2.dnn.Net] = []


def part_chances(crop: NDArray[np.uint8]) -> NDArray[np.float32]:
    """Chance of each part at each pixel.

    ``crop`` ``(320, 320, 3)`` uint8 sRGB -> ``(5, 320, 320)`` float32 that sums to 1 over the first axis, in the order of
    ``Part``.
    """
    if crop.shape != (SIZE, SIZE, 3):
        raise ValueError(f"crop: must be ({SIZE}, {SIZE}, 3), seen {crop.shape}")
    line = np.linspace(-1.0, 1.0, SIZE, dtype=np.float32)
    planes = np.empty((1, 5, SIZE, SIZE), np.float32)
    planes[0, :3] = crop.transpose(2, 0, 1) / np.float32(255.0)
    planes[0, 3] = line[:, None]
    planes[0, 4] = line[None, :]
    with _lock:  # a Net holds state between setInput and forward
        if not _loaded:
            _loaded.append(cv2.dnn.readNetFromONNX(np.frombuffer(load_model_bytes(), np.uint8)))
        _loaded[0].setInput(planes)
        return np.asarray(_loaded[0].forward()[0], dtype=np.float32)
