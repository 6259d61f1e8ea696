"""Made-up tables and a model fitted on them, shared by suggestion and training."""

from collections.abc import Callable

import numpy as np
import pytest

from plugsight.features.catalogue import CANONICAL_NAMES, catalogue_digest
from plugsight.features.look import LOOK, SIGN, sign_name
from plugsight.suggestion.model import DepositModel
from plugsight.training.fit import fit
from plugsight.training.table import FeatureTable
from plugsight.vocabulary.damage import Damage

BLUED = sign_name(Damage.BLUED_METAL)
NAMES = (*CANONICAL_NAMES[:45], BLUED)
"""Fewer features than the catalogue has: fitting then takes a fraction of a second."""
DEPOSITS = ("light", "dry carbon", "wet oil", "chalk white", "bare")


def made_up(plugs: int, seed: int, split: str, names: tuple[str, ...] = NAMES) -> FeatureTable:
    """Each deposit pulls three features of its own apart from the rest; blued metal leaves its sign."""
    rng = np.random.default_rng(seed)
    width = len(names)
    label = rng.integers(0, len(DEPOSITS), plugs)
    views = np.repeat(np.arange(plugs), 2)
    values = rng.normal(0, 1, (2 * plugs, width)).astype(np.float32)
    for k in range(len(DEPOSITS)):
        values[label[views] == k, 3 * k : 3 * k + 3] += 1.5
    values[rng.random(values.shape) < 0.05] = np.nan
    values[:, [name.startswith((LOOK, SIGN)) for name in names]] = np.nan  # no picture, so no look
    hurt = rng.random(plugs) < 0.3
    if BLUED in names:
        values[:, names.index(BLUED)] = np.where(hurt[views], 0.8, 0.1) + rng.uniform(-0.1, 0.1, 2 * plugs)
    return FeatureTable(
        names=names,
        damages=("blued metal",),
        values=values,
        kind=np.tile(["side", "end"], plugs),
        plug=np.array([f"{split}{i}" for i in views]),
        group=np.array([f"{split}{i % 20}" for i in views]),
        split=np.full(2 * plugs, split),
        deposit=np.array(DEPOSITS)[label[views]],
        second=np.full(2 * plugs, ""),
        severity=rng.random(2 * plugs).astype(np.float32),
        damage=hurt[views][:, None],
        catalogue=catalogue_digest(),
    )


@pytest.fixture(scope="session")
def make_up() -> Callable[..., FeatureTable]:
    return made_up


@pytest.fixture(scope="session")
def train() -> FeatureTable:
    return made_up(160, 1, "train")


@pytest.fixture(scope="session")
def calibration() -> FeatureTable:
    return made_up(400, 2, "calibration")


@pytest.fixture(scope="session")
def held_out() -> FeatureTable:
    return made_up(300, 3, "test")


@pytest.fixture(scope="session")
def model(train: FeatureTable, calibration: FeatureTable) -> DepositModel:
    return fit(train, calibration, family="logistic regression")
