"""A damage finding follows its sign, is calibrated, and says nothing where nothing was looked at."""

import numpy as np
import pytest

from plugsight.suggestion.sign import Sign
from plugsight.training.fit import _worth_showing

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


def alarms(right: int, wrong: int, missed: int) -> tuple[np.ndarray, np.ndarray]:
    """Chances and truth of views: so many alarms right and wrong, so many damaged views without one, and many sound ones."""
    chance = np.r_[np.full(right + wrong, 0.6), np.full(missed + 500, 0.4)]
    return chance, np.r_[
        np.ones(right, bool), np.zeros(wrong, bool), np.ones(missed, bool), np.zeros(500, bool)
    ]


@pytest.mark.parametrize(
    ("right", "wrong", "missed", "shown"),
    [
        (40, 5, 10, True),
        (40, 20, 10, False),  # believed by nobody
        (40, 5, 200, False),  # hardly ever comes: nobody would look for himself
        (20, 0, 10, False),  # a few lucky ones
        (0, 0, 50, False),
    ],
)
def test_a_finding_is_shown_that_is_right_and_found_often_enough(
    right: int, wrong: int, missed: int, shown: bool
) -> None:
    assert _worth_showing(*alarms(right, wrong, missed)) is shown
