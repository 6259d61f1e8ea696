"""The learned look of the nose: how much it resembles each deposit, as a small network reads it off the crop.

Grain and sheen that no formula of ours catches. The network is the front of EfficientNet-lite0 (Tan and Le 2019), begun
from weights learnt on ordinary photographs and fitted on the training crops (``plugsight.training.look_fit``); it sees a
window round the nose and pools over the nose, over the electrodes, and over all of it. ONNX: data, no code.
"""

import json
from functools import lru_cache
from threading import Lock

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.segments.model_file import load_model_bytes, model_path
from plugsight.segments.record import Part
from plugsight.view.record import ViewKind
from plugsight.vocabulary.deposits import Deposit

NETWORK, CARD = "look.onnx", "look.json"
WINDOW, SIDE = 112, 192
"""Pixels of the window and of the network's input."""
UPRIGHT = (slice(90, 202), slice(104, 216))
"""Rows and columns of a side or oblique crop that hold the nose: on 335 training crops none reached further by much."""
FACING = (slice(64, 256), slice(64, 256))
"""The same of an end view, whose nose is larger."""
POOLED = (Part.NOSE, Part.CENTRE_ELECTRODE, Part.GROUND_ELECTRODE)

LOOK = "look_"
"""What the catalogue names of looks begin with."""

_lock = Lock()


def look_name(deposit: Deposit) -> str:
    """Return the catalogue name of the look of ``deposit``."""
    return f"{LOOK}{deposit.value.replace(' ', '_')}"


def measure_look(crop: NDArray[np.uint8], labels: NDArray[np.uint8], kind: ViewKind) -> dict[str, float]:
    """How much the nose looks like each deposit: shares 0..1 that sum to 1, by catalogue name.

    ``crop`` ``(320, 320, 3)`` uint8 sRGB, ``labels`` ``(320, 320)`` uint8 of ``Part``. Not calibrated, and without a nose
    in view a guess from the rest.
    """
    picture, parts = look_window(crop, labels, kind)
    with _lock:  # a Net holds state between setInput and forward
        net, deposits = _load()
        net.setInput(_planes(picture), "picture")
        net.setInput(_planes(parts), "parts")
        logits = np.asarray(net.forward()[0], np.float64)
    shares = np.exp(logits - logits.max())
    shares /= shares.sum()
    return {look_name(deposit): float(share) for deposit, share in zip(deposits, shares, strict=True)}


def look_window(
    crop: NDArray[np.uint8], labels: NDArray[np.uint8], kind: ViewKind
) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """Return picture and part masks (0 or 255) of the window, both ``(112, 112, 3)`` uint8."""
    where = FACING if kind is ViewKind.END else UPRIGHT
    picture = crop[where]
    parts = np.stack([np.where(labels[where] == part, 255, 0) for part in POOLED], axis=-1).astype(np.uint8)
    if picture.shape[0] == WINDOW:
        return picture, parts
    size = (WINDOW, WINDOW)
    return (
        np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), np.uint8),
        np.asarray(cv2.resize(parts, size, interpolation=cv2.INTER_AREA), np.uint8),
    )


def _planes(picture: NDArray[np.uint8]) -> NDArray[np.float32]:
    scaled = cv2.resize(picture.astype(np.float32) / 255.0, (SIDE, SIDE), interpolation=cv2.INTER_LINEAR)
    return np.ascontiguousarray(scaled.transpose(2, 0, 1)[None], np.float32)


@lru_cache(maxsize=1)
def _load() -> tuple[cv2.dnn.Net, tuple[Deposit, ...]]:
    card = json.loads((model_path() / CARD).read_text(encoding="utf-8"))
    data = load_model_bytes(NETWORK, CARD)
    net = cv2.dnn.readNetFromONNX(np.frombuffer(data, np.uint8))
    return net, tuple(Deposit(name) for name in card["deposits"])
