"""Straight lines through points by least squares, in closed form: sides are fitted hundreds of times a photo."""

import numpy as np
from numpy.typing import NDArray


def fit_line(
    y: NDArray[np.floating] | NDArray[np.int_], x: NDArray[np.floating], w: NDArray[np.floating]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Slopes and values at ``y`` 0 of ``x`` ``(..., n)`` over ``y`` ``(n,)``, weights ``w`` alike; slope 0 where all ``y`` are one."""
    total = np.maximum(w.sum(axis=-1), 1e-12)
    mean_y, mean_x = (w @ y) / total, (w * x).sum(axis=-1) / total
    d = y - mean_y[..., None]
    weighted = w * d
    slope = (weighted * x).sum(axis=-1) / np.maximum((weighted * d).sum(axis=-1), 1e-12)
    return slope, mean_x - slope * mean_y


def middle_of(values: NDArray[np.floating]) -> NDArray[np.float64]:
    """Median along the last axis, the lower middle one of an even number; NumPy's own checks cost more than the sorting."""
    half = (values.shape[-1] - 1) // 2
    return np.asarray(np.partition(values, half, axis=-1)[..., half], dtype=np.float64)
