"""A damage finding follows its sign, is calibrated, and says nothing where nothing was looked at."""

import numpy as np
import pytest

from plugsight.suggestion.sign import Sign
from plugsight.training.fit import LEAST_ALARMS, LEAST_PRECISION, _shown_from

RNG = np.random.default_rng(3)
SIGN = RNG.uniform(0, 1, 4000).astype(np.float32)
ROWS = np.stack([RNG.normal(0, 1, 4000).astype(np.float32), SIGN], axis=1)
THERE = RNG.random(4000) < SIGN**2 / (SIGN**2 + (1 - SIGN) ** 2) * 0.999


def test_chances_are_as_often_right_as_they_say_and_rise_with_the_sign() -> None:
    # Odds squared: a logistic curve over log-odds of slope 2 and offset 0.
    made = Sign(1).fit(ROWS, THERE)
    assert made.curve_.coef_[0, 0] == pytest.approx(2, abs=0.2)
    chance = made.predict_proba(ROWS)[:, 1]
    assert chance.mean() == pytest.approx(THERE.mean(), abs=0.01)
    assert (np.diff(chance[np.argsort(SIGN)]) >= 0).all()


def test_without_a_sign_there_is_no_finding() -> None:
    made = Sign(1).fit(np.concatenate([ROWS, [[0, np.nan]]]).astype(np.float32), np.r_[THERE, True])
    assert made.predict_proba(np.array([[0, np.nan]], np.float32)).tolist() == [[1, 0]]


def test_it_is_shown_from_where_it_is_right_often_enough() -> None:
    chance = np.r_[np.linspace(0, 0.5, 200), np.linspace(0.6, 0.9, 40)]
    there = np.r_[np.zeros(200, bool), np.ones(40, bool)]
    limit = _shown_from(chance, there)
    assert limit is not None
    shown = there[chance >= limit]
    assert shown.mean() >= LEAST_PRECISION
    assert len(shown) >= LEAST_ALARMS


def test_a_finding_that_is_hardly_better_than_a_guess_is_never_shown() -> None:
    chance = np.linspace(0, 1, 400)
    assert _shown_from(chance, np.arange(400) % 4 == 0) is None


def test_a_few_lucky_alarms_are_not_enough() -> None:
    few = LEAST_ALARMS // 2  # as many false ones again would have to be let in
    chance = np.r_[np.linspace(0, 0.5, 4000), np.linspace(0.6, 0.9, few)]
    there = np.r_[np.zeros(4000, bool), np.ones(few, bool)]
    assert _shown_from(chance, there) is None
