"""A thread's ripple on one side, drawn: found among texture, and the better trace taken."""

import numpy as np
import pytest

from plugsight.view.ripple import choose, explained, ripple_of, waves_of

ROWS = np.arange(0.0, 400.0, 2.0)
PERIODS = np.linspace(34.0, 38.0, 41)


def a_side(period: float, depth: float, noise: float, seed: int = 1) -> np.ndarray:
    """Columns of a leaning side with a plain ring at its upper end, a triangular ripple below it, and noise."""
    turns = ROWS / period
    ripple = depth * (2 * np.abs(2 * (turns % 1.0) - 1) - 1)
    ring = ROWS < 70
    x = 200.0 + 0.02 * ROWS + np.where(ring, -1.5 * depth, ripple)
    return x + np.random.default_rng(seed).normal(0, noise, ROWS.size)


def test_the_period_drawn_explains_the_ripple_best() -> None:
    ripple = ripple_of(ROWS, a_side(36.0, 5.0, 0.5), 37.0)
    assert ripple is not None
    share = explained(ripple, waves_of(ROWS, PERIODS))
    assert PERIODS[int(np.argmax(share))] == pytest.approx(36.0, abs=0.25)
    assert share.max() > 0.6


def test_noise_has_no_period() -> None:
    ripple = ripple_of(ROWS, a_side(36.0, 0.0, 3.0), 37.0)
    assert ripple is not None
    assert explained(ripple, waves_of(ROWS, PERIODS)).max() < 0.2


def test_the_trace_that_shows_the_thread_is_taken() -> None:
    clear, muddled = (
        ripple_of(ROWS, a_side(36.0, 5.0, 0.5), 37.0),
        ripple_of(ROWS, a_side(36.0, 5.0, 9.0), 37.0),
    )
    assert clear is not None
    assert muddled is not None
    (left, right), period = choose(([muddled, clear], []), PERIODS, np.ones(PERIODS.size))
    assert left is clear
    assert right is None
    # the same trace twice: the first has the credit
    assert (
        choose(([clear, ripple_of(ROWS, clear.x, 37.0) or clear], []), PERIODS, np.ones(PERIODS.size))[0][0]
        is clear
    )
    assert period == pytest.approx(36.0, abs=0.25)


def test_a_trace_seen_on_fewer_than_half_of_the_rows_is_none() -> None:
    x = a_side(36.0, 5.0, 0.5)
    x[:110] = np.nan
    assert ripple_of(ROWS, x, 37.0) is None
