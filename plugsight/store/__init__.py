"""Store room: inspections kept safely, photos as content-addressed files beside them, plain records of its own."""

from plugsight.store.backup import Backup, back_up, restore
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
from plugsight.store.verify import Health, verify

__all__ = [
    "Backup",
    "Conflict",
    "EntryKind",
    "Health",
    "Store",
    "StoredEngine",
    "StoredEntry",
    "StoredInspection",
    "StoredPhoto",
    "StoredSummary",
    "back_up",
    "restore",
    "verify",
]
