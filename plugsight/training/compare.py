"""Honest comparison of families: grouped cross-validation, so that no design stands on both sides."""

from dataclasses import dataclass

import numpy as np
from sklearn.metrics import balanced_accuracy_score, log_loss
from sklearn.model_selection import StratifiedGroupKFold

from plugsight.suggestion.chances import FLOOR
from plugsight.training.families import FAMILIES, fit_family
from plugsight.training.plugs import matrix, plugs_of, pooled_logs, softened
from plugsight.training.table import FeatureTable


@dataclass(frozen=True, slots=True)
class FamilyScore:
    """Cross-validated scores of one family over plugs (views pooled)."""

    name: str
    balanced_accuracy: float
    log_loss: float


def compare(table: FeatureTable, *, folds: int = 4, seed: int = 1) -> tuple[FamilyScore, ...]:
    """Score every family on ``table`` by ``folds``-fold cross-validation over its groups; best log-loss first.

    By the measured features alone: the look network has seen the training crops.
    """
    x, y = matrix(table), table.deposit
    classes = tuple(sorted(set(y)))
    splits = list(StratifiedGroupKFold(folds, shuffle=True, random_state=seed).split(x, y, table.group))
    scores = []
    for name in FAMILIES:
        logs = np.full((len(table), len(classes)), np.log(FLOOR))
        for train, test in splits:
            fitted = fit_family(name, table.where(train), y[train], seed=seed, mix=0.0)
            columns = [classes.index(c) for c in fitted.classes_]
            logs[np.ix_(test, columns)] = np.log(np.clip(fitted.predict_proba(x[test]), FLOOR, 1))
        plugs = plugs_of(table, classes)
        chances = softened(pooled_logs(logs, plugs), 1.0)
        scores.append(
            FamilyScore(
                name,
                float(balanced_accuracy_score(plugs.label, chances.argmax(axis=1))),
                float(log_loss(plugs.label, chances, labels=np.arange(len(classes)))),
            )
        )
    return tuple(sorted(scores, key=lambda s: s.log_loss))
