"""Published values for calibration error and split conformal sets."""

import math

import numpy as np
import pytest
from sklearn.datasets import load_digits
from sklearn.linear_model import LogisticRegression
from sklearn.model_selection import train_test_split

from plugsight.suggestion.conformal import limit, limits, members
from plugsight.training.score import top_label_ece


def test_four_samples_of_a_published_worked_example() -> None:
    # Worked example restated with Guo, Pleiss, Sun, Weinberger, ICML 2017: y = 0 0 1 1, chance 0.8 each -> 0.300.
    assert top_label_ece(np.full(4, 0.8), np.array([0, 0, 1, 1], bool)) == pytest.approx(0.300, abs=1e-5)


def test_nine_samples_with_five_even_bins() -> None:
    # Nine-sample tutorial example, data from memory; 0.10444 recomputed by hand with bins (low, high].
    confidence = np.array([0.78, 0.64, 0.92, 0.58, 0.51, 0.85, 0.70, 0.63, 0.83])
    right = np.array([1, 1, 0, 1, 0, 1, 1, 0, 1], bool)
    assert top_label_ece(confidence, right, edges=np.linspace(0, 1, 6)) == pytest.approx(0.10444, abs=1e-5)


def test_a_perfectly_calibrated_set_has_no_error_and_a_wrong_one_has() -> None:
    assert top_label_ece(np.ones(30), np.ones(30, bool)) == 0
    assert top_label_ece(np.ones(30), np.zeros(30, bool)) == 1


@pytest.mark.parametrize(("n", "alpha", "rank"), [(19, 0.1, 18), (99, 0.1, 90), (100, 0.1, 91)])
def test_the_rank_rule(n: int, alpha: float, rank: int) -> None:
    # Rank ceil((n + 1)(1 - alpha)): conformalprediction.net (Vovk; Angelopoulos and Bates).
    assert limit(np.arange(1.0, n + 1), 1 - alpha) == rank


def test_interpolating_would_cover_too_little() -> None:
    # Scores 1..19 at 90 %: the rule takes 18, where a plain quantile interpolates to 17.2.
    scores = np.arange(1.0, 20)
    assert limit(scores, 0.9) == 18
    assert np.quantile(scores, 0.9) == pytest.approx(17.2)


def test_too_few_calibration_plugs_make_the_set_everything() -> None:
    # n = 8 at 90 %: rank 9 > 8.
    assert math.isinf(limit(np.arange(8.0), 0.9))
    assert len(members(np.array([0.98, 0.01, 0.01]), np.full(3, math.inf))) == 3


def test_mean_coverage_is_rank_over_n_plus_one() -> None:
    # Exact mean k / (n + 1) = 0.900 for n = 19; four standard deviations of a 2,000-draw mean.
    rng = np.random.default_rng(5)
    hits = [rng.random() <= limit(rng.random(19), 0.9) for _ in range(2000)]
    assert np.mean(hits) == pytest.approx(0.9, abs=4 * math.sqrt(0.9 * 0.1 / 2000))


def test_sets_cover_scikit_learns_digits() -> None:
    x, y = load_digits(return_X_y=True)
    x_fit, x_rest, y_fit, y_rest = train_test_split(x / 16, y, train_size=400, random_state=0, stratify=y)
    model = LogisticRegression(max_iter=500).fit(x_fit, y_fit)
    half = len(y_rest) // 2
    chances = model.predict_proba(x_rest)
    scores = 1 - chances[np.arange(len(y_rest)), y_rest]
    thresholds = limits(scores[:half], y_rest[:half], 10, 0.95)
    held = [label in members(c, thresholds) for c, label in zip(chances[half:], y_rest[half:], strict=True)]
    # 95 % wanted; about 700 test digits, calibration and test spread together about 1.2 points.
    assert 0.91 < np.mean(held) < 0.99
