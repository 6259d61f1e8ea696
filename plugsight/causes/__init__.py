"""Causes room: confirmations, readings and context in, ranked causes with their why out."""

from plugsight.causes.evidence import Evidence
from plugsight.causes.find import find_causes
from plugsight.causes.record import Band, Causes, RankedCause, Scope, Site, Why

__all__ = ["Band", "Causes", "Evidence", "RankedCause", "Scope", "Site", "Why", "find_causes"]
