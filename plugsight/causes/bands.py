"""From odds to bands: what the ranks allow to say in words."""

from collections.abc import Sequence

import numpy as np

from plugsight.causes.problem import Floats
from plugsight.causes.record import Band

CLEAR = 2.0
"""The first is most likely when its odds are at least this many times the next one's."""
POSSIBLE = 0.1
RAISED = 3.0
"""Possible: a posterior of at least 0.1, or raised at least threefold over its prior."""
SAME = 1e-9
"""Posteriors closer than this (relative) are a tie."""


def bands(posterior: Floats, prior: Floats) -> Sequence[Band]:
    """Give each cause its band; both arrays are ``(n,)``, the posteriors falling. Ties share the better band.

    Nothing is most likely where the first does not stand clear of the second: "not separable yet". Nor is a first that
    is not even possible: where nothing speaks for anything, the commonest cause is no answer.
    """
    possible = (posterior >= POSSIBLE) | (posterior >= RAISED * prior)
    tied = np.isclose(posterior[1:], posterior[:-1], rtol=SAME, atol=0.0)
    group = np.concatenate([[0], np.cumsum(~tied)]) if len(posterior) else np.zeros(0, dtype=np.int64)
    shared = {int(number) for number in group[possible]}
    found = [Band.POSSIBLE if int(number) in shared else Band.UNLIKELY for number in group]
    if found and found[0] is Band.POSSIBLE and _stands_clear(posterior):
        found[0] = Band.MOST_LIKELY
    return found


def _stands_clear(posterior: Floats) -> bool:
    if len(posterior) == 1:
        return True
    first, second = (p / max(1 - p, np.finfo(float).tiny) for p in posterior[:2])
    return bool(first >= CLEAR * second)
