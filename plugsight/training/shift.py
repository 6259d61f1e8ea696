"""How much a shop's own confirmed photos win back where its photos differ from everything learnt before."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from plugsight.training.fit import fit
from plugsight.training.reweigh import reweigh
from plugsight.training.score import score
from plugsight.training.table import FeatureTable

TEST_PLUGS = 700


@dataclass(frozen=True, slots=True)
class Recovery:
    """With ``photos`` confirmed plugs of the shift domain: balanced accuracy there, and at home, one value a draw."""

    photos: int
    shifted: tuple[float, ...]
    home: tuple[float, ...]
    weights: tuple[float, ...]


def recover(
    table: FeatureTable,
    *,
    family: str,
    sizes: tuple[int, ...] = (20, 50, 100),
    draws: int = 10,
    seed: int = 1,
) -> Iterator[Recovery]:
    """Yield, for no photo and each size, the figures of models learnt with that many confirmed plugs of split ``shift``.

    ``TEST_PLUGS`` shifted plugs are the fixed test set; the confirmed ones are drawn from the others.
    """
    train, calibration, test, shift = (
        table.where(table.split == s) for s in ("train", "calibration", "test", "shift")
    )
    names = np.unique(shift.plug)
    order = np.random.default_rng(seed).permutation(names)
    fixed = shift.where(np.isin(shift.plug, order[:TEST_PLUGS]))
    spare = order[TEST_PLUGS:]
    plain = fit(train, calibration, family=family, seed=seed)
    yield Recovery(0, (score(plain, fixed).balanced[0],), (score(plain, test).balanced[0],), (0.0,))
    for size in sizes:
        lines = []
        for draw in range(draws):
            chosen = np.random.default_rng([seed, size, draw]).choice(
                spare, min(size, len(spare)), replace=False
            )
            own = reweigh(
                train, calibration, shift.where(np.isin(shift.plug, chosen)), family=family, seed=seed
            )
            made = fit(train, calibration, family=family, seed=seed, own=own)
            lines.append((score(made, fixed).balanced[0], score(made, test).balanced[0], own.weight))
        shifted, home, weights = zip(*lines, strict=True)
        yield Recovery(size, shifted, home, weights)
