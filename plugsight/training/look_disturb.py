"""Disturb close-ups as hands, phones and part networks would: place, sharpness, light, tone, noise, outlines."""

import math
from dataclasses import dataclass

import numpy as np
import torch
from torch import Tensor
from torch.nn import functional

from plugsight.training.look_net import PARTS

GROUPS = 8
"""A batch is softened in so many groups, each to a degree of its own: one for every picture would be slow."""
GREY = 0.46
"""What lies outside the photo, sRGB 0..1: the card's tone."""
TURN, ZOOM, SHIFT = 0.13, 0.12, 0.05
"""Radians, log factor, and share of the crop's half width. End views turn all round: they have no upright."""


@dataclass(frozen=True, slots=True)
class Chance:
    """Random numbers for ``count`` pictures on one device, and single ones that need not be fetched from there."""

    generator: torch.Generator
    single: np.random.Generator
    count: int

    def within(self, most: float, *shape: int) -> Tensor:
        """``(count, *shape)``, evenly from ``-most`` to ``most``."""
        return (self.upto(1.0, *shape) * 2 - 1) * most

    def upto(self, most: float, *shape: int) -> Tensor:
        """``(count, *shape)``, evenly from 0 to ``most``."""
        size = (self.count, *shape)
        return torch.rand(size, generator=self.generator, device=self.generator.device) * most

    def normal(self, *shape: int) -> Tensor:
        """Standard normal, ``(count, *shape)``."""
        return torch.randn((self.count, *shape), generator=self.generator, device=self.generator.device)

    def number(self) -> float:
        """One number for all, 0 to 1."""
        return float(self.single.random())


def masks_of(labels: Tensor) -> Tensor:
    """``(n, rows, cols)`` uint8 part labels to ``(n, 3, rows, cols)`` 0 or 1 in the order of ``PARTS``."""
    return torch.stack([(labels == number).float() for number in PARTS.values()], 1)


def disturb(
    pictures: Tensor,
    labels: Tensor,
    facing: Tensor,
    side: int,
    generators: tuple[torch.Generator, np.random.Generator],
) -> tuple[Tensor, Tensor]:
    """Return disturbed pictures and part masks, both ``(n, 3, side, side)`` 0..1.

    ``pictures`` ``(n, 3, rows, cols)`` 0..1, ``labels`` ``(n, rows, cols)`` uint8, ``facing`` ``(n,)`` bool: end views.
    """
    chance = Chance(*generators, len(pictures))
    grid = _place(chance, facing, side)
    moved = functional.grid_sample(pictures - GREY, grid, padding_mode="zeros", align_corners=False) + GREY
    slip = chance.within(0.02, 1, 1, 2)
    parts = functional.grid_sample(
        _rough(masks_of(labels), chance), grid + slip, padding_mode="zeros", align_corners=False
    )
    return _photograph(_soften(moved, chance), chance), _drop(parts, chance)


def _place(chance: Chance, facing: Tensor, side: int) -> Tensor:
    turn = torch.where(facing, chance.within(math.pi), chance.within(TURN))
    zoom, mirror = torch.exp(chance.within(ZOOM)), torch.sign(chance.within(1.0))
    move = torch.zeros(chance.count, 2, 3, device=turn.device)
    move[:, 0, 0], move[:, 0, 1] = zoom * turn.cos() * mirror, -zoom * turn.sin()
    move[:, 1, 0], move[:, 1, 1] = zoom * turn.sin() * mirror, zoom * turn.cos()
    move[:, :, 2] = chance.within(SHIFT, 2)
    return functional.affine_grid(move, [chance.count, 3, side, side], align_corners=False)


def _rough(masks: Tensor, chance: Chance) -> Tensor:
    """Grow or shrink the outlines of each group by up to 6 pixels."""
    groups = []
    for group in masks.chunk(GROUPS):
        by = round((chance.number() * 2 - 1) ** 3 * 6)
        if by:
            size = 2 * abs(by) + 1
            sign = 1 if by > 0 else -1
            group = sign * functional.max_pool2d(sign * group, size, stride=1, padding=abs(by))  # noqa: PLW2901
        groups.append(group)
    return torch.cat(groups)


def _drop(parts: Tensor, chance: Chance) -> Tensor:
    """Leave out all parts of a few pictures, one part or a rectangle of some."""
    kept = (chance.upto(1.0, 1, 1, 1) > 0.03) & (chance.upto(1.0, len(PARTS), 1, 1) > 0.03)
    return parts * kept * ~_rectangle(parts, chance, 0.15, 0.5)


