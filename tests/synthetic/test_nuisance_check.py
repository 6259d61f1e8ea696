"""The guesser finds what can be found and nothing where there is nothing; else a passed test means little."""

import numpy as np

from plugsight.synthetic.nuisance_check import guess

RNG = np.random.default_rng(7)
LABELS = RNG.integers(0, 6, 900)
PLUGS = np.arange(900)


def test_finds_a_label_that_leaks():
    leaky = RNG.normal(0, 1, (900, 30))
    leaky[:, 4] = np.cos(LABELS * 2.0) * 3 + RNG.normal(0, 0.3, 900)
    leaky[:, 9] = np.sin(LABELS * 2.0) * 3 + RNG.normal(0, 0.3, 900)
    score, _ = guess(leaky, LABELS, PLUGS)
    assert score > 0.7


def test_stays_at_chance_on_noise():
    score, _ = guess(RNG.normal(0, 1, (900, 30)), LABELS, PLUGS)
    # Four standard errors of a balanced accuracy of 1/6 over 900 cases.
    # The better of two guessers is reported, which lifts the mean a little.
    assert abs(score - 1 / 6) < 4 * np.sqrt(1 / 6 * 5 / 6 / 900)


def test_views_of_one_plug_never_stand_on_both_sides():
    own = np.repeat(RNG.normal(0, 1, (450, 8)), 2, axis=0)
    labels = np.repeat(RNG.integers(0, 6, 450), 2)
    score, _ = guess(own, labels, np.repeat(np.arange(450), 2))
    assert score < 0.3
