"""A model is promoted only when blind labels prove it better."""

import numpy as np
import pytest

from plugsight.training.promotion import coverage_spread, decide_promotion

SOOT = np.full(60, "dry carbon")


def right(*, of: int, count: int = 60) -> np.ndarray:
    return np.arange(count) < of


def test_below_thirty_blind_plugs_nothing_is_decided() -> None:
    made = decide_promotion(right(of=0, count=29), right(of=29, count=29), SOOT[:29])
    assert not made.promote
    assert made.words == "not enough yet: 29 blind test plugs, 1 more needed"


def test_a_clearly_better_model_is_promoted() -> None:
    made = decide_promotion(right(of=40), right(of=52), SOOT)
    # 12 better, 0 worse: two-sided exact binomial 2 * 0.5 ** 12 = 0.00049
    assert made.p_value == pytest.approx(2 * 0.5**12)
    assert made.promote
    assert made.difference[0] == pytest.approx(0.2)


def test_five_better_of_five_is_not_enough() -> None:
    made = decide_promotion(right(of=40), right(of=45), SOOT)
    # 2 * 0.5 ** 5 = 0.0625
    assert made.p_value == pytest.approx(0.0625)
    assert not made.promote


def test_one_deposit_losing_stops_it() -> None:
    label = np.r_[np.full(50, "dry carbon"), np.full(10, "ash")]
    old, new = np.r_[np.zeros(50, bool), np.ones(10, bool)], np.r_[np.ones(50, bool), np.zeros(10, bool)]
    made = decide_promotion(old, new, label)
    assert made.words == "not promoted: ash would lose more than 5 points"
    assert not made.promote


def test_the_same_model_is_not_better_than_itself() -> None:
    made = decide_promotion(right(of=40), right(of=40), SOOT)
    assert (made.promote, made.p_value) == (False, 1.0)


def test_mean_coverage_is_the_published_rank_over_n_plus_one() -> None:
    # ceil((n + 1) 0.95) / (n + 1): n = 19 -> 19/20, n = 100 -> 96/101
    assert coverage_spread(19)[0] == pytest.approx(19 / 20)
    assert coverage_spread(100)[0] == pytest.approx(96 / 101)
    assert coverage_spread(18) == (1.0, 1.0, 1.0)
