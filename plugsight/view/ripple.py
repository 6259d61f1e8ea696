"""The ripple that a thread gives its silhouette: freed of the sides' own shape, and told from texture behind it."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.view.line import middle_of

_STRAYS = 2.5
"""Ripples larger than this many robust standard deviations count no more than that in the search."""

_MARGIN = 0.1
"""Of 0, 0.1 and 0.2 the one that errs least on small and large pictures together (123 views of families calibration and train)."""

_PRIOR_WEIGHT, _SPREAD = 0.03, 0.35
"""How much the usual distance counts against what the ripple shows, and its relative spread."""


@dataclass(frozen=True, slots=True, eq=False)
class Ripple:
    """One trace of a side: columns ``x`` ``(n,)`` at ``rows``, NaN where none, and ``flat``, the same without its slow changes."""

    rows: NDArray[np.float64]
    x: NDArray[np.float64]
    flat: NDArray[np.float64]


def ripple_of(rows: NDArray[np.float64], x: NDArray[np.float64], period_px: float) -> Ripple | None:
    """Ripple of the trace ``x`` at evenly spaced ``rows``; None where less than half of it was seen."""
    seen = np.isfinite(x)
    if seen.mean() < 0.5:
        return None
    window = max(3, 2 * round(period_px / float(rows[1] - rows[0]) / 2) + 1)
    weight = seen.astype(np.float64)[:, None]
    slow = np.where(seen, x, 0.0)[:, None]
    for _ in range(2):  # a step of the plain end ring lets go of its neighbours at the second pass
        total = np.maximum(cv2.blur(weight, (1, window)), 1e-6)
        trend = cv2.blur(slow * weight, (1, window)) / total
        flat = np.where(seen, x - trend[:, 0], 0.0)
        size = max(1.4826 * float(middle_of(np.abs(flat[seen]))), 0.1)
        weight = (seen & (np.abs(flat) < _STRAYS * size)).astype(np.float64)[:, None]
    return Ripple(rows, x, np.where(seen, flat, np.nan))


def waves_of(rows: NDArray[np.float64], periods: NDArray[np.float64]) -> NDArray[np.complex128]:
    """First wave of each of ``periods`` ``(k,)`` at ``rows`` ``(n,)``, ``(k, n)``."""
    turns = (rows - rows.mean())[None, :] / periods[:, None]
    return np.asarray(np.exp(2j * np.pi * turns), dtype=np.complex128)


def explained(ripple: Ripple, waves: NDArray[np.complex128]) -> NDArray[np.float64]:
    """Share of the ripple that each of ``waves`` ``(k, n)`` explains with its second harmonic, 0..1 ``(k,)``."""
    seen = np.isfinite(ripple.flat)
    size = 1.4826 * float(middle_of(np.abs(ripple.flat[seen])))
    values = np.where(seen, np.clip(ripple.flat, -_STRAYS * size, _STRAYS * size), 0.0)
    power = np.abs(waves @ values) ** 2 + np.abs((waves * waves) @ values) ** 2
    return np.asarray(2 * power / seen.sum() / max(float(values @ values), 1e-9), dtype=np.float64)


def choose(
    sides: tuple[list[Ripple], list[Ripple]], periods: NDArray[np.float64], nearness: NDArray[np.float64]
) -> tuple[tuple[Ripple | None, Ripple | None], float]:
    """Best trace of each side, None for a side without one, and the period that explains the two best.

    Traces stand in the order of their credit: a later one must explain more by ``_MARGIN``. ``nearness`` is that of each period, relative to the usual.
    """
    waves = next(
        (waves_of(r.rows, periods) for side in sides for r in side), np.zeros((periods.size, 0), complex)
    )
    shares = [
        np.stack([explained(r, waves) - _MARGIN * k for k, r in enumerate(side)]) if side else None
        for side in sides
    ]
    unusual = 0.5 * _PRIOR_WEIGHT * (np.log(nearness) / _SPREAD) ** 2
    total = sum((s.max(axis=0) for s in shares if s is not None), np.zeros(periods.size))
    k = int(np.argmax(total - unusual))
    left, right = (
        None if s is None else side[int(np.argmax(s[:, k]))] for side, s in zip(sides, shares, strict=True)
    )
    return (left, right), float(periods[k])
