"""Causes room: confirmations, readings and context in, ranked causes with their why out."""

from plugsight.causes.catalogue import Catalogue, Cause
from plugsight.causes.evidence import Evidence
from plugsight.causes.find import find_causes
from plugsight.causes.known import known_causes
from plugsight.causes.load_knowledge import KnowledgeError, catalogue
from plugsight.causes.record import Band, Causes, RankedCause, Scope, Site, Why

__all__ = [
    "Band",
    "Catalogue",
    "Cause",
    "Causes",
    "Evidence",
    "KnowledgeError",
    "RankedCause",
    "Scope",
    "Site",
    "Why",
    "catalogue",
    "find_causes",
    "known_causes",
]
