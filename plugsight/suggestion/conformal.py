"""Split conformal sets: which deposits can't be ruled out at a stated coverage.

Rank rule: the limit is the ceil((n + 1) * coverage)-th smallest calibration score (Vovk, Gammerman, Shafer 2005; the
rule as printed on conformalprediction.net). The guarantee is an average over plugs exchangeable with the calibration
plugs; it says nothing of one plug, and calibration on rendered plugs says nothing of real photographs.
"""

import math

import numpy as np
from numpy.typing import NDArray

LEAST_PER_CLASS = 80
"""Calibration plugs a class needs for a threshold of its own; with fewer the common one serves. Own choice: a threshold set on n
plugs covers a share that spreads as Beta(k, n + 1 - k), 2.5 points at 80. Tried on the calibration plugs alone (707, nine tenths set
the thresholds, the rest were covered, 5 times over, 2026-11-26): with 60, scaled to the nine tenths, sets had 3.2 members (an abstention
counted as 12), 0.091 of the plugs none to show; with 80, 2.7 and 0.062; the least covered deposit had 0.92 each time."""


def scores_of(truth: NDArray[np.float64], chances: NDArray[np.float64]) -> NDArray[np.float64]:
    """Least limit ``(n,)`` at which each set holds the truth, or names more than half of all classes and so is an abstention.

    ``truth`` ``(n,)`` is the chance given to the right class, ``chances`` ``(n, classes)``. An abstention rules nothing out: it
    counts as the full set, so sets still only grow with the limit, and the rank rule holds.
    """
    one_too_many = np.sort(chances, axis=1)[:, -(chances.shape[1] // 2 + 1)]
    return np.asarray(1 - np.maximum(truth, one_too_many), np.float64)


def limit(scores: NDArray[np.float64], coverage: float) -> float:
    """Return the conformal limit of ``scores`` ``(n,)``; infinity (every set is everything) where n is too small."""
    rank = math.ceil((scores.size + 1) * coverage - 1e-9)
    if rank > scores.size:
        return math.inf
    return float(np.sort(scores)[rank - 1])


def limits(
    scores: NDArray[np.float64], labels: NDArray[np.intp], classes: int, coverage: float
) -> NDArray[np.float64]:
    """Return one limit per class ``(classes,)`` from calibration scores ``(n,)`` and true class numbers ``(n,)``."""
    common = limit(scores, coverage)
    own = [scores[labels == k] for k in range(classes)]
    return np.array([limit(s, coverage) if s.size >= LEAST_PER_CLASS else common for s in own])


def members(chances: NDArray[np.float64], thresholds: NDArray[np.float64]) -> NDArray[np.intp]:
    """Class numbers in the set, most likely first; the top class is always in (an empty set helps nobody)."""
    order = np.argsort(-chances, kind="stable")
    kept = [k for k in order if 1.0 - chances[k] <= thresholds[k]]
    return np.array(kept or order[:1], np.intp)
