"""Catalogue entries for the learned look of the nose, one a deposit."""

import math

from plugsight.features.entry import ALL_VIEWS, FeatureEntry
from plugsight.features.look import look_name
from plugsight.vocabulary.deposits import Deposit

LIKENESS = (
    (0.05, "does not look"),
    (0.25, "looks a little"),
    (0.6, "looks rather"),
    (math.inf, "looks clearly"),
)

LOOK_ENTRIES: tuple[FeatureEntry, ...] = tuple(
    FeatureEntry(
        look_name(deposit), "share", 0, 1, ALL_VIEWS, "network fitted on rendered noses, not a physical measurement",
        f"nose {{word}} like {deposit} as a whole ({{value:.0%}} likeness, by a network trained on rendered noses)", LIKENESS,
    )
    for deposit in Deposit
)  # fmt: skip
