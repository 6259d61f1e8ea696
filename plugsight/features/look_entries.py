"""Catalogue entries for the learned look of the nose, one a deposit, and for the signs of damage beside it."""

import math

from plugsight.features.entry import ALL_VIEWS, FeatureEntry
from plugsight.features.look import SIGNS, look_name, sign_name
from plugsight.vocabulary.deposits import Deposit

REFERENCE = "network fitted on rendered close-ups, not a physical measurement"
LIKENESS = (
    (0.05, "does not look"),
    (0.25, "looks a little"),
    (0.6, "looks rather"),
    (math.inf, "looks clearly"),
)
CHANCE = ((0.05, "no"), (0.25, "hardly a"), (0.6, "perhaps a"), (math.inf, "a"))

LOOK_ENTRIES: tuple[FeatureEntry, ...] = (
    *(
        FeatureEntry(
            look_name(deposit), "share", 0, 1, ALL_VIEWS, REFERENCE,
            f"nose {{word}} like {deposit} as a whole ({{value:.0%}} likeness, by a network trained on rendered noses)", LIKENESS,
        )
        for deposit in Deposit
    ),
    *(
        FeatureEntry(
            sign_name(damage), "share", 0, 1, ALL_VIEWS, REFERENCE,
            f"{{word}} sign of {damage} ({{value:.0%}}, by a network trained on rendered noses, not calibrated)", CHANCE,
        )
        for damage in SIGNS
    ),
)  # fmt: skip
