"""Where layers lie on a part: a field of chance, height and side, cut so that the share asked for is covered."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.design import PlugDesign
from plugsight.synthetic.looks import LOOKS
from plugsight.synthetic.noise import Floats, Noise, smoothstep
from plugsight.synthetic.place import Place
from plugsight.synthetic.skin import Skin
from plugsight.synthetic.state import DepositLayer, PlugState
from plugsight.vocabulary.deposits import Deposit

WHOLE = 0.985
"""A larger share leaves no gaps."""
VEILED = (Deposit.DRY_CARBON, Deposit.WET_OIL, Deposit.ASH, Deposit.LEAD, Deposit.RED_TINT)
"""Deposits that thin out into a veil around what they cover; the veil is too thin to count as covered."""


def nose_zone_mm(design: PlugDesign) -> float:
    """How far below its tip the nose's outer area reaches, mm: about what views past the shell's edge show of it."""
    return float(np.clip(design.nose_tip_z_mm + 2.0, 1.5, 3.5))


def lay_all(
    skin: Skin,
    state: PlugState,
    zone: NDArray[np.float64],
    depth: Floats,
    shares: list[float],
    hold: Floats | float = 0.0,
) -> None:
    """Lay every layer on a part.

    ``zone`` (n,) mm² is the area each vertex stands for where the share is counted, 0 outside; ``depth`` (n,) runs
    from 0 at the firing end to 1; ``shares`` says how much of the zone each layer of the state covers here; where
    ``hold`` is large, deposits don't take.
    """
    for k, (drawn, share) in enumerate(zip(state.layers, shares, strict=True)):
        if drawn.deposit not in LOOKS or share < 0.004:
            continue
        layer = _spread(drawn) if skin.name == "nose" else _on_metal(_spread(drawn))
        noise = Noise(skin.noise.seed * 64 + k)
        mask, veil = cover_mask(skin, layer, noise, zone, depth, share, hold)
        if layer.deposit in VEILED:
            mask = np.maximum(mask, 0.49 * veil * (0.35 + 0.65 * layer.thickness))
        where = mask > 0.01
        at = Place(skin.points[where], skin.colour[where], noise, layer, state.palette)
        skin.lay(where, mask[where], LOOKS[layer.deposit](at), layer.deposit)


def _spread(layer: DepositLayer) -> DepositLayer:
    """Soot and oil come from everywhere at once: broad patches that fade out."""
    if layer.deposit not in (Deposit.DRY_CARBON, Deposit.WET_OIL):
        return layer
    return replace(
        layer,
        patch_mm=1.5 * layer.patch_mm,
        sharpness=0.65 * layer.sharpness,
        mottle=0.4 + 0.6 * layer.mottle,
    )


def _on_metal(layer: DepositLayer) -> DepositLayer:
    """Return the layer as it takes on metal: broader patches, softer borders."""
    return replace(layer, patch_mm=1.7 * layer.patch_mm, sharpness=0.55 * layer.sharpness)


def cover_mask(
    skin: Skin,
    layer: DepositLayer,
    noise: Noise,
    zone: NDArray[np.float64],
    depth: Floats,
    share: float,
    hold: Floats | float,
) -> tuple[Floats, Floats]:
    """Return the layer's mask 0..1, one half or more on ``share`` of the zone's area, and a wider one for its veil."""
    chance = noise.fractal(skin.points, layer.patch_mm, 1, 0.8)
    ring = -np.abs(depth - layer.ring_at) * 3.2
    side = np.cos(skin.azimuth - np.deg2rad(layer.side_azimuth_deg))
    field = (1.1 - layer.ring) * chance + 1.6 * layer.ring * ring + 1.1 * layer.side * side
    field = np.asarray(field + 0.12 * noise.fractal(skin.points, 0.35, 2, 1.1) - hold, dtype=np.float32)
    inside = zone > 0
    order = np.argsort(field[inside])
    area = np.cumsum(zone[inside][order])
    whole = share > WHOLE
    level = float(field[inside][order][np.searchsorted(area, (1 - min(share, WHOLE)) * area[-1])])
    if whole:
        level -= 2.0
    spread = float(field[inside].std()) + 1e-6
    half = spread * (0.02 + 0.75 * (1 - layer.sharpness) ** 2)
    veil = smoothstep(level - half - 2.2 * spread * layer.mottle, level + half, field)
    return smoothstep(level - half, level + half, field), veil
