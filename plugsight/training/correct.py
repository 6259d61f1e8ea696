"""Learn from confirmed photos what a model mistakes in a shop's own pictures, and which pictures are of that kind."""

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize
from sklearn.impute import SimpleImputer
from sklearn.linear_model import LogisticRegression
from sklearn.pipeline import make_pipeline
from sklearn.preprocessing import StandardScaler

from plugsight.suggestion.blend import Blend
from plugsight.suggestion.corrected import Corrected, logs_of, measured
from plugsight.training.plugs import matrix
from plugsight.training.table import FeatureTable

HOLD_TURN, HOLD_OFFSET, HOLD_REACH = 1.0, 0.3, 30.0
"""How strongly a correction is held to none: factors on the squares of its numbers, beside a log-loss of one a photo and unit
of weight. Chosen, as the strength of the gate and the weights to try, on the 246 plugs of the shift domain that no
figure is computed on (2026-11-26)."""
GATE_STRENGTH = 0.01


def correct(base: Blend, train: FeatureTable, own: FeatureTable, weight: float) -> Corrected:
    """Correct ``base``, fitted on ``train``, by the confirmed photos ``own``, each counting ``weight``.

    A ridge regression towards no correction (maximum a posteriori with a normal prior): with few photos it changes little. The
    gate is a logistic regression that tells ``own`` from ``train``; how often it expects a photo of the shop lies half-way (in
    log-odds) between their share among these photos and even. Every deposit of ``own`` must be one of
    ``base``'s; a single photo is enough.
    """
    x = matrix(own)
    plain, mine = base.plain(matrix(train)), base.plain(x)
    scale = make_pipeline(SimpleImputer(strategy="median", keep_empty_features=True), StandardScaler())
    scale.fit(plain)
    seen = measured(base, scale, x)
    half_way = {0: 1.0, 1: float(np.sqrt(len(plain) / len(mine)))}
    gate = LogisticRegression(C=GATE_STRENGTH, max_iter=500, class_weight=half_way)
    gate.fit(
        np.concatenate([measured(base, scale, matrix(train)), seen]),
        np.r_[np.zeros(len(plain), int), np.ones(len(mine), int)],
    )
    classes = [str(c) for c in base.classes_]
    label = np.array([classes.index(str(d)) for d in own.deposit])
    turn, reach, offset = _fitted(logs_of(base.predict_proba(x)), seen, label, weight)
    return Corrected(base, scale, gate, turn, reach, offset)


def _fitted(
    logs: NDArray[np.float64], seen: NDArray[np.float64], label: NDArray[np.intp], weight: float
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """``turn``, ``reach`` and ``offset`` with the least penalised log-loss."""
    k, width = logs.shape[1], seen.shape[1]
    put_in = np.concatenate([logs, seen, np.ones((len(logs), 1))], axis=1)
    hold = np.r_[np.full(k, HOLD_TURN), np.full(width, HOLD_REACH), HOLD_OFFSET][:, None]
    truth = np.eye(k)[label]

    def loss(flat: NDArray[np.float64]) -> tuple[float, NDArray[np.float64]]:
        change = flat.reshape(-1, k)
        told = logs + put_in @ change
        told = told - told.max(axis=1, keepdims=True)
        chances = np.exp(told)
        chances /= chances.sum(axis=1, keepdims=True)
        missed = -np.log(np.clip((chances * truth).sum(axis=1), 1e-12, None)).sum()
        slope = weight * put_in.T @ (chances - truth) + 2 * hold * change
        return float(weight * missed + (hold * change**2).sum()), slope.ravel()

    found = minimize(loss, np.zeros(put_in.shape[1] * k), jac=True, method="L-BFGS-B").x.reshape(-1, k)
    return found[:k], found[k:-1], found[-1]
