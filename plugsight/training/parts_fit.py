"""Fit the part networks on examples and write them as ONNX: ``python -m plugsight.training.parts_fit EXAMPLES OUT``.

``EXAMPLES`` holds ``*.npz`` files as ``parts_examples`` writes them; the plugs marked ``held_out`` are kept aside for the
report. Needs the extra ``lab``; uses a GPU if there is one, and wants one: minutes there, days without.
"""

import argparse
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
from plugsight.training.parts_example import CANONICAL_NUMBERS, TIP_NUMBERS
from plugsight.training.parts_net import Exported, PartsNet
from plugsight.training.parts_score import report

FRONT_RATE, RATE, DECAY = 6e-4, 2e-3, 2e-2
"""Highest learning rates of what was learnt before and of the rest, and the weights' decay."""
AGAIN = 0.5
"""Rates of a fit that goes on, as a share of those of one that begins."""
AVERAGED = 0.998
"""Decay of the running average of the weights."""
NUMBERS_WEIGHT = 0.3
BATCH, BATCH_WITHOUT_GPU = 64, 8


@dataclass(frozen=True, slots=True)
class Recipe:
    """One network: its arrays in the examples and how its crops are disturbed."""

    name: str
    crops: str
    masks: str
    classes: int
    numbers: tuple[str, ...]
    how: Disturbance


RECIPES = {
    recipe.name: recipe
    for recipe in (
        Recipe("parts", "canonical", "canonical_mask", 5, CANONICAL_NUMBERS, Disturbance(6, 0.12, 0.05)),
        Recipe("tip", "tip", "tip_mask", 5, TIP_NUMBERS, Disturbance(4, 0.12, 0.06, coarser=2.2)),
        Recipe("finder", "finder", "finder_mask", 7, (), Disturbance(180, 0.35, 0.1, light=1.6)),
    )
}


@dataclass(frozen=True, slots=True, eq=False)
class Examples:
    """Crops ``(n, h, w, 3)`` uint8, masks ``(n, h, w)`` uint8, numbers ``(n, k)`` float32 with NaN where unknown."""

    crops: NDArray[np.uint8]
    masks: NDArray[np.uint8]
    numbers: NDArray[np.float32]

    def of(self, chosen: NDArray[np.bool_]) -> "Examples":
        """Those rows alone."""
        return Examples(self.crops[chosen], self.masks[chosen], self.numbers[chosen])


def fit(
    recipe: Recipe, examples: Examples, seconds: float, start: Path | None = None, seed: int = 0
) -> PartsNet:
    """Fit one network from the ImageNet weights, or go on from the weights in ``start``.

    Returned are the weights averaged over the last hundreds of steps.
    Ends after ``seconds`` by the clock on a GPU, of this process's own time without one.
    """
    device = "cuda" if torch.cuda.is_available() else "cpu"
    torch.manual_seed(seed)
    generator = torch.Generator(device=device).manual_seed(seed)
    x = torch.as_tensor(examples.crops).to(device)
    y = torch.as_tensor(examples.masks).to(device)
    t = torch.as_tensor(examples.numbers).to(device)
    net = PartsNet(recipe.classes, t.shape[1], x.shape[2])
    known = ~t.isnan()
    for k in range(t.shape[1]):
        net.mean[k], net.spread[k] = t[known[:, k], k].mean(), t[known[:, k], k].std()
    if start is not None:
        net.load_state_dict(torch.load(start, map_location="cpu", weights_only=True))
    net = net.to(device, memory_format=torch.channels_last)
    average = AveragedModel(net, multi_avg_fn=get_ema_multi_avg_fn(AVERAGED), use_buffers=True)
    in_pixels = torch.tensor([name.endswith("_px") for name in recipe.numbers], device=device).float()
    front = net.front()
    rest = [p for p in net.parameters() if all(p is not q for q in front)]
    optimiser = torch.optim.AdamW(
        [{"params": front, "most": FRONT_RATE}, {"params": rest, "most": RATE}], weight_decay=DECAY
    )
    clock = time.monotonic if device == "cuda" else time.process_time
    begun, step, batch = clock(), 0, BATCH if device == "cuda" else BATCH_WITHOUT_GPU
    while (done := (clock() - begun) / seconds) < 1.0:
        for group in optimiser.param_groups:
            pace = (
                (AGAIN if start else 1.0) * min(1.0, (step + 1) / 300) * 0.5 * (1 + math.cos(math.pi * done))
            )
            group["lr"] = group["most"] * pace + 1e-7
        index = torch.randint(0, len(x), (batch,), device=device, generator=generator)
        seen, labels, zoom = disturb(
            x[index].permute(0, 3, 1, 2).float() / 255, y[index], recipe.how, generator
        )
        with torch.autocast(device, dtype=torch.bfloat16):
            logits, read = net(seen.contiguous(memory_format=torch.channels_last))
        loss = parts_loss(logits.float(), labels)
        if t.shape[1]:
            aim = (t[index] * zoom[:, None] ** in_pixels - net.mean) / net.spread
            loss = loss + NUMBERS_WEIGHT * numbers_loss(read.float().view(batch, -1, 2), aim)
        optimiser.zero_grad()
        loss.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 5.0)
        optimiser.step()
        average.update_parameters(net)
        if step % 500 == 0:
            _tell(f"{recipe.name} step {step} {clock() - begun:.0f} s loss {loss.item():.4f}")
        step += 1
    _tell(f"{recipe.name}: {step} steps of {batch} over {len(x)} crops")
    return average.module.eval()


