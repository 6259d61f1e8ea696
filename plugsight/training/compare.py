"""Honest comparison of families: grouped cross-validation, so that no design stands on both sides."""

from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray
from sklearn.metrics import balanced_accuracy_score, log_loss
from sklearn.model_selection import StratifiedGroupKFold

from plugsight.spread import spread
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


def compare(
    table: FeatureTable, *, folds: int = 4, seed: int = 1, workers: int = 1, scheduler: str = ""
) -> tuple[FamilyScore, ...]:
    """Score every family on ``table`` by ``folds``-fold cross-validation over its groups; best log-loss first.

    Blended with the learned look, as they are used; no look network was fitted on these plugs. Families and folds are fitted as
    ``spread`` does with ``workers`` or ``scheduler``.
    """
    x, y = matrix(table), table.deposit
    classes = tuple(sorted(set(y)))
    splits = list(StratifiedGroupKFold(folds, shuffle=True, random_state=seed).split(x, y, table.group))
    jobs = [(name, train, test) for name in FAMILIES for train, test in splits]
    logs = {name: np.full((len(table), len(classes)), np.log(FLOOR)) for name in FAMILIES}
    found = spread(
        partial(_left_out, table=table, classes=classes, seed=seed),
        jobs,
        workers=workers,
        scheduler=scheduler,
    )
    for (name, _, test), told in zip(jobs, found, strict=True):
        logs[name][test] = told
    plugs = plugs_of(table, classes)
    scores = []
    for name in FAMILIES:
        chances = softened(pooled_logs(logs[name], plugs), 1.0)
        scores.append(
            FamilyScore(
                name,
                float(balanced_accuracy_score(plugs.label, chances.argmax(axis=1))),
                float(log_loss(plugs.label, chances, labels=np.arange(len(classes)))),
            )
        )
    return tuple(sorted(scores, key=lambda s: s.log_loss))


def _left_out(
    job: tuple[str, NDArray[np.intp], NDArray[np.intp]],
    table: FeatureTable,
    classes: tuple[str, ...],
    seed: int,
) -> NDArray[np.float64]:
    """Log-chances ``(views left out, classes)`` of one family fitted without one fold."""
    name, train, test = job
    kept = table.where(np.isin(np.arange(len(table)), train))
    fitted = fit_family(name, kept, kept.deposit, seed=seed)
    logs = np.full((len(test), len(classes)), np.log(FLOOR))
    logs[:, [classes.index(str(c)) for c in fitted.classes_]] = np.log(
        np.clip(fitted.predict_proba(matrix(table)[test]), FLOOR, 1)
    )
    return logs
