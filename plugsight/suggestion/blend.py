"""A classifier on measured features, blended with what the learned look says."""

from typing import Any

import numpy as np
from numpy.typing import NDArray
from sklearn.base import BaseEstimator, ClassifierMixin

FLOOR = 1e-6
"""Least chance of either half, so that neither can veto the other."""


class Blend(ClassifierMixin, BaseEstimator):  # type: ignore[misc] # scikit-learn has no types
    """Weighted mean of the log-chances of ``base`` and of the look columns.

    ``base`` (unfitted; any scikit-learn classifier that gives chances) learns from all columns but ``look`` and ``hidden``:
    fitted beside the look, it would learn to lean on it alone.
    ``look`` maps a class to its column; ``mix`` is the look's weight, 0..1. Where a row has no look (NaN), or ``look`` is
    empty, the answer is ``base``'s.
    """

    def __init__(self, base: Any, look: dict[str, int], mix: float, hidden: tuple[int, ...] = ()) -> None:
        self.base = base
        self.look = look
        self.mix = mix
        self.hidden = hidden

    def fit(self, x: NDArray[np.float32], y: NDArray[Any]) -> "Blend":
        """Fit ``base`` on rows ``x`` ``(n, columns)`` without the look."""
        self.base.fit(self.plain(x), y)
        self.classes_ = self.base.classes_
        return self

    def predict_proba(self, x: NDArray[np.float32]) -> NDArray[np.float64]:
        """Chances ``(n, classes)`` in the order of ``classes_``."""
        base = np.asarray(self.base.predict_proba(self.plain(x)), np.float64)
        if not all(str(c) in self.look for c in self.classes_):
            return base
        look = np.asarray(x[:, [self.look[str(c)] for c in self.classes_]], np.float64)
        logs = (1 - self.mix) * np.log(np.clip(base, FLOOR, 1)) + self.mix * np.log(np.clip(look, FLOOR, 1))
        blended = np.exp(logs - logs.max(axis=1, keepdims=True))
        blended /= blended.sum(axis=1, keepdims=True)
        return np.where(np.isnan(blended), base, blended)

    def plain(self, x: NDArray[np.float32]) -> NDArray[np.float32]:
        """Columns of ``x`` that ``base`` learns from."""
        return np.delete(x, sorted({*self.look.values(), *self.hidden}), axis=1)
