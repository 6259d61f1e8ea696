"""Verdict room: what becomes of each plug."""

from plugsight.verdict.decide import decide
from plugsight.verdict.record import Action, PlugVerdict, VerdictReason

__all__ = ["Action", "PlugVerdict", "VerdictReason", "decide"]
