"""How much a confirmed photo counts: chosen on engines left out, never by taste."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from sklearn.base import ClassifierMixin
from sklearn.model_selection import GroupKFold

from plugsight.suggestion.blend import Blend
from plugsight.suggestion.chances import FLOOR
from plugsight.training.correct import correct
from plugsight.training.families import fit_family
from plugsight.training.fit import Own
from plugsight.training.plugs import chance_of_truth, matrix, plugs_of, pooled_logs, softened
from plugsight.training.table import FeatureTable

WEIGHTS = (0.25, 0.5, 1.0)
FOLDS = 3
MOST_LOST = 0.01
"""Share right that the calibration plugs of the original domain may lose by learning from confirmed photos."""


def reweigh(
    train: FeatureTable,
    calibration: FeatureTable,
    own: FeatureTable,
    *,
    family: str,
    weights: Sequence[float] = WEIGHTS,
    seed: int = 1,
) -> Own:
    """Try ``weights`` by cross-validation over the engines of ``own``; keep the one with the least log-loss there.

    A weight under which the calibration plugs lose more than ``MOST_LOST`` of their share right, against a fit without
    ``own``, is not taken; where all do, the least weight is. With a single engine its plugs take the place of engines.
    """
    base = fit_family(family, train, train.deposit, seed=seed)
    classes = tuple(map(str, base.classes_))
    groups = own.group if len(set(own.group)) >= FOLDS else own.plug
    folds = min(FOLDS, len(set(groups)))
    least = _share_right(base, calibration, classes) - MOST_LOST
    tried = []
    for weight in weights:
        logs, home = _left_out(base, train, calibration, own, groups, folds, weight, classes)
        plugs = plugs_of(own, classes)
        loss = -np.log(
            np.clip(chance_of_truth(softened(pooled_logs(logs, plugs), 1.0), plugs), 1e-12, 1)
        ).mean()
        tried.append((float(loss), home, weight))
    bearable = [one for one in tried if one[1] >= least] or tried[:1]
    return Own(own, min(bearable)[2])


def _left_out(
    base: Blend,
    train: FeatureTable,
    calibration: FeatureTable,
    own: FeatureTable,
    groups: NDArray[np.str_],
    folds: int,
    weight: float,
    classes: tuple[str, ...],
) -> tuple[NDArray[np.float64], float]:
    """Log-chances ``(views, classes)`` of ``own`` by corrections without their group, and the share right at home."""
    logs = np.full((len(own), len(classes)), np.log(FLOOR))
    home = []
    splits = GroupKFold(folds).split(own.values, groups=groups) if folds > 1 else [([], np.arange(len(own)))]
    for kept, out in splits:
        made = (
            correct(base, train, own.where(np.isin(np.arange(len(own)), kept)), weight) if len(kept) else base
        )
        logs[out] = np.log(np.clip(made.predict_proba(matrix(own)[out]), FLOOR, 1))
        home.append(_share_right(made, calibration, classes))
    return logs, float(np.mean(home))


def _share_right(made: ClassifierMixin, table: FeatureTable, classes: tuple[str, ...]) -> float:
    """Share of the plugs of ``table`` whose likeliest deposit is right."""
    plugs = plugs_of(table, classes)
    logs = np.log(np.clip(made.predict_proba(matrix(table)), FLOOR, 1))
    top = pooled_logs(logs, plugs).argmax(axis=1)
    return float(((top == plugs.label) | (top == plugs.second)).mean())
