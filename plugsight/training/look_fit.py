"""Fit a look network on close-ups: ``python -m plugsight.training.look_fit EXAMPLES OUT --seconds 480``.

``EXAMPLES`` holds what ``parts_examples`` wrote. Writes ``look_1.onnx`` (``look_2.onnx`` beside one that is there), the card
``look.json`` and ``look.pt`` (weights to go on from) into ``OUT``. Needs the extra ``lab``; uses a GPU if there is one. Three
aims: the plug's deposit from the whole close-up; the damage that it shows; and, as a task that teaches where to look, the
share of the nose that each deposit covers.
"""

import argparse
import json
import math
import sys
import time
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import torch
from torch import Tensor
from torch.nn import functional
from torch.optim.swa_utils import AveragedModel, get_ema_multi_avg_fn

from plugsight.training.look_disturb import disturb
from plugsight.training.look_examples import DAMAGES, LOOKS, LookExamples, read_examples
from plugsight.training.look_net import LookNet
from plugsight.training.look_report import report
from plugsight.training.look_write import write_look

BATCH = 128
BODY_RATE, HEAD_RATE, DECAY = 5e-4, 2e-3, 2e-2
AGAIN = 0.4
"""Rates of a fit that goes on, as a share of those of one that begins."""
WARM = 200
"""Steps in which the rates rise."""
AVERAGED = 0.998
"""Decay of the running average of the weights, which is what is kept."""
SHARE_WEIGHT, DAMAGE_WEIGHT, SMOOTHING = 0.5, 1.0, 0.05
MOST_BALANCE = 5.0
"""Largest weight of a damaged view against an undamaged one: full balance would let ten views decide."""


def fit_look(examples: LookExamples, seconds: float, start: Path | None = None, seed: int = 0) -> LookNet:
    """Fit for ``seconds`` from the ImageNet weights, or go on from the weights in ``start``; every deposit weighs the same."""
    device = "cuda" if torch.cuda.is_available() else "cpu"
    torch.manual_seed(seed)
    generator, single = torch.Generator(device=device).manual_seed(seed), np.random.default_rng(seed)
    net = LookNet(len(LOOKS), len(DAMAGES))
    if start is not None:
        net.load_state_dict(torch.load(start, map_location="cpu", weights_only=True))
    net = net.to(device, memory_format=torch.channels_last)
    seen = examples.to(device)
    body = net.body()
    of_body = {id(p) for p in body}
    head = [p for p in net.parameters() if id(p) not in of_body]
    optimiser = torch.optim.AdamW([{"params": body}, {"params": head}], weight_decay=DECAY)
    average = AveragedModel(net, multi_avg_fn=get_ema_multi_avg_fn(AVERAGED), use_buffers=True)
    losses = _Losses(seen)
    high = AGAIN if start else 1.0
    batch = min(BATCH, len(seen.label))
    order = torch.empty(0, dtype=torch.long, device=device)
    clock = time.monotonic if device == "cuda" else time.process_time
    begun, step, epochs = clock(), 0, 0
    while (done := (clock() - begun) / seconds) < 1.0:
        if len(order) < batch:
            order, epochs = torch.randperm(len(seen.label), device=device, generator=generator), epochs + 1
        index, order = order[:batch], order[batch:]
        pace = high * min(1.0, (step + 1) / WARM) * 0.5 * (1 + math.cos(math.pi * done)) + 1e-4
        for group, rate in zip(optimiser.param_groups, (BODY_RATE, HEAD_RATE), strict=True):
            group["lr"] = rate * pace
        with torch.no_grad():
            picture = seen.pictures[index].permute(0, 3, 1, 2).float() / 255
            put_in = disturb(picture, seen.parts[index], seen.facing[index], net.side, (generator, single))
        net.train()
        with torch.autocast(device, dtype=torch.bfloat16, enabled=device == "cuda"):
            found = net(*(x.contiguous(memory_format=torch.channels_last) for x in put_in))
        loss = losses.of(found, index)
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 2.0)
        optimiser.step()
        average.update_parameters(net)
        if step % 100 == 0:
            _tell(f"step {step}, epoch {epochs}, {clock() - begun:.0f} s, loss {loss.item():.3f}")
        step += 1
    _tell(f"{step} steps of {batch} close-ups, {epochs} epochs")
    return average.module.eval()


class _Losses:
    """What the examples ask of the network's output."""

    def __init__(self, examples: LookExamples) -> None:
        self.seen = examples
        count = torch.bincount(examples.label.clamp(min=0), minlength=len(LOOKS)).clamp(min=1).float()
        weight = torch.where(examples.label >= 0, (1 / count)[examples.label.clamp(min=0)], 0.0)
        self.weight = weight / weight.mean()
        aims = examples.right / examples.right.sum(1, keepdim=True).clamp(min=1)
        self.aims = (1 - SMOOTHING) * aims + SMOOTHING / len(LOOKS)
        there = examples.damage.mean(0).clamp(1e-6, 1 - 1e-6)
        self.balance = ((1 - there) / there).sqrt().clamp(max=MOST_BALANCE)

    def of(self, found: tuple[Tensor, Tensor, Tensor], index: Tensor) -> Tensor:
        logits, harm, covered = (x.float() for x in found)
        wrong = -(self.aims[index] * logits.log_softmax(1)).sum(1) * self.weight[index]
        shares = self.seen.shares[index]
        off = -(shares.nan_to_num(0.0) * (covered + 1e-4).log()).sum(1)
        missed = functional.binary_cross_entropy_with_logits(
            harm, self.seen.damage[index], pos_weight=self.balance
        )
        return wrong.mean() + SHARE_WEIGHT * off.mean() + DAMAGE_WEIGHT * missed


def _tell(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("examples", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--seconds", type=float, default=480.0)
    parser.add_argument("--start", type=Path, default=None, help="look.pt of an earlier fit to go on from")
    parser.add_argument("--seed", type=int, default=0)
    args = parser.parse_args(arguments)
    args.out.mkdir(parents=True, exist_ok=True)
    torch.backends.cudnn.benchmark = True  # every batch has the same shape
    fitted, aside = read_examples(args.examples)
    _tell(f"{len(fitted.label)} close-ups to fit on, {len(aside.label)} of plugs kept aside")
    net = fit_look(fitted, args.seconds, args.start, args.seed)
    short = {name: v.cpu().half() if v.is_floating_point() else v for name, v in net.state_dict().items()}
    torch.save(short, args.out / "look.pt")
    scores = report(net, aside) if len(aside.label) else {}
    _tell(json.dumps(scores, indent=1))
    write_look(net, args.out, fitted, scores)


if __name__ == "__main__":
    main()
