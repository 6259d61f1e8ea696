"""Fit the part networks on examples and write them as ONNX: ``python -m plugsight.training.parts_fit EXAMPLES OUT``.

``EXAMPLES`` holds ``*.npz`` files with the arrays of ``parts_example.PartsExample`` and ``held_out`` (bool): designs kept
aside, on which the report is made. Needs PyTorch and onnx; uses a GPU if there is one.
"""

import argparse
import json
import math
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor
from torch.nn import functional

from plugsight.training.parts_disturb import IGNORED, Disturbance, disturb
from plugsight.training.parts_net import Exported, PartsNet

NUMBERS = ("tilt_deg", "off_profile_deg", "overlap_px", "edge_px")
ZOOM_POWER = (0.0, 0.0, 1.0, 1.0)
"""Numbers in pixels grow with the zoom of a disturbed crop, angles don't."""


@dataclass(frozen=True, slots=True)
class Recipe:
    """One network: its arrays in the examples, its size, and how its crops are disturbed."""

    name: str
    crops: str
    masks: str
    classes: int
    widths: tuple[int, ...]
    numbers: bool
    coordinates: bool
    how: Disturbance
    share: float
    """Share of the time given."""
    weights: tuple[float, ...]


RECIPES = (
    Recipe("parts", "canonical", "canonical_mask", 5, (12, 24, 32, 48, 64), True, True,
           Disturbance(6, 0.12, 0.05), 0.34, (1, 1, 1.5, 3, 1.5)),
    Recipe("tip", "tip", "tip_mask", 5, (16, 24, 32, 48, 64), True, True,
           Disturbance(4, 0.10, 0.06), 0.44, (1, 1, 1, 1.5, 1)),
    Recipe("finder", "finder", "finder_mask", 7, (16, 24, 32, 48, 64, 64), False, False,
           Disturbance(180, 0.35, 0.1, light=1.6), 0.22, (1, 1, 2, 3, 2, 1, 1)),
)  # fmt: skip


def fit(
    recipe: Recipe,
    crops: NDArray[np.uint8],
    masks: NDArray[np.uint8],
    numbers: NDArray[np.float32],
    seconds: float,
    seed: int = 0,
) -> PartsNet:
    """Fit one network for ``seconds`` on crops ``(n, h, w, 3)``, masks ``(n, h, w)`` and numbers ``(n, k)`` (NaN: unknown)."""
    device = "cuda" if torch.cuda.is_available() else "cpu"
    torch.manual_seed(seed)
    generator = torch.Generator(device=device)
    generator.manual_seed(seed)
    x = torch.as_tensor(crops).permute(0, 3, 1, 2).contiguous().to(device)
    y = torch.as_tensor(masks).to(device)
    t = torch.as_tensor(numbers[:, : len(NUMBERS) if recipe.numbers else 0], device=device)
    net = PartsNet(recipe.widths, recipe.classes, t.shape[1], coordinates=recipe.coordinates)
    net = net.to(device, memory_format=torch.channels_last)
    known = ~t.isnan()
    for k in range(t.shape[1]):
        net.mean[k], net.spread[k] = t[known[:, k], k].mean(), t[known[:, k], k].std()
    power = torch.tensor(ZOOM_POWER[: t.shape[1]], device=device)
    weights = torch.tensor(recipe.weights, device=device, dtype=torch.float32)
    optimiser = torch.optim.AdamW(net.parameters(), lr=3e-3, weight_decay=1e-2)
    start, step, batch = time.monotonic(), 0, 32 if device == "cuda" else 4
    while (done := (time.monotonic() - start) / seconds) < 1.0:
        for group in optimiser.param_groups:
            group["lr"] = 3e-3 * min(1.0, (step + 1) / 100) * 0.5 * (1 + math.cos(math.pi * done)) + 1e-6
        index = torch.randint(0, len(x), (batch,), device=device, generator=generator)
        seen, labels, zoom = disturb(x[index].float() / 255, y[index], recipe.how, generator)
        net.train()
        with torch.autocast(device, dtype=torch.bfloat16, enabled=device == "cuda"):
            logits, read = net(with_coordinates(seen) if recipe.coordinates else seen)
        loss = parts_loss(logits.float(), labels, weights)
        if t.shape[1]:
            aim = (t[index] * zoom[:, None] ** power - net.mean) / net.spread
            loss = loss + 0.3 * numbers_loss(read.float().view(batch, -1, 2), aim)
        optimiser.zero_grad()
        loss.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 5.0)
        optimiser.step()
        if step % 300 == 0:
            print(
                f"{recipe.name} step {step} {time.monotonic() - start:.0f} s loss {loss.item():.4f}",
                flush=True,
            )
        step += 1
    print(f"{recipe.name}: {step} steps of {batch}", flush=True)
    return net.eval()


