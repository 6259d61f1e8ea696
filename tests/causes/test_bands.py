"""The bands: most likely, possible, unlikely."""

import numpy as np

from plugsight.causes.bands import bands
from plugsight.causes.record import Band

LIKELY, POSSIBLE, UNLIKELY = Band.MOST_LIKELY, Band.POSSIBLE, Band.UNLIKELY


def given(posterior, prior):
    return [*bands(np.array(posterior), np.array(prior))]


def test_first_and_twice_the_odds_of_the_next():
    # odds 1 and 0.5: just twice
    assert given([0.5, 1 / 3, 0.05], [0.01, 0.01, 0.05]) == [LIKELY, POSSIBLE, UNLIKELY]
    assert given([0.5, 0.34, 0.05], [0.01, 0.01, 0.05]) == [POSSIBLE, POSSIBLE, UNLIKELY]


def test_odds_count_not_chances():
    # 0.98 is less than twice 0.95, but its odds are 2.6 times as high
    assert given([0.98, 0.95], [0.1, 0.1]) == [LIKELY, POSSIBLE]


def test_possible_by_chance_or_by_being_raised():
    assert given([0.3, 0.2, 0.1, 0.099, 0.03, 0.0299], [0.5, 0.5, 0.1, 0.05, 0.01, 0.01]) == [
        POSSIBLE,
        POSSIBLE,
        POSSIBLE,
        UNLIKELY,
        POSSIBLE,
        UNLIKELY,
    ]


def test_ties_share_a_band():
    assert given([0.4, 0.4], [0.01, 0.01]) == [POSSIBLE, POSSIBLE]
    assert given([0.9, 0.05, 0.05], [0.1, 0.05, 0.01]) == [LIKELY, POSSIBLE, POSSIBLE]


def test_none_and_one():
    assert given([], []) == []
    assert given([0.9], [0.1]) == [LIKELY]


def test_a_first_that_nothing_speaks_for_is_no_answer():
    assert given([0.06, 0.02], [0.06, 0.02]) == [UNLIKELY, UNLIKELY]
    assert given([0.06, 0.02], [0.01, 0.02]) == [LIKELY, UNLIKELY]
