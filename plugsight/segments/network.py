"""The learned part networks: the front of EfficientNet-lite0 (Tan and Le 2019) with a decoder, run by OpenCV's dnn module.

They replace thresholds because soot on soot, soft shadows and thread flanks defeat them. The files are ONNX: data, no
code. Begun from weights learnt on ordinary photographs, trained on renders (``plugsight.training.parts_fit``).
"""

from collections.abc import Mapping
from functools import lru_cache
from threading import Lock

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.segments.model_file import CANONICAL_NETWORK, TIP_NETWORK, load_model_bytes
from plugsight.segments.record import Sighting

SIZE = 320
"""Rows and columns of both networks' input."""
NUMBERS: Mapping[str, tuple[str, ...]] = {
    CANONICAL_NETWORK: ("tilt_deg", "off_profile_deg", "pitch_px", "nearness"),
    TIP_NETWORK: ("tilt_deg", "off_profile_deg", "gap_px", "edge_px"),
}
"""What each network reads off its crop besides the parts, in its order (``parts_example`` says what they mean)."""
FAIR: Mapping[str, float] = {
    "tilt_deg": 1.4,
    "off_profile_deg": 1.25,
    "pitch_px": 1.0,
    "nearness": 1.2,
    "edge_px": 1.4,
    "gap_px": 2.5,
}
"""Factors on the stated uncertainties: on up to 130 development renders of plugs that no network saw (2026-11-26), two thirds of the
errors lay within so many of them (of the pitch within 0.84); of the gap (45 renders) within 1.05, but with less than 2.5 its pooled interval held the
truth in 41 of 45 instead of 42: its errors have long tails and go half with those of the outlines. On the frozen side views the edge's interval then held the truth in
90 %: its factor is a little small."""

_lock = Lock()

Read = Mapping[str, Sighting]


def part_chances(crop: NDArray[np.uint8]) -> tuple[NDArray[np.float32], Read]:
    """Chance of each part at each pixel of a canonical crop, and the numbers read off it by name.

    ``crop`` ``(320, 320, 3)`` uint8 sRGB -> ``(5, 320, 320)`` float32 that sums to 1 over the first axis, in the order of
    ``Part``.
    """
    return _run(CANONICAL_NETWORK, crop)


def tip_chances(crop: NDArray[np.uint8]) -> tuple[NDArray[np.float32], Read]:
    """Return the same of a tip crop."""
    return _run(TIP_NETWORK, crop)


def _run(name: str, crop: NDArray[np.uint8]) -> tuple[NDArray[np.float32], Read]:
    if crop.shape != (SIZE, SIZE, 3):
        raise ValueError(f"crop: must be ({SIZE}, {SIZE}, 3), seen {crop.shape}")
    planes = cv2.dnn.blobFromImage(crop, 1.0 / 255.0)
    with _lock:  # a Net holds state between setInput and forward
        net = _load(name)
        net.setInput(planes)
        chances, numbers = net.forward(["parts", "numbers"])
    pairs = zip(NUMBERS[name], numbers.reshape(-1, 2), strict=True)
    read = {key: Sighting(float(value), float(u) * FAIR.get(key, 1.0)) for key, (value, u) in pairs}
    return np.asarray(chances[0], dtype=np.float32), read


@lru_cache(maxsize=2)
def _load(name: str) -> cv2.dnn.Net:
    return cv2.dnn.readNetFromONNX(np.frombuffer(load_model_bytes(name), np.uint8))
