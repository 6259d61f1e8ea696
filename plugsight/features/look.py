"""The learned look of the nose: how much it resembles each deposit and which damage it shows, as a network reads it.

Grain and sheen that no formula of ours catches. The networks are EfficientNet-lite0 (Tan and Le 2019), begun
from weights learnt on ordinary photographs and fitted on close-ups of family train (``plugsight.training.look_fit``); they
pool over the nose, over the electrodes, and over all of the close-up. Several, fitted on different plugs, are asked and the
mean of their answers taken (Lakshminarayanan, Pritzel, Blundell 2017): they err on different plugs, the more so as every second
one is shown the close-up mirrored, which all learnt to stand. ONNX: data, no code.
"""

import json
from functools import lru_cache
from threading import Lock

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.segments.model_file import load_model_bytes, model_path
from plugsight.segments.record import Part
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit

CARD = "look.json"
SIDE = 320
"""Rows and columns of a close-up and of the network's input."""
POOLED = (Part.NOSE, Part.CENTRE_ELECTRODE, Part.GROUND_ELECTRODE)

LOOK, SIGN = "look_", "sign_"
"""What the catalogue names of looks and of damage begin with."""
SIGNS = tuple(damage for damage in Damage if damage is not Damage.FLASHOVER_TRACK)
"""Damage that the network answers for: a flashover track lies on the outer insulator, outside every close-up."""

_lock = Lock()


def look_name(deposit: Deposit) -> str:
    """Return the catalogue name of the look of ``deposit``."""
    return f"{LOOK}{deposit.value.replace(' ', '_')}"


def sign_name(damage: Damage) -> str:
    """Return the catalogue name of the sign of ``damage``."""
    return f"{SIGN}{damage.value.replace(' ', '_')}"


def measure_look(closeup: NDArray[np.uint8], labels: NDArray[np.uint8]) -> dict[str, float]:
    """How much the nose looks like each deposit (shares 0..1 that sum to 1), and the chance 0..1 of each damage, by catalogue name.

    ``closeup`` ``(320, 320, 3)`` uint8 sRGB, ``labels`` ``(320, 320)`` uint8 of ``Part`` on its grid. Not calibrated, and
    without a nose in view a guess from the rest.
    """
    picture = np.asarray(cv2.dnn.blobFromImage(closeup, 1.0 / 255.0), np.float32)
    planes = np.stack([labels == part for part in POOLED]).astype(np.float32)[None]
    with _lock:  # a Net holds state between setInput and forward
        nets, deposits, damages = _load()
        answers = [_ask(net, picture, planes, mirrored=bool(k % 2)) for k, net in enumerate(nets)]
    looks, signs = (np.mean(found, axis=0) for found in zip(*answers, strict=True))
    shares = looks / looks.sum()
    named = {look_name(deposit): float(share) for deposit, share in zip(deposits, shares, strict=True)}
    chances = zip(damages, signs, strict=True)
    return named | {sign_name(damage): float(chance) for damage, chance in chances if damage in SIGNS}


def _ask(
    net: cv2.dnn.Net, picture: NDArray[np.float32], planes: NDArray[np.float32], *, mirrored: bool
) -> list[NDArray[np.float64]]:
    """One network's shares of the deposits and chances of the damages."""
    for name, seen in (("picture", picture), ("parts", planes)):
        net.setInput(np.ascontiguousarray(seen[..., ::-1]) if mirrored else seen, name)
    return [np.asarray(found[0], np.float64) for found in net.forward(["looks", "damage"])]


@lru_cache(maxsize=1)
def _load() -> tuple[tuple[cv2.dnn.Net, ...], tuple[Deposit, ...], tuple[Damage, ...]]:
    card = json.loads((model_path() / CARD).read_text(encoding="utf-8"))
    files = [load_model_bytes(name, CARD) for name in card["sha256"]]
    nets = tuple(cv2.dnn.readNetFromONNX(np.frombuffer(data, np.uint8)) for data in files)
    return nets, tuple(map(Deposit, card["deposits"])), tuple(map(Damage, card["damage"]))