def parts_loss(logits: Tensor, labels: Tensor) -> Tensor:
    """Cross entropy plus half a Dice loss over classes; ``IGNORED`` pixels count nowhere."""
    entropy = functional.cross_entropy(logits, labels, ignore_index=IGNORED)
    inside = (labels != IGNORED)[:, None].float()
    chances = logits.softmax(1) * inside
    truth = (
        functional.one_hot(torch.where(labels == IGNORED, 0, labels), logits.shape[1]).permute(0, 3, 1, 2)
        * inside
    )
    both, either = (chances * truth).sum((0, 2, 3)), (chances + truth).sum((0, 2, 3))
    return entropy + 0.5 * (1 - ((2 * both + 1) / (either + 1)).mean())


def numbers_loss(read: Tensor, aim: Tensor) -> Tensor:
    """Laplace negative log likelihood of the known numbers.

    The network states its own uncertainty, and a gross miss among the examples doesn't rule it.
    """
    known = ~aim.isnan()
    log_spread = read[..., 1].clamp(-6, 3)
    each = (read[..., 0] - torch.nan_to_num(aim)).abs() * torch.exp(-log_spread) + log_spread
    return (each * known).sum() / known.sum().clamp(min=1)


def read_examples(folder: Path, recipe: Recipe) -> tuple[Examples, Examples]:
    """Examples to fit on and examples kept aside; crops without any known part are left out."""
    opened = [np.load(path) for path in sorted(folder.glob("*.npz"))]
    files = [f for f in opened if recipe.crops in f.files]
    masks = np.concatenate([f[recipe.masks] for f in files])
    whole = Examples(
        crops=np.concatenate([f[recipe.crops] for f in files]),
        masks=masks,
        numbers=np.concatenate([f[f"{recipe.crops}_numbers"] for f in files])
        if recipe.numbers
        else np.zeros((len(masks), 0), np.float32),
    )
    aside = np.concatenate([f["held_out"] for f in files])
    usable = (masks != IGNORED).reshape(len(masks), -1).any(axis=1)
    return whole.of(usable & ~aside), whole.of(usable & aside)


def _tell(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("examples", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--seconds", type=float, default=480.0)
    parser.add_argument("--start", type=Path, default=None, help="folder of weights (NAME.pt) to go on from")
    parser.add_argument("--only", default="", help="names of networks, joined by commas")
    args = parser.parse_args(arguments)
    args.out.mkdir(parents=True, exist_ok=True)
    torch.backends.cudnn.benchmark = True  # every batch has the same shape
    for name in args.only.split(",") if args.only else RECIPES:
        recipe = RECIPES[name]
        train, aside = read_examples(args.examples, recipe)
        net = fit(recipe, train, args.seconds, args.start and args.start / f"{name}.pt")
        torch.save(net.state_dict(), args.out / f"{name}.pt")
        scores = report(net, aside.crops, aside.masks, aside.numbers, recipe.numbers)
        _tell(json.dumps({name: scores}))
        (args.out / f"{name}.scores.json").write_text(json.dumps(scores, indent=1), encoding="utf-8")
        side = train.crops.shape[1]
        torch.onnx.export(
            Exported(net.cpu()).eval(), (torch.zeros(1, 3, side, side),), str(args.out / f"{name}.onnx"),
            input_names=["crop"], output_names=["parts", "numbers"][: 1 + bool(recipe.numbers)],
            opset_version=17, dynamo=False,
        )  # fmt: skip


if __name__ == "__main__":
    main()
