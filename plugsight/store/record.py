"""The plain records that leave the store. JSON bodies are opaque here: who saved them knows what they mean.

Times are ISO 8601 text in UTC with microseconds, so that their alphabetical order is their order in time.
"""

from dataclasses import dataclass
from enum import StrEnum


class EntryKind(StrEnum):
    """What an append-only entry holds (the words are stored: never rename one)."""

    CONFIRMATION = "confirmation"
    BENCH = "bench"
    READING = "reading"
    CHECK = "check"
    REPAIR = "repair"


@dataclass(frozen=True, slots=True)
class StoredPhoto:
    """One photo of one plug.

    ``digest`` names the photo (SHA-256 of the file as it was given); ``blob_digest`` the bytes that were kept, the
    same unless metadata was taken out. ``overlay_digest`` and ``canonical_digest`` name kept pictures, or are None.
    ``removed`` photos stay in the store but no longer count.
    """

    id: int
    cylinder: int
    position: str
    name: str
    digest: str
    blob_digest: str
    look_json: str
    overlay_digest: str | None
    canonical_digest: str | None
    added: str
    removed: bool


@dataclass(frozen=True, slots=True)
class StoredEntry:
    """One append-only entry.

    ``number`` counts from 1 within the inspection, the kind and the plug; ``cylinder`` is None for entries about the
    whole engine. ``replaces`` is the number of the superseded entry. ``withdrawn`` entries no longer count.
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
    entries: tuple[StoredEntry, ...] = ()

    def of(self, kind: EntryKind) -> tuple[StoredEntry, ...]:
        """Entries of one kind that still count, oldest first."""
        return tuple(entry for entry in self.entries if entry.kind is kind and not entry.withdrawn)


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
