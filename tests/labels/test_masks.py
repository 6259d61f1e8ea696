"""Run lengths come back as the mask they were made from."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from plugsight.labels.masks import from_run_lengths, run_lengths


@given(arrays(np.bool_, st.tuples(st.integers(1, 9), st.integers(1, 9))))
def test_round_trip(mask: np.ndarray) -> None:
    np.testing.assert_array_equal(from_run_lengths(run_lengths(mask), mask.shape), mask)


def test_counts_begin_with_background_and_go_down_columns() -> None:
    # COCO: column-major, first count is of zeros.
    mask = np.array([[1, 0], [1, 1]], bool)
    assert run_lengths(mask) == [0, 2, 1, 1]


def test_counts_that_dont_fill_the_mask_are_refused() -> None:
    with pytest.raises(ValueError, match="don't fill"):
        from_run_lengths([3], (2, 2))
