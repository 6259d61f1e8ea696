"""Store room: inspections kept safely, photos as content-addressed files beside them, plain records of its own."""

from plugsight.store.conflict import Conflict
from plugsight.store.record import (
    EntryKind,
    StoredEngine,
    StoredEntry,
    StoredInspection,
    StoredPhoto,
    StoredSummary,
)
from plugsight.store.store import Store

__all__ = [
    "Conflict",
    "EntryKind",
    "Store",
    "StoredEngine",
    "StoredEntry",
    "StoredInspection",
    "StoredPhoto",
    "StoredSummary",
]
