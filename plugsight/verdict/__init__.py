"""Verdict room: what becomes of each plug, and the cautions that apply."""

from plugsight.verdict.cautions import cautions_for
from plugsight.verdict.decide import decide
from plugsight.verdict.record import Action, PlugVerdict, VerdictReason

__all__ = ["Action", "PlugVerdict", "VerdictReason", "cautions_for", "decide"]
