"""Features room: ``View`` and ``Segments`` in, numbers with their uncertainty and an overlay out."""

from plugsight.features.catalogue import CATALOGUE, FeatureEntry, catalogue_digest
from plugsight.features.measure import measure
from plugsight.features.record import BudgetLine, Features, FeatureValue, GapWarning, Length

__all__ = [
    "CATALOGUE",
    "BudgetLine",
    "FeatureEntry",
    "FeatureValue",
    "Features",
    "GapWarning",
    "Length",
    "catalogue_digest",
    "measure",
]
