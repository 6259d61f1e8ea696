"""The store: engines, inspections and what a person decided, kept so that a cut or a second writer loses nothing."""

import hashlib
from contextlib import AbstractContextManager
from pathlib import Path
from types import TracebackType
from typing import Self

from sqlalchemy import Connection, Engine

from plugsight.store import entries, inspections, lists, loading, photos
from plugsight.store.blobs import Blobs
from plugsight.store.connection import make_engine, reading, writing
from plugsight.store.location import Location, locate
from plugsight.store.migrate import migrate
from plugsight.store.record import (
    EntryKind,
    StoredEngine,
    StoredEntry,
    StoredInspection,
    StoredPhoto,
    StoredSummary,
)
from plugsight.vocabulary.errors import StoreError


class Store:
    """One place where inspections are kept. Use it as a context manager, or ``close`` it.

    Every write is one transaction that also raises the inspection's version; when a method returns, what it wrote
    survives a power cut. Every fault is a ``StoreError`` that says what to do.
    """

    def __init__(self, engine: Engine, location: Location) -> None:
        self.engine = engine
        self.location = location
        self.blobs = Blobs(location.files)

    @classmethod
    def open(cls, where: str | Path | None = None, *, files: Path | None = None) -> Self:
        """Open a store, making or upgrading it where needed.

        Parameters
        ----------
        where
            None for the user's data folder, a folder, a ``.sqlite`` file, or a database URL.
        files
            Folder of the photos; beside a SQLite file by default.

        Raises
        ------
        StoreError
            A newer version, another program's database, no access, a server out of reach.

        """
        location = locate(where, files)
        if location.database is not None:
            try:
                location.database.parent.mkdir(parents=True, exist_ok=True)
            except OSError as problem:
                raise StoreError(
                    f"store {location}: its folder can't be made ({problem.strerror}). "
                    "Choose another with --store."
                ) from problem
        engine = make_engine(location)
        try:
            migrate(engine, location)
        except BaseException:
            engine.dispose()
            raise
        return cls(engine, location)

    def close(self) -> None:
        """Give back all connections."""
        self.engine.dispose()

    def __enter__(self) -> Self:
        """Return the store itself."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, problem: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Close it."""
        self.close()

    # --- inspections

    def new_inspection(self, engine_name: str, facts_json: str, *, invented: bool) -> StoredInspection:
        """Begin an inspection; its id is short and random and can be read aloud."""
        with self._writing() as c:
            made = inspections.begin(c, engine_name, facts_json, invented=invented)
            return loading.load(c, made, everything=False)

    def load(self, inspection_id: str, *, everything: bool = False) -> StoredInspection:
        """Return one inspection; ``everything`` adds removed photos and withdrawn entries."""
        with self._reading() as c:
            return loading.load(c, inspection_id, everything=everything)

    def set_facts(
        self, inspection_id: str, facts_json: str, *, expected_version: int, engine_name: str | None = None
    ) -> StoredInspection:
        """Replace the facts (and the engine's name); ``Conflict`` when somebody wrote after ``expected_version``."""
        with self._writing() as c:
            inspections.replace_facts(
                c, inspection_id, facts_json, expected_version=expected_version, engine_name=engine_name
            )
            return loading.load(c, inspection_id, everything=False)

    # --- photos

    def add_photo(
        self,
        inspection_id: str,
        cylinder: int,
        position: str,
        name: str,
        data: bytes,
        look_json: str,
        overlay: bytes | None = None,
        canonical: bytes | None = None,
        *,
        digest: str | None = None,
    ) -> StoredPhoto:
        """Keep a photo of a plug with what was seen on it.

        ``digest`` names the photo where ``data`` is not the file as given (metadata taken out); by default it is the
        SHA-256 of ``data``. The same photo on the same plug is kept once; on another plug of the inspection it is an
        ``InputError`` that names the other plug.
        """
        identity = digest or hashlib.sha256(data).hexdigest()
        self.blobs.path(identity)  # refuses what is not a digest
        self.load(inspection_id)  # an unknown id must not leave files behind
        kept = self._kept(data, overlay, canonical)
        with self._writing() as c:
            made = photos.add(
                c,
                inspection_id,
                (cylinder, position),
                name=name,
                digest=identity,
                kept=kept,
                look_json=look_json,
            )
            return loading.photo_of(c, made)

    def set_look(
        self, photo_id: int, look_json: str, overlay: bytes | None = None, canonical: bytes | None = None
    ) -> StoredPhoto:
        """Replace what was seen on a photo."""
        kept = self._kept(b"", overlay, canonical)
        with self._writing() as c:
            photos.set_look(c, photo_id, look_json, kept)
            return loading.photo_of(c, photo_id)

    def remove_photo(self, photo_id: int) -> None:
        """Take a photo out of its inspection; it is marked, never deleted."""
        with self._writing() as c:
            photos.remove(c, photo_id)

    def blob(self, digest: str) -> bytes:
        """Return the bytes of a photo or picture, checked against their digest."""
        return self.blobs.get(digest)

    # --- entries

    def add_entry(
        self,
        inspection_id: str,
        kind: EntryKind | str,
        body_json: str,
        *,
        cylinder: int | None = None,
        position: str = "",
        replaces: int | None = None,
        settled: bool = True,
    ) -> StoredEntry:
        """Append an entry of one plug, or of the whole engine where ``cylinder`` is None.

        Parameters
        ----------
        kind
            One of ``EntryKind``.
        replaces
            Confirmations only: the number of the plug's latest one, None for its first. ``Conflict`` if it isn't.
        settled
            Repairs only: False while it is not known whether the repair helped.

        """
        what = EntryKind(kind)
        with self._writing() as c:
            place = (cylinder or 0, position)
            made = entries.add(c, inspection_id, what, body_json, place=place, replaces=replaces)
            if what is EntryKind.REPAIR:
                entries.set_outcome(c, inspection_id, open_outcome=not settled)
            return loading.entry_of(c, made)

    def withdraw_entry(self, entry_id: int) -> None:
        """Take a mistaken reading, answer, check or repair out; it is marked, never deleted."""
        with self._writing() as c:
            entries.withdraw(c, entry_id)

    # --- lists

    def recent(
        self, *, limit: int = 50, offset: int = 0, engine: str | None = None, open_outcomes: bool = False
    ) -> tuple[StoredSummary, ...]:
        """Return inspections, last changed first, of one engine or with the outcome of the repair still open."""
        with self._reading() as c:
            return lists.recent(
                c, limit=limit, offset=offset, engine_name=engine, open_outcomes=open_outcomes
            )

    def engines(self, *, starting: str = "", limit: int = 500, offset: int = 0) -> tuple[StoredEngine, ...]:
        """Return engines by name, all or those whose name starts so (in any case)."""
        with self._reading() as c:
            return lists.engines(c, starting=starting, limit=limit, offset=offset)

    def history(self, engine_name: str) -> tuple[StoredInspection, ...]:
        """Return every inspection of one engine, oldest first."""
        with self._reading() as c:
            return loading.history(c, engine_name)

    # --- inside

    def _reading(self) -> AbstractContextManager[Connection]:
        return reading(self.engine, self.location)

    def _writing(self) -> AbstractContextManager[Connection]:
        return writing(self.engine, self.location)

    def _kept(self, data: bytes, overlay: bytes | None, canonical: bytes | None) -> photos.KeptPictures:
        put = self.blobs.put
        return photos.KeptPictures(
            blob=put(data) if data else "",
            overlay=None if overlay is None else put(overlay),
            canonical=None if canonical is None else put(canonical),
        )