def _rectangle(like: Tensor, chance: Chance, often: float, most: float) -> Tensor:
    """Where a rectangle lies, ``(n, 1, rows, cols)`` bool; in a share ``often`` of the pictures."""
    rows, cols = (torch.linspace(0, 1, size, device=like.device) for size in like.shape[2:])
    middle, size = chance.upto(1.0, 2, 1, 1), chance.upto(most / 2, 2, 1, 1)
    down = (rows[None, None, :, None] - middle[:, :1]).abs() < size[:, :1]
    across = (cols[None, None, None, :] - middle[:, 1:]).abs() < size[:, 1:]
    return down & across & (chance.upto(1.0, 1, 1, 1) < often)


def _soften(pictures: Tensor, chance: Chance) -> Tensor:
    """Take resolution away from a third of the groups, then blur or sharpen half of the pictures, each by its own amount."""
    side = pictures.shape[-1]
    groups, details = [], []
    for group in pictures.chunk(GROUPS):
        over = 3 * chance.number() - 2
        if over > 0:  # up to three times coarser, seldom so much
            small = round(side / (1 + 2 * over**1.5))
            group = functional.interpolate(group, size=small, mode="bilinear", antialias=True)  # noqa: PLW2901
            group = functional.interpolate(group, size=side, mode="bilinear")  # noqa: PLW2901
        groups.append(group)
        details.append(group - _blurred(group, 0.6 + 1.4 * chance.number()))
    amount = chance.within(1.0, 1, 1, 1) * (chance.upto(1.0, 1, 1, 1) < 0.5)
    return torch.cat(groups) + amount * torch.cat(details)


def _blurred(pictures: Tensor, sigma: float) -> Tensor:
    offsets = torch.arange(-5, 6, device=pictures.device).float()
    kernel = torch.exp(-(offsets**2) / (2 * sigma**2))
    kernel = kernel / kernel.sum()
    flat = pictures.reshape(-1, 1, *pictures.shape[2:])
    flat = functional.conv2d(functional.pad(flat, (5, 5, 0, 0), mode="replicate"), kernel.view(1, 1, 1, -1))
    flat = functional.conv2d(functional.pad(flat, (0, 0, 5, 5), mode="replicate"), kernel.view(1, 1, -1, 1))
    return flat.reshape(pictures.shape)


def _photograph(pictures: Tensor, chance: Chance) -> Tensor:
    """Exposure and tint as a card's reading errs, tone curve, local tone mapping, saturation, coding, noise, a hidden patch."""
    light = torch.exp(chance.within(0.15, 1, 1, 1) + chance.within(0.04, 3, 1, 1))
    toned = (pictures * light).clamp(1e-4, 1) ** torch.exp(chance.within(0.2, 1, 1, 1))
    flat = chance.upto(0.4, 1, 1, 1) * (chance.upto(1.0, 1, 1, 1) < 0.3)
    around = functional.interpolate(
        functional.avg_pool2d(toned.mean(1, keepdim=True), 32), size=toned.shape[2:], mode="bilinear"
    ).clamp(min=0.02)
    toned = toned * (around.mean((2, 3), keepdim=True) / around) ** flat
    grey = toned.mean(1, keepdim=True)
    toned = grey + (toned - grey) * torch.exp(chance.within(0.2, 1, 1, 1))
    coded = torch.cat([_coded(g, chance) for g in toned.chunk(GROUPS)])
    noise = chance.normal(*coded.shape[1:]) * chance.upto(0.02, 1, 1, 1)
    hidden = _rectangle(coded, chance, 0.15, 0.3)
    return torch.where(hidden, chance.upto(1.0, 3, 1, 1), (coded + noise).clamp(0, 1))


def _coded(pictures: Tensor, chance: Chance) -> Tensor:
    """Round the 8 x 8 cosine coefficients of some groups, the higher the coarser, as JPEG and WebP do."""
    step = (chance.number() * 2 - 1) * 0.012
    if step <= 0:
        return pictures
    k = torch.arange(8, device=pictures.device).float()
    basis = torch.cos(math.pi * (k[None, :] + 0.5) * k[:, None] / 8) * 0.5
    basis[0] = math.sqrt(1 / 8)
    n, planes, rows, cols = pictures.shape
    blocks = pictures.reshape(n, planes, rows // 8, 8, cols // 8, 8).transpose(3, 4)
    steps = step * (1 + k[:, None] + k[None, :])
    blocks = basis.T @ (((basis @ blocks @ basis.T) / steps).round() * steps) @ basis
    return blocks.transpose(3, 4).reshape(pictures.shape)
