"""Blending is a weighted mean of log-chances; training never sees the look's columns."""

import numpy as np
import pytest
from sklearn.linear_model import LogisticRegression

from plugsight.suggestion.blend import FLOOR, Blend

RNG = np.random.default_rng(5)
X = RNG.normal(0, 1, (90, 4)).astype(np.float32)
Y = np.array(["ash", "bare", "lead"])[np.argmax(X[:, :3], axis=1)]
LOOKS = RNG.dirichlet([1, 1, 1], 90).astype(np.float32)
ROWS = np.concatenate([X[:, :2], LOOKS, X[:, 2:]], axis=1)
COLUMNS = {"ash": 2, "bare": 3, "lead": 4}


def blend(mix: float) -> Blend:
    return Blend(LogisticRegression(), COLUMNS, mix).fit(ROWS, Y)


def test_without_weight_for_the_look_it_is_the_base() -> None:
    plain = LogisticRegression().fit(X, Y)
    np.testing.assert_allclose(blend(0.0).predict_proba(ROWS), plain.predict_proba(X), atol=1e-6)


def test_with_all_the_weight_it_is_the_look() -> None:
    np.testing.assert_allclose(blend(1.0).predict_proba(ROWS), np.clip(LOOKS, FLOOR, 1), atol=1e-4)


def test_between_them_odds_multiply() -> None:
    # Odds of two classes are the geometric mean of both halves' odds (logarithmic opinion pool, Genest & Zidek 1986).
    half, base = blend(0.5).predict_proba(ROWS), blend(0.0).predict_proba(ROWS)
    expected = np.sqrt(base[:, 0] / base[:, 1] * LOOKS[:, 0] / LOOKS[:, 1])
    np.testing.assert_allclose(half[:, 0] / half[:, 1], expected, rtol=1e-4)


def test_a_row_without_a_look_gets_the_base_answer() -> None:
    rows = ROWS.copy()
    rows[7, 2:5] = np.nan
    np.testing.assert_allclose(blend(0.6).predict_proba(rows)[7], blend(0.0).predict_proba(ROWS)[7])


@pytest.mark.parametrize("mix", [0.0, 0.6, 1.0])
def test_chances_sum_to_one(mix: float) -> None:
    np.testing.assert_allclose(blend(mix).predict_proba(ROWS).sum(axis=1), 1)


def test_findings_that_are_no_deposits_are_the_base_answer() -> None:
    made = Blend(LogisticRegression(), COLUMNS, 0.6).fit(ROWS, Y == "ash")
    assert made.predict_proba(ROWS).shape == (90, 2)
