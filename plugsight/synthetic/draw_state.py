"""How states are drawn: what tells nothing first, deposits after, so the two are independent by construction.

The one exception defines a deposit: chalk white is a bleached nose *together with* heat signs (blued metal, and often
blisters, pepper specks, rounding), common practice, no source. How often and how strongly everything occurs is invented.
"""

from dataclasses import replace

import numpy as np

from plugsight.synthetic.state import DepositLayer, PlugState
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit

CHANCE_OF_DAMAGE: tuple[tuple[Damage, float], ...] = (
    (Damage.BLISTERED_NOSE, 0.06),
    (Damage.CRACKED_NOSE, 0.08),
    (Damage.MELTED_ELECTRODE, 0.03),
    (Damage.METAL_SPECKS, 0.05),
    (Damage.PEPPER_SPECKS, 0.07),
    (Damage.BRIDGED_GAP, 0.04),
    (Damage.BENT_STRAP, 0.05),
    (Damage.MISSING_PIECE, 0.03),
    (Damage.BLUED_METAL, 0.07),
    (Damage.FLASHOVER_TRACK, 0.08),
)
HEAT_SIGNS: tuple[tuple[Damage, float], ...] = (
    (Damage.BLUED_METAL, 1.0),
    (Damage.BLISTERED_NOSE, 0.35),
    (Damage.PEPPER_SPECKS, 0.35),
    (Damage.MELTED_ELECTRODE, 0.12),
)
COMPANIONS: dict[Deposit, tuple[Deposit, ...]] = {
    Deposit.BARE: (Deposit.DRY_CARBON, Deposit.WET_FUEL, Deposit.GRIT, Deposit.RED_TINT),
    Deposit.LIGHT: (Deposit.DRY_CARBON, Deposit.ASH, Deposit.GLAZE, Deposit.RED_TINT, Deposit.MINERAL),
    Deposit.DRY_CARBON: (Deposit.ASH, Deposit.WET_OIL, Deposit.GLAZE, Deposit.WET_FUEL, Deposit.GRIT),
    Deposit.WET_OIL: (Deposit.DRY_CARBON, Deposit.ASH, Deposit.DRY_CARBON),
    Deposit.WET_FUEL: (Deposit.DRY_CARBON, Deposit.LIGHT, Deposit.ASH),
    Deposit.ASH: (Deposit.DRY_CARBON, Deposit.GLAZE, Deposit.WET_OIL, Deposit.LEAD),
    Deposit.GLAZE: (Deposit.ASH, Deposit.DRY_CARBON, Deposit.LEAD),
    Deposit.CHALK_WHITE: (Deposit.ASH, Deposit.GLAZE, Deposit.DRY_CARBON),
    Deposit.LEAD: (Deposit.DRY_CARBON, Deposit.GLAZE, Deposit.ASH),
    Deposit.MINERAL: (Deposit.ASH, Deposit.DRY_CARBON, Deposit.RED_TINT),
    Deposit.GRIT: (Deposit.LIGHT, Deposit.DRY_CARBON, Deposit.ASH),
    Deposit.RED_TINT: (Deposit.LIGHT, Deposit.DRY_CARBON, Deposit.ASH),
}
"""What may lie beside or over each deposit."""


def draw_state(rng: np.random.Generator, aim: Deposit | None = None, palette: str = "usual") -> PlugState:
    """Draw a state; ``aim`` None draws the main deposit evenly from the vocabulary.

    The label is not ``aim``: layers cover one another and views show a part, so it is counted afterwards.
    """
    state = _what_tells_nothing(rng, palette)
    drawn = tuple(Deposit)[int(rng.integers(len(Deposit)))]
    aim = drawn if aim is None else aim
    state = replace(state, aim=aim, layers=_layers(rng, aim))
    return _with_heat_signs(rng, state) if aim is Deposit.CHALK_WHITE else state


def _what_tells_nothing(rng: np.random.Generator, palette: str) -> PlugState:
    """Wear, damage and stains, drawn before and apart from any deposit."""

    def u(low: float, high: float) -> float:
        return float(rng.uniform(low, high))

    gap = u(0.6, 1.25) if rng.random() < 0.55 else float(np.exp(u(np.log(0.3), np.log(2.0))))
    damage = tuple((d, u(0.25, 1.0)) for d, chance in CHANCE_OF_DAMAGE if rng.random() < chance)
    return PlugState(
        aim=Deposit.BARE,
        palette=palette,
        layers=(),
        gap_mm=gap,
        edge_rounding=float(rng.beta(0.9, 2.0)),
        edge_lean_deg=float(rng.normal(0, 3.0)),
        hollow_mm=float(rng.beta(0.8, 2.5)) * 0.4,
        strap_lean_deg=float(rng.normal(0, 2.0)),
        strap_swing_deg=float(rng.normal(0, 2.0)),
        erosion=float(rng.beta(1.0, 1.8)),
        damage=damage,
        rust=u(0.1, 1.0) if rng.random() < 0.22 else 0.0,
        face_stain=float(rng.beta(0.8, 0.9)),
        face_stain_tone=u(0, 1),
        thread_stain=float(rng.beta(0.8, 1.2)),
        scratches=float(rng.beta(1.2, 1.2)),
        grime=float(rng.beta(0.8, 1.6)),
    )


