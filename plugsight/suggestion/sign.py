"""A damage finding from what the learned look says of it: its chance, set right on plugs that the network never saw."""

from typing import Any

import numpy as np
from numpy.typing import NDArray
from sklearn.base import BaseEstimator, ClassifierMixin
from sklearn.linear_model import LogisticRegression

LEAST = 1e-4


class Sign(ClassifierMixin, BaseEstimator):  # type: ignore[misc] # scikit-learn has no types
    """Chance of one damage from its sign in ``column``: a logistic curve over the sign's log-odds (Platt 1999).

    A row without a sign (NaN) has the chance 0: nothing was looked at, so nothing is said.
    """

    def __init__(self, column: int) -> None:
        self.column = column

    def fit(self, x: NDArray[np.float32], y: NDArray[np.bool_]) -> "Sign":
        """Fit the curve on those rows of ``x`` ``(n, columns)`` that have a sign; ``y`` ``(n,)``: damaged."""
        odds, seen = self._odds(x)
        self.curve_ = LogisticRegression().fit(odds[seen], y[seen])
        return self

    def predict_proba(self, x: NDArray[np.float32]) -> NDArray[np.float64]:
        """Chances ``(n, 2)`` of no damage and of damage."""
        odds, seen = self._odds(x)
        chance = np.where(seen, self.curve_.predict_proba(odds)[:, 1], 0.0)
        return np.stack([1 - chance, chance], axis=1)

    def _odds(self, x: NDArray[np.float32]) -> tuple[NDArray[Any], NDArray[np.bool_]]:
        sign = np.asarray(x[:, self.column], np.float64)
        seen = ~np.isnan(sign)
        kept = np.clip(np.where(seen, sign, 0.5), LEAST, 1 - LEAST)
        return np.log(kept / (1 - kept))[:, None], seen
