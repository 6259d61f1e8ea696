"""A classifier as a shop's own confirmed photos correct it, as far as a photo looks like one of theirs."""

from typing import Any

import numpy as np
from numpy.typing import NDArray
from sklearn.base import BaseEstimator, ClassifierMixin

from plugsight.suggestion.blend import Blend

LEAST = 1e-3
"""Chances below it count as it: a correction learnt from few photos must not hang on how sure a denial was."""


class Corrected(ClassifierMixin, BaseEstimator):  # type: ignore[misc] # scikit-learn has no types
    """Mixture of two answers: what ``base`` says, and what it says once corrected; weighed by whose photo it seems to be.

    Corrected log-chances are ``logs + logs @ turn + measured @ reach + offset``; ``turn`` ``(k, k)`` and ``offset`` ``(k,)``
    retell what is mistaken for what, ``reach`` ``(features, k)`` adds what the measured features say. ``scale`` (fitted)
    fills and standardises the measured features, ``gate`` (fitted) tells from them the chance that a photo is of the kind that the
    correction was learnt from. All zero: the answer is ``base``'s.
    """

    def __init__(
        self,
        base: Blend,
        scale: Any,
        gate: Any,
        turn: NDArray[np.float64],
        reach: NDArray[np.float64],
        offset: NDArray[np.float64],
    ) -> None:
        self.base = base
        self.scale = scale
        self.gate = gate
        self.turn = turn
        self.reach = reach
        self.offset = offset

    @property
    def classes_(self) -> NDArray[Any]:
        """Deposits in the order of the chances."""
        return np.asarray(self.base.classes_)

    def predict_proba(self, x: NDArray[np.float32]) -> NDArray[np.float64]:
        """Chances ``(n, classes)`` in the order of ``classes_``."""
        plain = self.base.predict_proba(x)
        seen = measured(self.base, self.scale, x)
        logs = logs_of(plain)
        corrected = np.exp(_log_softmax(logs + logs @ self.turn + seen @ self.reach + self.offset))
        own = np.asarray(self.gate.predict_proba(seen)[:, 1:], np.float64)
        return np.asarray(own * corrected + (1 - own) * plain, np.float64)


MOST = 4.0
"""Standard deviations beyond which a measured feature counts as no stranger."""


def measured(base: Blend, scale: Any, x: NDArray[np.float32]) -> NDArray[np.float64]:
    """Measured features of rows ``x`` as ``scale`` standardises them, cut at ``MOST``."""
    return np.clip(np.asarray(scale.transform(base.plain(x)), np.float64), -MOST, MOST)


def logs_of(chances: NDArray[np.float64]) -> NDArray[np.float64]:
    """Log-chances as a correction takes them."""
    return np.asarray(np.log(np.clip(chances, LEAST, 1.0)), np.float64)


def _log_softmax(logs: NDArray[np.float64]) -> NDArray[np.float64]:
    shifted = logs - logs.max(axis=1, keepdims=True)
    return np.asarray(shifted - np.log(np.exp(shifted).sum(axis=1, keepdims=True)), np.float64)
