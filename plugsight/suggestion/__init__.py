"""Suggestion room: ``Features`` of one plug's views in, a calibrated set out, or why there is none."""

from plugsight.suggestion.record import Chance, DamageChance, Reason, Splitter, Suggestion
from plugsight.suggestion.suggest import suggest

__all__ = ["Chance", "DamageChance", "Reason", "Splitter", "Suggestion", "suggest"]
