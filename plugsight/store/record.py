"""The plain records that leave the store. JSON bodies are opaque here: who saved them knows what they mean.

Times are ISO 8601 text in UTC with microseconds, so that their alphabetical order is their order in time.
"""

from dataclasses import dataclass
from enum import StrEnum


class EntryKind(StrEnum):
    """What an append-only entry holds (the words are stored: never rename one)."""

    CONFIRMATION = "confirmation"
    READING = "reading"
    CHECK = "check"
    REPAIR = "repair"


@dataclass(frozen=True, slots=True)
class StoredPhoto:
    """One photo of one plug.

    ``digest`` names the photo (SHA-256 of the file as it was given), ``blob`` the bytes that were kept; both are
    64 hexadecimal digits. ``overlay`` and ``canonical`` are blobs too, or None. ``removed`` photos stay in the store
    but no longer count.
    """

    id: int
    cylinder: int
    position: str
    name: str
    digest: str
    blob: str
    look_json: str
    overlay: str | None
    canonical: str | None
    added: str
    removed: bool


@dataclass(frozen=True, slots=True)
class StoredEntry:
    """One append-only entry.

    ``number`` counts from 1 within the inspection, the kind and (confirmations and readings) the plug.
    ``cylinder`` is None for entries about the whole engine. ``replaces`` is the number of the superseded entry.
    """

    id: int
    kind: EntryKind
    cylinder: int | None
    position: str
    number: int
    replaces: int | None
    body_json: str
    at: str
    withdrawn: bool


@dataclass(frozen=True, slots=True)
class StoredInspection:
    """One inspection with everything saved so far, in the order it was saved.

    ``version`` rises by one with every write; hand it back where a write asks for ``expected_version``.
    """

    id: str
    engine_name: str
    facts_json: str
    invented: bool
    version: int
    started: str
    updated: str
    open_outcome: bool
    """True until the outcome of the repair is known."""
    photos: tuple[StoredPhoto, ...] = ()
    confirmations: tuple[StoredEntry, ...] = ()
    readings: tuple[StoredEntry, ...] = ()
    checks: tuple[StoredEntry, ...] = ()
    repairs: tuple[StoredEntry, ...] = ()


@dataclass(frozen=True, slots=True)
class StoredSummary:
    """One line of a list of inspections. ``photos`` and ``decided`` count photos kept and plugs decided."""

    id: str
    engine_name: str
    invented: bool
    version: int
    started: str
    updated: str
    open_outcome: bool
    photos: int
    decided: int


@dataclass(frozen=True, slots=True)
class StoredEngine:
    """One engine by name, with the number of its inspections and the time of the last change."""

    name: str
    inspections: int
    updated: str
