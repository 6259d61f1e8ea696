"""The period on the front of a thread, on drawn brightness."""

import numpy as np
import pytest

from plugsight.view.flanks import BANDS, FlankPeriod, find_period, rows_apart

WIDTH = 300.0


def signals(period: float, beat: float) -> np.ndarray:
    """Brightness of a thread whose every third turn is rusty: ``beat`` 0 is a clean one."""
    rows = np.arange(0, 360, rows_apart(WIDTH))[:, None] + 5.0 * np.arange(len(BANDS))[None, :]
    turn = 2 * np.pi * rows / period
    return (np.sin(turn) + beat * np.sin(turn / 1.5)).astype(np.float32)


def found(beat: float, **bounds: float) -> FlankPeriod:
    period = find_period(signals(26.0, beat), rows_apart(WIDTH), WIDTH, **bounds)
    assert period is not None
    return period


def test_a_clean_thread_gives_its_period() -> None:
    assert found(0.0).px == pytest.approx(26.0, rel=0.01)


def test_a_known_threads_longest_period_keeps_one_and_a_half_turns_from_being_taken_for_one() -> None:
    assert found(1.5).px == pytest.approx(39.0, rel=0.02)
    assert found(1.5, longest=1.22 * 1.25 / 14.0).px == pytest.approx(26.0, rel=0.02)
