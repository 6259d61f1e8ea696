"""The learned part networks: small U-Nets (Ronneberger, Fischer, Brox 2015), run by OpenCV's dnn module.

They replace thresholds because soot on soot, soft shadows and thread flanks defeat them. The files are ONNX: data, no
code. Trained on renders only (``plugsight.training.parts_fit``).
"""

from functools import lru_cache
from threading import Lock

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.segments.model_file import CANONICAL_NETWORK, TIP_NETWORK, load_model_bytes
from plugsight.segments.record import Sighting

SIZE = 320
"""Rows and columns of both networks' input."""

WEIGHTS = {
    CANONICAL_NETWORK: np.array((1, 1, 1.5, 3, 1.5), np.float32),
    TIP_NETWORK: np.array((1, 1, 1, 1.5, 1), np.float32),
}
"""Weights of the parts in the networks' training (``parts_fit.RECIPES``): small parts counted more, so their chances come out
too high by these factors; divided by them, outlines stand where they belong."""
WIDER = (1.6, 1.6, 2.0, 2.0)
"""Factors on the stated uncertainties of tilt, off profile, overlap and edge: on plugs kept aside in development the
network's own 95 % intervals held 79, 68, 69 and 68 % (report of ``parts_fit``, 2026-11-25: 32 tip crops)."""

_LINE = np.linspace(-1.0, 1.0, SIZE, dtype=np.float32)
_lock = Lock()


def part_chances(crop: NDArray[np.uint8]) -> NDArray[np.float32]:
    """Chance of each part at each pixel of a canonical crop.

    ``crop`` ``(320, 320, 3)`` uint8 sRGB -> ``(5, 320, 320)`` float32 that sums to 1 over the first axis, in the order of
    ``Part``.
    """
    return _run(CANONICAL_NETWORK, crop)[0]


def tip_chances(crop: NDArray[np.uint8]) -> tuple[NDArray[np.float32], tuple[Sighting, ...]]:
    """Chance of each part at each pixel of a tip crop, and the numbers read off it: tilt, off profile, overlap, edge."""
    chances, numbers = _run(TIP_NETWORK, crop)
    pairs = zip(numbers.reshape(-1, 2), WIDER, strict=True)
    return chances, tuple(Sighting(float(value), float(u) * wider) for (value, u), wider in pairs)


def _run(name: str, crop: NDArray[np.uint8]) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    if crop.shape != (SIZE, SIZE, 3):
        raise ValueError(f"crop: must be ({SIZE}, {SIZE}, 3), seen {crop.shape}")
    planes = np.empty((1, 5, SIZE, SIZE), np.float32)
    planes[0, :3] = crop.transpose(2, 0, 1) / np.float32(255.0)
    planes[0, 3] = _LINE[:, None]
    planes[0, 4] = _LINE[None, :]
    with _lock:  # a Net holds state between setInput and forward
        net = _load(name)
        net.setInput(planes)
        chances, numbers = net.forward(["parts", "numbers"])
    fair = np.asarray(chances[0], dtype=np.float32) / WEIGHTS[name][:, None, None]
    return fair / fair.sum(axis=0), np.asarray(numbers[0], dtype=np.float32)


@lru_cache(maxsize=2)
def _load(name: str) -> cv2.dnn.Net:
    return cv2.dnn.readNetFromONNX(np.frombuffer(load_model_bytes(name), np.uint8))
