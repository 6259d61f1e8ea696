"""How well a part network does on plugs kept aside."""

import math
from collections.abc import Sequence

import numpy as np
import torch
from numpy.typing import NDArray

from plugsight.training.parts_disturb import IGNORED
from plugsight.training.parts_net import PartsNet


def report(
    net: PartsNet,
    crops: NDArray[np.uint8],
    masks: NDArray[np.uint8],
    numbers: NDArray[np.float32],
    names: Sequence[str],
) -> dict[str, object]:
    """Score on held-out examples: mean IoU of parts of at least 100 pixels, and errors of the ``names``d numbers."""
    device = next(net.parameters()).device
    overlap: list[list[float]] = []
    read: list[NDArray[np.float32]] = []
    for first in range(0, len(crops), 32):
        x = torch.as_tensor(crops[first : first + 32]).permute(0, 3, 1, 2).to(device).float() / 255
        with torch.no_grad():
            logits, values = net(x)
        found = logits.argmax(1).cpu().numpy()
        if net.numbers:
            read.append(net.physical(values).cpu().numpy())
        for labels, truth in zip(found, masks[first : first + 32], strict=True):
            inside = truth != IGNORED
            overlap.append([_iou(labels == c, truth == c, inside) for c in range(net.classes)])
    result: dict[str, object] = {
        "examples": len(crops),
        "iou_mean": np.nanmean(overlap, axis=0).round(4).tolist(),
    }
    if read:
        values = np.concatenate(read)
        for k, name in enumerate(names):
            error = values[:, k, 0] - numbers[:, k]
            known = np.isfinite(error)
            if not known.any():
                continue
            size = np.abs(error[known])
            result[name] = {
                "n": int(known.sum()), "median": float(np.median(size)), "p95": float(np.percentile(size, 95)),
                "bias": float(error[known].mean()), "covered": float(np.mean(size < 1.96 * values[known, k, 1])),
            }  # fmt: skip
    return result


def _iou(found: NDArray[np.bool_], truth: NDArray[np.bool_], inside: NDArray[np.bool_]) -> float:
    truth = truth & inside
    if truth.sum() < 100:
        return math.nan
    return float((found & truth).sum() / ((found | truth) & inside).sum())
