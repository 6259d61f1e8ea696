"""Which shared causes act together: all sets of at most three, and how a cylinder sees them."""

from functools import lru_cache
from math import comb

import numpy as np

from plugsight.causes.problem import MOST_SHARED, Floats, Ints

# What depends on the engine's structure alone is kept: the same engine is asked again and again with other evidence.
_KEPT_ENGINES, _KEPT_VIEWS = 16, 64


@lru_cache(maxsize=_KEPT_ENGINES)
def sets_of_at_most_three(n: int) -> Ints:
    """Return ``(3, N)`` indices of all sets of at most three of ``n``; an unused place holds ``n``.

    The empty set comes first, then the sets of one, of two and of three. ``n`` = 0 gives the empty set alone.
    """
    number = np.arange(n, dtype=np.int32)
    first, second = np.triu_indices(n, 1)
    later = n - 1 - second  # how many third members may follow each pair
    ends = np.cumsum(later)
    third = np.arange(later.sum()) - np.repeat(ends - later - second - 1, later)
    sets = np.full((MOST_SHARED, 1 + n + len(first) + len(third)), n, dtype=np.int32)
    sets[0, 1 : 1 + n] = number
    pairs = slice(1 + n, 1 + n + len(first))
    sets[0, pairs], sets[1, pairs] = first, second
    sets[0, pairs.stop :] = np.repeat(first, later)
    sets[1, pairs.stop :] = np.repeat(second, later)
    sets[2, pairs.stop :] = third
    sets.flags.writeable = False
    return sets


@lru_cache(maxsize=_KEPT_VIEWS)
def _row_of(n: int) -> Ints:
    """Return ``(n + 1) ** 3`` row numbers of ``sets_of_at_most_three(n)``, whatever the order of the three."""
    table = np.zeros((n + 1,) * MOST_SHARED, dtype=np.int32)
    sets = sets_of_at_most_three(n)
    number = np.arange(sets.shape[1], dtype=np.int32)
    for order in ((0, 1, 2), (0, 2, 1), (1, 0, 2), (1, 2, 0), (2, 0, 1), (2, 1, 0)):
        table[tuple(sets[order, :])] = number
    flat = table.ravel()
    flat.flags.writeable = False
    return flat


def sizes(n: int) -> Ints:
    """Return how many causes act in each set of ``sets_of_at_most_three(n)``: ``(N,)``."""
    return np.repeat(np.arange(MOST_SHARED + 1), [comb(n, size) for size in range(MOST_SHARED + 1)])


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
    first, second, third = place[sets_of_at_most_three(total)]
    rows = np.asarray(_row_of(len(seen))[(first * width + second) * width + third])
    rows.flags.writeable = False
    return rows


def product_over(sets: Ints, factors: Floats) -> Floats:
    """Multiply ``factors`` ``(..., n)`` over the members of each set: ``(..., N)``; the empty set gives 1."""
    padded = np.concatenate([factors, np.ones((*factors.shape[:-1], 1))], axis=-1)
    result: Floats = np.take(padded, sets[0], axis=-1)
    for member in sets[1:]:
        result *= np.take(padded, member, axis=-1)
    return result


def symmetric_sums(weights: Floats) -> Floats:
    """Elementary symmetric sums of order 0 to 3 of ``weights`` ``(n,)``: ``(4,)``."""
    sums, terms = np.ones(MOST_SHARED + 1), np.asarray(weights)
    for order in range(1, MOST_SHARED + 1):
        upto = np.cumsum(terms)
        sums[order] = upto[-1] if len(upto) else 0.0
        terms = weights[order:] * upto[:-1]  # each set counted at its last member
    return sums
