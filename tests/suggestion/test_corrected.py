"""A corrected answer is a mixture: all zero it is the base's, and it counts only as far as a photo seems to be the shop's."""

import numpy as np
import pytest
from sklearn.linear_model import LogisticRegression
from sklearn.preprocessing import StandardScaler

from plugsight.suggestion.blend import Blend
from plugsight.suggestion.corrected import LEAST, Corrected

RNG = np.random.default_rng(8)
X = RNG.normal(0, 1, (120, 4)).astype(np.float32)
Y = np.array(["ash", "bare", "lead"])[np.argmax(X[:, :3], axis=1)]
BASE = Blend(LogisticRegression(), {}, 0.0).fit(X, Y)
SCALE = StandardScaler().fit(X)
SWAP = np.array([[-1.0, 1, 0], [1, -1, 0], [0, 0, 0]])
"""Turns log-chances so that ash and bare change places."""
NONE = {"turn": np.zeros((3, 3)), "reach": np.zeros((4, 3)), "offset": np.zeros(3)}


class Gate:
    """Says of every photo with one chance that it is the shop's."""

    def __init__(self, chance: float) -> None:
        self.chance = chance

    def predict_proba(self, x: np.ndarray) -> np.ndarray:
        return np.tile([1 - self.chance, self.chance], (len(x), 1))


def corrected(chance: float, **change: np.ndarray) -> np.ndarray:
    return Corrected(BASE, SCALE, Gate(chance), **(NONE | change)).predict_proba(X)


@pytest.mark.parametrize("chance", [0.0, 0.3, 1.0])
def test_no_correction_is_the_base_answer(chance: float) -> None:
    np.testing.assert_allclose(corrected(chance), BASE.predict_proba(X), atol=3 * LEAST)


def test_where_the_photo_is_not_the_shops_it_changes_nothing() -> None:
    np.testing.assert_allclose(corrected(0.0, turn=SWAP), BASE.predict_proba(X))


def test_two_deposits_can_change_places() -> None:
    np.testing.assert_allclose(corrected(1.0, turn=SWAP), BASE.predict_proba(X)[:, [1, 0, 2]], atol=3 * LEAST)


def test_in_between_both_answers_are_mixed() -> None:
    mixed = 0.75 * corrected(0.0, turn=SWAP) + 0.25 * corrected(1.0, turn=SWAP)
    np.testing.assert_allclose(corrected(0.25, turn=SWAP), mixed)


def test_measured_features_and_an_offset_speak_too() -> None:
    reach = np.zeros((4, 3))
    reach[3, 2] = 50.0
    lead = corrected(1.0, reach=reach)[:, 2]
    assert (lead[X[:, 3] > 0.5] > 0.9).all()
    assert (lead[X[:, 3] < -0.5] < 0.1).all()
    assert (corrected(1.0, offset=np.array([0, 0, 50.0]))[:, 2] > 0.99).all()


def test_chances_sum_to_one() -> None:
    np.testing.assert_allclose(corrected(0.4, turn=SWAP, offset=np.array([1.0, 0, -2])).sum(axis=1), 1)
