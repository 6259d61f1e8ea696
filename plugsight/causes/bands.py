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

    Nothing is most likely where the first does not stand clear of the second, or where nothing speaks for it:
    a cause must at least be possible.
    """
    found = [
        Band.POSSIBLE if p >= POSSIBLE or p >= RAISED * before else Band.UNLIKELY
        for p, before in zip(posterior, prior, strict=True)
    ]
    if len(found) and found[0] is Band.POSSIBLE and _stands_clear(posterior):
        found[0] = Band.MOST_LIKELY
    for i in range(1, len(found)):
        if _tie(posterior[i - 1], posterior[i]) and Band.POSSIBLE in (found[i - 1], found[i]):
            start = i - 1
            while start > 0 and _tie(posterior[start - 1], posterior[start]):
                start -= 1
            found[start : i + 1] = [Band.POSSIBLE] * (i + 1 - start)
    return found


def _stands_clear(posterior: Floats) -> bool:
    if len(posterior) == 1:
        return True
    first, second = (p / max(1 - p, np.finfo(float).tiny) for p in posterior[:2])
    return bool(first >= CLEAR * second)


def _tie(a: float, b: float) -> bool:
    return bool(np.isclose(a, b, rtol=SAME, atol=0.0))
