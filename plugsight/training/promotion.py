"""Whether a new model may replace the one in use: only on blind labels neither model has seen, and only when it proves better."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.stats import beta, binomtest

LEAST_PLUGS = 30
"""Blind test plugs below which nothing is decided (own choice; with fewer, McNemar's test can hardly reach 0.05)."""
LEAST_FOR_SETS = 19
"""Blind plugs below which a 95 % set would be everything: ceil(20 * 0.95) = 19."""
LEAST_OF_A_CLASS = 10
MOST_LOST = 0.05


@dataclass(frozen=True, slots=True)
class Promotion:
    """The decision and its numbers. ``difference`` is new minus old share right, with its 95 % paired bootstrap bounds."""

    promote: bool
    words: str
    plugs: int
    p_value: float
    difference: tuple[float, float, float]


def decide_promotion(
    old: NDArray[np.bool_], new: NDArray[np.bool_], label: NDArray[np.str_], *, seed: int = 1
) -> Promotion:
    """Compare two models on the same blind plugs.

    ``old`` and ``new`` ``(n,)`` say whether each was right, ``label`` ``(n,)`` names the true deposit. The new one is
    promoted when McNemar's exact test (Fagerland, Lydersen, Laake 2013, the exact conditional form) gives p < 0.05, the
    lower bound of the difference is above 0, and no deposit with at least 10 plugs loses more than 5 points.
    """
    count = len(old)
    if count < LEAST_PLUGS:
        words = f"not enough yet: {count} blind test plugs, {LEAST_PLUGS - count} more needed"
        return Promotion(promote=False, words=words, plugs=count, p_value=1.0, difference=(0.0, 0.0, 0.0))
    better, worse = int((new & ~old).sum()), int((old & ~new).sum())
    p_value = float(binomtest(better, better + worse).pvalue) if better + worse else 1.0
    gain = new.astype(float) - old
    draws = np.random.default_rng(seed).integers(0, count, (2000, count))
    low, high = np.quantile(gain[draws].mean(axis=1), [0.025, 0.975])
    difference = (float(gain.mean()), float(low), float(high))
    lost = [
        str(name)
        for name in np.unique(label)
        if (label == name).sum() >= LEAST_OF_A_CLASS and gain[label == name].mean() < -MOST_LOST
    ]
    if lost:
        words = f"not promoted: {', '.join(lost)} would lose more than 5 points"
    elif p_value >= 0.05 or low <= 0:
        words = f"not promoted: not shown to be better (p {p_value:.3f}, difference {difference[0]:+.3f})"
    else:
        words = f"promoted: better by {difference[0]:+.3f} ({low:+.3f} to {high:+.3f}), p {p_value:.4f}"
    shown = not lost and p_value < 0.05 and low > 0
    return Promotion(shown, words, count, p_value, difference)


def coverage_spread(plugs: int, coverage: float = 0.95) -> tuple[float, float, float]:
    """Mean share of sets that hold the truth after calibrating on ``plugs``, and its 95 % range.

    The share follows Beta(k, n + 1 - k), k = ceil((n + 1) * coverage) (Vovk 2012; Angelopoulos and Bates 2021, from
    memory). With k > n every set is everything: (1, 1, 1).
    """
    rank = int(np.ceil((plugs + 1) * coverage - 1e-9))
    if rank > plugs:
        return (1.0, 1.0, 1.0)
    spread = beta(rank, plugs + 1 - rank)
    return float(spread.mean()), float(spread.ppf(0.025)), float(spread.ppf(0.975))
