"""From rows of features to calibrated chances of one plug, its views pooled."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.distance import cdist

from plugsight.features import Features
from plugsight.suggestion.model import DepositModel, Novelty
from plugsight.view.record import ViewKind

KINDS = (ViewKind.SIDE, ViewKind.OBLIQUE, ViewKind.END)
FLOOR = 1e-6
"""Least chance a single view can give, so that one view can't veto all others."""


def rows_of(model: DepositModel, views: Sequence[Features]) -> NDArray[np.float32]:
    """Rows ``(views, features + 3)`` float32 in the model's column order; NaN where not measured."""
    out = np.empty((len(views), len(model.names) + len(KINDS)), np.float32)
    for row, view in zip(out, views, strict=True):
        values = {entry.name: entry.value for entry in view.values}
        row[: len(model.names)] = [values[name] for name in model.names]
        row[len(model.names) :] = [view.kind is kind for kind in KINDS]
    return out


def view_logs(model: DepositModel, rows: NDArray[np.float32]) -> NDArray[np.float64]:
    """Log-chances ``(views, classes)`` of each view on its own, before temperature."""
    return np.asarray(np.log(np.clip(model.estimator.predict_proba(rows), FLOOR, 1.0)), np.float64)


def pool(logs: NDArray[np.float64], temperature: float, prior: NDArray[np.float64]) -> NDArray[np.float64]:
    """Chances ``(classes,)`` of one plug from its views' log-chances ``(views, classes)``.

    The mean of the log-chances treats views of one plug as looks at the same thing, not as independent evidence.
    ``prior`` ``(classes,)`` multiplies the chances relative to an even prior.
    """
    pooled = logs.mean(axis=0) / temperature + np.log(np.clip(prior, FLOOR, None))
    chances = np.exp(pooled - pooled.max())
    return np.asarray(chances / chances.sum(), np.float64)


def distance(novelty: Novelty, rows: NDArray[np.float32]) -> NDArray[np.float64]:
    """Mean distance ``(views,)`` of each row to the nearest learnt rows, in standard deviations per feature."""
    width = novelty.centre.size
    scaled = np.nan_to_num((rows[:, :width] - novelty.centre) / novelty.spread)
    gaps = cdist(scaled, novelty.rows) / np.sqrt(width)
    near = min(novelty.near, gaps.shape[1])
    return np.asarray(np.sort(gaps, axis=1)[:, :near].mean(axis=1), np.float64)
