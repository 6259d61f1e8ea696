"""How well a look network does on plugs that it never saw."""

from typing import Any

import numpy as np
import torch
from numpy.typing import NDArray
from sklearn.metrics import roc_auc_score
from torch.nn import functional

from plugsight.training.look_disturb import masks_of
from plugsight.training.look_examples import DAMAGES, LOOKS, LookExamples
from plugsight.training.look_net import LookNet

BATCH = 64
Floats = NDArray[np.float64]


def look_at_examples(net: LookNet, examples: LookExamples, *, masked: bool = True) -> tuple[Floats, Floats]:
    """Log-chances ``(n, looks)`` and logits of damage ``(n, damages)``; without part masks if not ``masked``."""
    device, side = next(net.parameters()).device, net.side
    net.eval()
    logs, harm = [], []
    for k in range(0, len(examples.label), BATCH):
        picture = examples.pictures[k : k + BATCH].to(device).permute(0, 3, 1, 2).float() / 255
        parts = masks_of(examples.parts[k : k + BATCH].to(device)) * masked
        size = {"size": side, "mode": "bilinear", "antialias": True}
        with torch.no_grad():
            found = net(functional.interpolate(picture, **size), functional.interpolate(parts, **size))
        logs.append(found[0].log_softmax(1).double().cpu().numpy())
        harm.append(found[1].double().cpu().numpy())
    return np.concatenate(logs), np.concatenate(harm)


def report(net: LookNet, examples: LookExamples) -> dict[str, Any]:
    """Balanced accuracy (a second right label counts) by kind of view and pooled by plug, log-loss, recalls, AUC of damage."""
    logs, harm = look_at_examples(net, examples)
    blind, _ = look_at_examples(net, examples, masked=False)
    label, right = examples.label.cpu().numpy(), examples.right.cpu().numpy()
    known = label >= 0
    scores: dict[str, Any] = {
        "views": int(known.sum()),
        "balanced accuracy": _balanced(logs, label, right, known),
        "without part masks": _balanced(blind, label, right, known),
        "by kind": {
            str(kind): _balanced(logs, label, right, known & (examples.kind == kind))
            for kind in sorted(set(examples.kind))
        },
        "by plug": _by_plug(logs, label, right, known, examples.plug),
        "log-loss": float(-np.log((np.exp(logs) * right).sum(1)[known]).mean()),
        "recall": {str(d): r for d, r in zip(LOOKS, _recalls(logs, label, right, known), strict=True)},
        "damage AUC": {},
    }
    there = examples.damage.cpu().numpy() > 0.5
    for k, damage in enumerate(DAMAGES):
        if 0 < there[:, k].sum() < len(there):
            scores["damage AUC"][str(damage)] = [
                round(float(roc_auc_score(there[:, k], harm[:, k])), 3),
                int(there[:, k].sum()),
            ]
    return scores


def _recalls(
    logs: Floats, label: NDArray[np.int64], right: NDArray[np.float32], used: NDArray[np.bool_]
) -> list[float | None]:
    hit = right[np.arange(len(label)), logs.argmax(1)] > 0
    each = [hit[used & (label == k)] for k in range(len(LOOKS))]
    return [round(float(h.mean()), 3) if h.size else None for h in each]


def _balanced(
    logs: Floats, label: NDArray[np.int64], right: NDArray[np.float32], used: NDArray[np.bool_]
) -> float:
    return round(
        float(np.mean([r for r in _recalls(logs, label, right, used) if r is not None] or [np.nan])), 4
    )


def _by_plug(
    logs: Floats,
    label: NDArray[np.int64],
    right: NDArray[np.float32],
    known: NDArray[np.bool_],
    plug: NDArray[np.str_],
) -> float:
    _, first, which = np.unique(plug[known], return_index=True, return_inverse=True)
    pooled = np.stack([np.bincount(which, weights=column) for column in logs[known].T], 1).astype(np.float64)
    return _balanced(pooled, label[known][first], right[known][first], np.ones(len(first), bool))