def _cover(rng: np.random.Generator, aim: Deposit) -> float:
    """A trace, some, most or all of the nose; soot and oil seldom leave much free."""
    chances = (
        [0.12, 0.18, 0.28, 0.42] if aim in (Deposit.DRY_CARBON, Deposit.WET_OIL) else [0.18, 0.24, 0.3, 0.28]
    )
    low, high = ((0.1, 0.3), (0.3, 0.6), (0.6, 0.9), (0.9, 1.0))[int(rng.choice(4, p=chances))]
    return float(rng.uniform(low, high))


def _layers(rng: np.random.Generator, aim: Deposit) -> tuple[DepositLayer, ...]:
    """Stack: perhaps a light film, perhaps a companion below or above, and the deposit aimed at."""
    layers: list[DepositLayer] = []
    if aim not in (Deposit.BARE, Deposit.CHALK_WHITE) and rng.random() < 0.75:
        layers.append(_layer(rng, Deposit.LIGHT, float(rng.uniform(0.3, 1.0))))
    elif aim is Deposit.BARE and rng.random() < 0.3:
        layers.append(_layer(rng, Deposit.LIGHT, float(rng.uniform(0.02, 0.25))))
    if aim in (Deposit.BARE, Deposit.LIGHT):
        if aim is Deposit.LIGHT:
            layers.append(_layer(rng, Deposit.LIGHT, float(rng.uniform(0.6, 1.0))))
        trace = float(rng.uniform(0.01, 0.08)) if rng.random() < 0.35 else 0.0
        if trace:
            layers.append(_layer(rng, _companion(rng, aim), trace))
        return tuple(layers)
    cover = _cover(rng, aim)
    main = _layer(rng, aim, max(cover, 0.5) if aim is Deposit.CHALK_WHITE else cover)
    if rng.random() < 0.4:
        other = _layer(rng, _companion(rng, aim), float(rng.uniform(0.05, 0.9)) * cover)
        below = rng.random() < 0.6
        layers += [other, main] if below else [main, replace(other, cover=other.cover * 0.6)]
    else:
        layers.append(main)
    return tuple(layers)


def _companion(rng: np.random.Generator, aim: Deposit) -> Deposit:
    others = COMPANIONS[aim]
    return others[int(rng.integers(len(others)))]


def _layer(rng: np.random.Generator, deposit: Deposit, cover: float) -> DepositLayer:
    """One layer with everything but its kind and cover drawn at random."""

    def u(low: float, high: float) -> float:
        return float(rng.uniform(low, high))

    spread = u(0.3, 1.25) * OFF_THE_NOSE.get(deposit, 1.0)
    return DepositLayer(
        deposit=deposit,
        cover=cover,
        thickness=float(np.clip(0.25 + 0.5 * cover * u(0.2, 1.4) + u(-0.15, 0.3), 0.08, 1.0)),
        patch_mm=float(np.exp(u(np.log(0.8), np.log(6.0)))),
        ring=float(rng.beta(1.1, 0.9)),
        ring_at=float(rng.choice([0.0, 1.0, u(0, 1)], p=[0.3, 0.35, 0.35])),
        side=float(rng.beta(0.6, 1.5)),
        side_azimuth_deg=u(0, 360),
        sharpness=float(rng.beta(0.9, 1.1)),
        light=float(rng.beta(1.3, 1.3)),
        hue=u(0, 1),
        gloss=float(rng.beta(1.2, 1.2)),
        mottle=float(rng.beta(1.2, 1.5)),
        grain_mm=float(np.exp(u(np.log(0.06), np.log(0.4)))),
        on_electrode=float(np.clip(cover * spread * u(0.5, 1.3), 0, 1)),
        on_strap=float(np.clip(cover * spread * u(0.3, 1.3), 0, 1)),
        on_shell=float(np.clip(cover * spread * u(0.2, 1.3), 0, 1)),
    )


OFF_THE_NOSE: dict[Deposit, float] = {Deposit.CHALK_WHITE: 0.0, Deposit.GLAZE: 0.35, Deposit.LIGHT: 0.6}
"""Bleaching is of ceramic only, and glaze keeps mostly to it."""


def _with_heat_signs(rng: np.random.Generator, state: PlugState) -> PlugState:
    """Add the signs that make a white nose chalk white."""
    damage = dict(state.damage)
    for sign, chance in HEAT_SIGNS:
        if rng.random() < chance:
            damage[sign] = max(damage.get(sign, 0.0), float(rng.uniform(0.35, 1.0)))
    rounding = max(state.edge_rounding, float(rng.uniform(0.3, 1.0)) if rng.random() < 0.4 else 0.0)
    ordered = tuple((d, damage[d]) for d in Damage if d in damage)
    return replace(state, damage=ordered, edge_rounding=rounding)
