"""Fit the part networks on examples and write them as ONNX: ``python -m plugsight.training.parts_fit EXAMPLES OUT``.

``EXAMPLES`` holds ``*.npz`` files with the arrays of ``parts_example.PartsExample`` and ``held_out`` (bool): designs kept
aside, on which the report is made. Needs PyTorch and onnx; uses a GPU if there is one.
"""

import argparse
import copy
import json
import math
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor
from torch.nn import functional
from torch.optim.swa_utils import AveragedModel, get_ema_multi_avg_fn

from plugsight.training.parts_disturb import IGNORED, Disturbance, disturb
from plugsight.training.parts_net import Exported, PartsNet
from plugsight.training.parts_score import NUMBERS, report, with_coordinates
from plugsight.training.parts_start import read_back

RATE_ANEW, RATE_ON = 3e-3, 1.5e-3
"""Highest learning rates of a fit from nothing and of one that goes on."""
AVERAGED = 0.99
"""Decay of the running average of the weights."""

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
    Recipe(
        name="parts", crops="canonical", masks="canonical_mask", classes=5, widths=(12, 24, 32, 48, 64), numbers=True,
        coordinates=True, how=Disturbance(6, 0.12, 0.05), share=0.36, weights=(1, 1, 1.5, 3, 1.5),
    ),
    Recipe(
        name="tip", crops="tip", masks="tip_mask", classes=5, widths=(12, 24, 32, 48, 64), numbers=True,
        coordinates=True, how=Disturbance(4, 0.12, 0.06), share=0.40, weights=(1, 1, 1, 1.5, 1),
    ),
    Recipe(
        name="finder", crops="finder", masks="finder_mask", classes=7, widths=(12, 24, 32, 48, 64, 64), numbers=False,
        coordinates=False, how=Disturbance(180, 0.35, 0.1, light=1.6), share=0.24, weights=(1, 1, 2, 3, 2, 1, 1),
    ),
)  # fmt: skip
"""``weights`` are undone where the networks are run (``segments.network.WEIGHTS``): change both together."""


def fit(
    recipe: Recipe,
    crops: NDArray[np.uint8],
    masks: NDArray[np.uint8],
    numbers: NDArray[np.float32],
    seconds: float,
    start: Path | None = None,
    seed: int = 0,
) -> PartsNet:
    """Fit one network on crops ``(n, h, w, 3)``, masks ``(n, h, w)`` and numbers ``(n, k)`` (NaN: unknown).

    Ends after ``seconds`` of this process's own time, so that a busy machine costs no steps. ``start`` is the ONNX file of
    an earlier fit to go on from. Returned are the weights averaged over the last hundred or so steps.
    """
    device = "cuda" if torch.cuda.is_available() else "cpu"
    torch.manual_seed(seed)
    generator = torch.Generator(device=device).manual_seed(seed)
    x = torch.as_tensor(crops).permute(0, 3, 1, 2)
    y = torch.as_tensor(masks)
    t = torch.as_tensor(numbers[:, : len(NUMBERS) if recipe.numbers else 0])
    net = PartsNet(recipe.widths, recipe.classes, t.shape[1], x.shape[2], coordinates=recipe.coordinates)
    if start is None:
        known = ~t.isnan()
        for k in range(t.shape[1]):
            net.mean[k], net.spread[k] = t[known[:, k], k].mean(), t[known[:, k], k].std()
    else:
        read_back(start, net)
    net = net.to(device, memory_format=torch.channels_last)
    average = AveragedModel(net, multi_avg_fn=get_ema_multi_avg_fn(AVERAGED), use_buffers=True)
    power = torch.tensor(ZOOM_POWER[: t.shape[1]], device=device)
    weights = torch.tensor(recipe.weights, device=device, dtype=torch.float32)
    highest = RATE_ANEW if start is None else RATE_ON
    optimiser = torch.optim.AdamW(net.parameters(), lr=highest, weight_decay=1e-2)
    clock = time.monotonic if device == "cuda" else time.process_time
    begun, step, batch = clock(), 0, 32 if device == "cuda" else 8
    while (done := (clock() - begun) / seconds) < 1.0:
        for group in optimiser.param_groups:
            group["lr"] = highest * min(1.0, (step + 1) / 100) * 0.5 * (1 + math.cos(math.pi * done)) + 1e-6
        index = torch.randint(0, len(x), (batch,), device=device, generator=generator).cpu()
        seen, labels, zoom = disturb(
            x[index].to(device).float() / 255, y[index].to(device), recipe.how, generator
        )
        net.train(mode=start is None)  # what goes on keeps its normalisation: it was folded when written
        put_in = with_coordinates(seen) if recipe.coordinates else seen
        with torch.autocast(device, dtype=torch.bfloat16):
            logits, read = net(put_in.contiguous(memory_format=torch.channels_last))
        loss = parts_loss(logits.float(), labels, weights)
        if t.shape[1]:
            aim = (t[index].to(device) * zoom[:, None] ** power - net.mean) / net.spread
            loss = loss + 0.1 * numbers_loss(read.float().view(batch, -1, 2), aim)
        optimiser.zero_grad()
        loss.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 5.0)
        optimiser.step()
        average.update_parameters(net)
        if step % 100 == 0:
            _tell(f"{recipe.name} step {step} {clock() - begun:.0f} s loss {loss.item():.4f}")
        step += 1
    _tell(f"{recipe.name}: {step} steps of {batch}")
    return average.module.eval()


def mix_back(net: PartsNet, start: Path, share: float) -> None:
    """Move the weights towards those of ``start`` by ``share``, 0..1.

    Keeps what only the earlier examples taught, sharp edges for instance, with most of what the new ones did (Wortsman et
    al., Robust fine-tuning of zero-shot models, CVPR 2022). Both must be fitted from the same file.
    """
    before = read_back(start, copy.deepcopy(net).cpu())
    with torch.no_grad():
        for now, was in zip(net.parameters(), before.parameters(), strict=True):
            now.lerp_(was.to(now.device), share)


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


def _tell(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("examples", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--seconds", type=float, default=240.0)
    parser.add_argument("--only", default="", help="names of networks, joined by commas")
    parser.add_argument(
        "--keep", type=float, default=0.0, help="share of the weights gone on from to mix back in"
    )
    parser.add_argument("--start", type=Path, default=None, help="folder of networks to go on from (models)")
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
        net = fit(
            recipe,
            crops[train],
            masks[train],
            numbers[train],
            args.seconds * recipe.share,
            args.start and args.start / f"{recipe.name}.onnx",
        )
        if args.start and args.keep:
            mix_back(net, args.start / f"{recipe.name}.onnx", args.keep)
        if test.any():
            scores[recipe.name] = report(net, crops[test], masks[test], numbers[test])
            _tell(json.dumps({recipe.name: scores[recipe.name]}))
        example = torch.zeros(1, 5 if recipe.coordinates else 3, crops.shape[1], crops.shape[2])
        torch.onnx.export(
            Exported(net.cpu()).eval(), (example,), str(args.out / f"{recipe.name}.onnx"),
            input_names=["crop"], output_names=["parts", "numbers"][: 1 + recipe.numbers], opset_version=17, dynamo=False,
        )  # fmt: skip
    (args.out / "scores.json").write_text(json.dumps(scores, indent=1), encoding="utf-8")


if __name__ == "__main__":
    main()