def parts_loss(logits: Tensor, labels: Tensor, weights: Tensor) -> Tensor:
    """Cross entropy plus half a Dice loss over classes; ``IGNORED`` pixels count nowhere."""
    entropy = functional.cross_entropy(logits, labels, weight=weights, ignore_index=IGNORED)
    inside = (labels != IGNORED)[:, None].float()
    chances = logits.softmax(1) * inside
    truth = (
        functional.one_hot(torch.where(labels == IGNORED, 0, labels), logits.shape[1]).permute(0, 3, 1, 2)
        * inside
    )
    both, either = (chances * truth).sum((0, 2, 3)), (chances + truth).sum((0, 2, 3))
    return entropy + 0.5 * (1 - ((2 * both + 1) / (either + 1)).mean())


def numbers_loss(read: Tensor, aim: Tensor) -> Tensor:
    """Gaussian negative log likelihood of the known numbers: the network states its own uncertainty."""
    known = ~aim.isnan()
    log_variance = read[..., 1].clamp(-8, 6)
    each = 0.5 * ((read[..., 0] - torch.nan_to_num(aim)) ** 2 * torch.exp(-log_variance) + log_variance)
    return (each * known).sum() / known.sum().clamp(min=1)


def with_coordinates(crops: Tensor) -> Tensor:
    """Append row and column, -1..1."""
    n, _, rows, cols = crops.shape
    row = torch.linspace(-1, 1, rows, device=crops.device).view(1, 1, rows, 1).expand(n, 1, rows, cols)
    col = torch.linspace(-1, 1, cols, device=crops.device).view(1, 1, 1, cols).expand(n, 1, rows, cols)
    return torch.cat([crops, row, col], 1)


@torch.no_grad()
def report(
    net: PartsNet, crops: NDArray[np.uint8], masks: NDArray[np.uint8], numbers: NDArray[np.float32]
) -> dict[str, object]:
    """Score on held-out examples: mean IoU of parts of at least 100 pixels, and errors of the numbers."""
    device = next(net.parameters()).device
    overlap: list[list[float]] = []
    read: list[NDArray[np.float32]] = []
    for first in range(0, len(crops), 32):
        x = torch.as_tensor(crops[first : first + 32]).permute(0, 3, 1, 2).to(device).float() / 255
        logits, values = net(with_coordinates(x) if net.coordinates else x)
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
        for k, name in enumerate(NUMBERS):
            error = values[:, k, 0] - numbers[:, k]
            known = np.isfinite(error)
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


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("examples", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--seconds", type=float, default=240.0)
    parser.add_argument("--only", default="")
    args = parser.parse_args(arguments)
    args.out.mkdir(parents=True, exist_ok=True)
    files = [np.load(path) for path in sorted(args.examples.glob("*.npz"))]
    scores: dict[str, object] = {}
    for recipe in RECIPES:
        if args.only and recipe.name not in args.only.split(","):
            continue
        crops = np.concatenate([f[recipe.crops] for f in files])
        masks = np.concatenate([f[recipe.masks] for f in files])
        numbers = np.concatenate([f["numbers"] for f in files])
        aside = np.concatenate([f["held_out"] for f in files])
        usable = (masks != 0).reshape(len(masks), -1).any(axis=1) & (masks != IGNORED).reshape(
            len(masks), -1
        ).any(axis=1)
        train, test = usable & ~aside, usable & aside
        net = fit(recipe, crops[train], masks[train], numbers[train], args.seconds * recipe.share)
        if test.any():
            scores[recipe.name] = report(net, crops[test], masks[test], numbers[test])
            print(json.dumps({recipe.name: scores[recipe.name]}), flush=True)
        torch.save(net.state_dict(), args.out / f"{recipe.name}.pt")
        example = torch.zeros(1, 5 if recipe.coordinates else 3, crops.shape[1], crops.shape[2])
        torch.onnx.export(
            Exported(net.cpu()).eval(), (example,), str(args.out / f"{recipe.name}.onnx"),
            input_names=["crop"], output_names=["parts", "numbers"][: 1 + recipe.numbers], opset_version=17, dynamo=False,
        )  # fmt: skip
    (args.out / "scores.json").write_text(json.dumps(scores, indent=1), encoding="utf-8")


if __name__ == "__main__":
    main()
