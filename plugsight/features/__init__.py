"""Features room: ``View`` and ``Segments`` in, numbers with their uncertainty and an overlay out."""

from plugsight.features.catalogue import CANONICAL_NAMES, CATALOGUE, catalogue_digest, entry_of
from plugsight.features.entry import FeatureEntry
from plugsight.features.measure import measure
from plugsight.features.measure_canonical import measure_canonical
from plugsight.features.record import BudgetLine, Features, FeatureValue, GapWarning, Length

__all__ = [
    "CANONICAL_NAMES",
    "CATALOGUE",
    "BudgetLine",
    "FeatureEntry",
    "FeatureValue",
    "Features",
    "GapWarning",
    "Length",
    "catalogue_digest",
    "entry_of",
    "measure",
    "measure_canonical",
]
