"""Disturb training crops as cameras and the view room would: place, light, tone, blur, noise."""

import math
from dataclasses import dataclass

import torch
from torch import Tensor
from torch.nn import functional

IGNORED = 255


@dataclass(frozen=True, slots=True)
class Disturbance:
    """Ranges: turn in degrees, zoom as a log factor, shift as a share of the crop."""

    turn_deg: float
    zoom: float
    shift: float
    light: float = 1.0
    blur_px: float = 1.3
    noise: float = 0.03
    coarser: float = 1.0
    """Most by which the crop is made coarser: photos hold fewer pixels than the crop asks for."""


def disturb(
    crops: Tensor, masks: Tensor, how: Disturbance, generator: torch.Generator
) -> tuple[Tensor, Tensor, Tensor]:
    """Return disturbed ``(n, 3, h, w)`` crops 0..1, masks ``(n, h, w)`` int64, and the zoom ``(n,)`` that was applied."""
    n, _, rows, cols = crops.shape
    device = crops.device

    def between(low: float, high: float) -> Tensor:
        return torch.rand(n, device=device, generator=generator) * (high - low) + low

    turn, scale = (
        between(-how.turn_deg, how.turn_deg) * math.pi / 180,
        torch.exp(between(-how.zoom, how.zoom)),
    )
    mirror = torch.where(between(0, 1) < 0.5, -1.0, 1.0)
    affine = torch.zeros(n, 2, 3, device=device)
    affine[:, 0, 0], affine[:, 0, 1] = torch.cos(turn) * scale * mirror, -torch.sin(turn) * scale
    affine[:, 1, 0], affine[:, 1, 1] = torch.sin(turn) * scale * mirror, torch.cos(turn) * scale
    affine[:, 0, 2], affine[:, 1, 2] = between(-how.shift, how.shift) * 2, between(-how.shift, how.shift) * 2
    grid = functional.affine_grid(affine, [n, 3, rows, cols], align_corners=False)
    moved = functional.grid_sample(crops, grid, mode="bilinear", padding_mode="border", align_corners=False)
    labels = functional.grid_sample(
        masks[:, None].float(), grid, mode="nearest", padding_mode="zeros", align_corners=False
    )[:, 0].long()
    labels = torch.where(grid.abs().amax(-1) <= 1, labels, torch.full_like(labels, IGNORED))
    return _photograph(moved, how, between, generator), labels, 1.0 / scale


def _photograph(crops: Tensor, how: Disturbance, between, generator: torch.Generator) -> Tensor:  # type: ignore[no-untyped-def] # noqa: ANN001
    """Light, tone, saturation, blur and noise."""
    n, _, rows, cols = crops.shape
    device = crops.device

    def normal(*shape: int) -> Tensor:
        return torch.randn(*shape, device=device, generator=generator)

    gain = torch.exp(between(-0.4, 0.4) * how.light)[:, None] * torch.exp(normal(n, 3) * 0.06 * how.light)
    across = normal(n, 1, 1) * torch.linspace(-1, 1, cols, device=device)[None, None, :]
    down = normal(n, 1, 1) * torch.linspace(-1, 1, rows, device=device)[None, :, None]
    ramp = torch.exp((across + down) * 0.12 * how.light)
    linear = crops.clamp(0, 1) ** 2.2 * gain[:, :, None, None] * ramp[:, None]
    coded = linear.clamp(1e-6, 1) ** (1 / 2.2)
    coded = coded ** torch.exp(between(-0.2, 0.2) * how.light)[:, None, None, None]
    grey = coded.mean(1, keepdim=True)
    coded = grey + (coded - grey) * torch.exp(between(-0.4, 0.3) * how.light)[:, None, None, None]
    amount = (between(0, 1) * (between(0, 1) < 0.6))[:, None, None, None]
    blurred = _blur(coded, how.blur_px)
    flat = coded + (blurred - coded) * amount
    if how.coarser > 1.0:
        flat = _coarsened(flat, math.exp(float(between(0, math.log(how.coarser))[0])))
    noisy = flat + normal(n, 3, rows, cols) * between(0, how.noise)[:, None, None, None]
    return noisy.clamp(0, 1)


def _coarsened(crops: Tensor, factor: float) -> Tensor:
    """Make the first third of the crops ``factor`` times coarser; the caller draws crops in random order."""
    n = crops.shape[0] // 3
    size = [round(side / factor) for side in crops.shape[2:]]
    small = functional.interpolate(crops[:n], size=size, mode="bilinear", align_corners=False, antialias=True)
    large = functional.interpolate(small, size=crops.shape[2:], mode="bilinear", align_corners=False)
    return torch.cat([large, crops[n:]])


def _blur(crops: Tensor, sigma_px: float) -> Tensor:
    """Gaussian blur, the same for all: one-channel convolutions, which a GPU does fast."""
    n, channels, rows, cols = crops.shape
    offsets = torch.arange(-4, 5, device=crops.device).float()
    kernel = torch.exp(-(offsets**2) / (2 * sigma_px**2))
    kernel = kernel / kernel.sum()
    flat = crops.reshape(n * channels, 1, rows, cols)
    flat = functional.conv2d(functional.pad(flat, (4, 4, 0, 0), mode="replicate"), kernel.view(1, 1, 1, 9))
    flat = functional.conv2d(functional.pad(flat, (0, 0, 4, 4), mode="replicate"), kernel.view(1, 1, 9, 1))
    return flat.reshape(n, channels, rows, cols)
