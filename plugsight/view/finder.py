"""The learned finder: which pixels of a whole photo are plug, which part of it, and which are grey card.

A small U-Net (Ronneberger, Fischer, Brox 2015) as an ONNX file, run by OpenCV's dnn module: data, no code. Trained on renders
only. It only proposes: what it calls a plug must still show a thread, or a shell's rim, to the measuring code, or be proven by its
parts (``segments.find``).
"""

import hashlib
import json
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from threading import Lock

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.photo.reduce import fit_to
from plugsight.vocabulary.errors import PlugsightError

SIZE = 256
"""Longest side of the copy that the network looks at."""

_COARSEST = 32
"""The network halves its picture five times; grey fills up what the copy's other side lacks to a multiple of this."""

BENCH, SHELL, NOSE, CENTRE, GROUND, INSULATOR, CARD_CLASS = range(7)

NETWORK, MODEL_CARD = "finder.onnx", "finder.json"

_PADDING = 0.46
_lock = Lock()


@dataclass(frozen=True, slots=True, eq=False)
class PartMap:
    """``labels`` ``(rows, cols)`` uint8 of the classes above on a copy of the photo reduced by ``factor``.

    ``certainty`` ``(rows, cols)`` float32 0..1 is the chance of each pixel's label.
    """

    labels: NDArray[np.uint8]
    factor: float
    certainty: NDArray[np.float32]

    @property
    def plug(self) -> NDArray[np.bool_]:
        """Everything that belongs to a plug."""
        return np.asarray((self.labels >= SHELL) & (self.labels <= INSULATOR))

    @property
    def tip(self) -> NDArray[np.bool_]:
        """Insulator nose and electrodes."""
        return np.asarray((self.labels >= NOSE) & (self.labels <= GROUND))


def model_folder() -> Path | None:
    """Folder that holds the finder: ``plugsight/_models`` of an installed package, ``models`` of a checkout; or None."""
    package = Path(__file__).resolve().parent.parent
    for folder in (package / "_models", package.parent / "models"):
        if (folder / MODEL_CARD).is_file():
            return folder
    return None


@lru_cache(maxsize=1)
def _network() -> cv2.dnn.Net | None:
    folder = model_folder()
    if folder is None:
        return None
    path = folder / NETWORK
    data = path.read_bytes() if path.is_file() else b""
    wanted = json.loads((folder / MODEL_CARD).read_text(encoding="utf-8")).get("sha256")
    if hashlib.sha256(data).hexdigest() != wanted:
        raise PlugsightError(
            f"{path} is not the file that {MODEL_CARD} names (missing, damaged, or from another version). "
            "Install plugsight again."
        )
    return cv2.dnn.readNetFromONNX(np.frombuffer(data, np.uint8))


def see_parts(reduced: NDArray[np.uint8]) -> PartMap | None:
    """Label the pixels of ``reduced`` ``(rows, cols, 3)`` uint8 sRGB; None where no finder is installed."""
    if _network() is None:
        return None
    rows, cols = reduced.shape[:2]
    factor = SIZE / max(rows, cols)
    size = (max(1, round(cols * factor)), max(1, round(rows * factor)))
    high, wide = (-(-side // _COARSEST) * _COARSEST for side in size[::-1])
    planes = np.full((1, 3, high, wide), _PADDING, np.float32)
    small = fit_to(reduced, size).astype(np.float32) / 255
    top, left = (high - size[1]) // 2, (wide - size[0]) // 2
    planes[0, :, top : top + size[1], left : left + size[0]] = small.transpose(2, 0, 1)
    with _lock:  # a Net holds state between setInput and forward
        net = _network()
        if net is None:
            return None
        net.setInput(planes)
        chances = np.asarray(net.forward(), dtype=np.float32)[0]
    seen = chances[:, top : top + size[1], left : left + size[0]]
    return PartMap(seen.argmax(axis=0).astype(np.uint8), factor, seen.max(axis=0))
