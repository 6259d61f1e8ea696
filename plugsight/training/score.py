"""Every figure a model is judged by, computed on plugs it never saw."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plugsight.suggestion.chances import distance, view_logs
from plugsight.suggestion.conformal import members
from plugsight.suggestion.model import DepositModel
from plugsight.training.plugs import chance_of_truth, matrix, plugs_of, pooled_logs, softened
from plugsight.training.table import FeatureTable

MODERATE = 0.35
"""Severity from which a deposit counts as moderate (the label rule of data_synthetic)."""


@dataclass(frozen=True, slots=True, eq=False)
class Scores:
    """Figures on one set of plugs; an abstention counts as wrong, and as the full set.

    ``confusion`` ``(classes, classes + 1)`` counts truth by suggestion, abstentions last; a mixed plug counts as right
    with either of its labels.
    """

    plugs: int
    classes: tuple[str, ...]
    confusion: NDArray[np.int64]
    balanced: tuple[float, float, float]
    """Balanced accuracy with its 95 % bootstrap bounds."""
    balanced_moderate: tuple[float, float, float]
    recall: tuple[float, ...]
    abstained: float
    ece: float
    log_loss: float
    covered: float
    covered_by_class: tuple[float, ...]
    set_size: float


def score(model: DepositModel, table: FeatureTable, *, seed: int = 1) -> Scores:
    """Score ``model`` on all plugs of ``table``."""
    names = tuple(str(c) for c in model.classes)
    plugs, x = plugs_of(table, names), matrix(table)
    chances = softened(pooled_logs(view_logs(model, x), plugs), model.temperature)
    known = distance(model.novelty, x) <= model.novelty.limit
    silent = np.array([not known[rows].any() for rows in plugs.rows])
    sets = [members(c, model.thresholds) for c in chances]
    silent |= np.array([len(s) > len(names) / 2 for s in sets])
    top = chances.argmax(axis=1)
    right = (top == plugs.label) | (top == plugs.second)
    said = np.where(right, plugs.label, top)
    said[silent] = len(names)
    confusion = np.zeros((len(names), len(names) + 1), np.int64)
    np.add.at(confusion, (plugs.label, said), 1)
    hit = (
        np.array([(p in s) or (q in s) for p, q, s in zip(plugs.label, plugs.second, sets, strict=True)])
        | silent
    )
    size = np.where(silent, len(names), [len(s) for s in sets])
    good = right & ~silent
    moderate = plugs.severity >= MODERATE
    return Scores(
        plugs=len(plugs),
        classes=names,
        confusion=confusion,
        balanced=_balanced(good, plugs.label, len(names), seed),
        balanced_moderate=_balanced(good[moderate], plugs.label[moderate], len(names), seed),
        recall=tuple(
            float(good[plugs.label == k].mean()) if (plugs.label == k).any() else np.nan
            for k in range(len(names))
        ),
        abstained=float(silent.mean()),
        ece=top_label_ece(chances.max(axis=1), right),
        log_loss=float(-np.log(np.clip(chance_of_truth(chances, plugs), 1e-12, 1)).mean()),
        covered=float(hit.mean()),
        covered_by_class=tuple(
            float(hit[plugs.label == k].mean()) if (plugs.label == k).any() else np.nan
            for k in range(len(names))
        ),
        set_size=float(size.mean()),
    )


def _balanced(
    good: NDArray[np.bool_], label: NDArray[np.intp], classes: int, seed: int
) -> tuple[float, float, float]:
    """Mean recall over the classes present, with bounds from 1,000 bootstrap draws within classes."""
    groups = [good[label == k] for k in range(classes) if (label == k).any()]
    if not groups:
        return (np.nan, np.nan, np.nan)
    rng = np.random.default_rng(seed)
    draws = np.mean([rng.choice(g, (1000, g.size)).mean(axis=1) for g in groups], axis=0)
    low, high = np.quantile(draws, [0.025, 0.975])
    return float(np.mean([g.mean() for g in groups])), float(low), float(high)


def top_label_ece(
    confidence: NDArray[np.float64],
    right: NDArray[np.bool_],
    bins: int = 15,
    edges: NDArray[np.float64] | None = None,
) -> float:
    """Expected calibration error of the top label (Guo et al., ICML 2017, eq. 3).

    ``confidence`` and ``right`` are ``(n,)``. Bins hold equal mass unless ``edges`` are given; a value on an edge
    belongs to the bin below, (low, high], and equal values never part.
    """
    cuts = np.quantile(confidence, np.linspace(0, 1, bins + 1)) if edges is None else edges
    number = np.searchsorted(cuts[1:-1], confidence, side="left")
    parts = [number == k for k in np.unique(number)]
    return float(sum(p.sum() * abs(right[p].mean() - confidence[p].mean()) for p in parts) / confidence.size)
