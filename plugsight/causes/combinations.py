"""Which shared causes act together: all sets of at most three, and how a cylinder sees them."""

from functools import lru_cache
from itertools import combinations

import numpy as np

from plugsight.causes.problem import MOST_SHARED, Floats, Ints

# What depends on the engine's structure alone is kept: the same engine is asked again and again with other evidence.
_KEPT_ENGINES, _KEPT_VIEWS = 16, 64


@lru_cache(maxsize=_KEPT_ENGINES)
def sets_of_at_most_three(n: int) -> Ints:
    """Return ``(N, 3)`` indices of all sets of at most three of ``n``; an unused place holds ``n``.

    The empty set is the first row. ``n`` = 0 gives that row alone.
    """
    rows = [
        (*chosen, *[n] * (MOST_SHARED - size))
        for size in range(min(MOST_SHARED, n) + 1)
        for chosen in combinations(range(n), size)
    ]
    result = np.array(rows, dtype=np.int32).reshape(-1, MOST_SHARED)
    result.flags.writeable = False
    return result


@lru_cache(maxsize=_KEPT_VIEWS)
def _row_of(n: int) -> Ints:
    """Return ``(n + 1) ** 3`` row numbers of ``sets_of_at_most_three(n)``, whatever the order of the three."""
    table = np.zeros((n + 1,) * MOST_SHARED, dtype=np.int32)
    sets = sets_of_at_most_three(n)
    number = np.arange(len(sets), dtype=np.int32)
    for order in ((0, 1, 2), (0, 2, 1), (1, 0, 2), (1, 2, 0), (2, 0, 1), (2, 1, 0)):
        table[tuple(sets[:, order].T)] = number
    flat = table.ravel()
    flat.flags.writeable = False
    return flat


def rows_seen(total: int, seen: Ints) -> Ints:
    """Map each set over ``total`` causes to the row of the set of those in ``seen`` that a cylinder can tell.

    ``seen`` holds the indices (ascending) of the causes that matter to this cylinder. ``(N,)``.
    """
    return _rows_seen(total, tuple(seen.tolist()))


@lru_cache(maxsize=_KEPT_VIEWS)
def _rows_seen(total: int, seen: tuple[int, ...]) -> Ints:
    width = len(seen) + 1
    place = np.full(total + 1, len(seen), dtype=np.int32)
    place[list(seen)] = np.arange(len(seen))
    first, second, third = (place[column] for column in sets_of_at_most_three(total).T)
    rows = np.asarray(_row_of(len(seen))[(first * width + second) * width + third])
    rows.flags.writeable = False
    return rows


def product_over(sets: Ints, factors: Floats) -> Floats:
    """Multiply ``factors`` ``(n, ...)`` over the members of each set: ``(N, ...)``; the empty set gives 1."""
    padded = np.concatenate([factors, np.ones((1, *factors.shape[1:]))])
    return np.asarray(padded[sets[:, 0]] * padded[sets[:, 1]] * padded[sets[:, 2]])


def symmetric_sums(weights: Floats) -> Floats:
    """Elementary symmetric sums of order 0 to 3 of ``weights`` ``(n,)``: ``(4,)``."""
    sums = np.zeros(MOST_SHARED + 1)
    sums[0] = 1.0
    for weight in weights:
        sums[1:] += weight * sums[:-1]
    return sums
