"""Write photos of plugs."""

from dataclasses import dataclass

from sqlalchemy import Connection, insert, select, update

from plugsight.store import tables as t
from plugsight.store.inspections import stamp, touch
from plugsight.vocabulary.errors import InputError, StoreError

_NAME_LENGTH = 255


@dataclass(frozen=True, slots=True)
class KeptPictures:
    """Digests of what the blob folder already holds for one photo."""

    blob: str
    overlay: str | None
    canonical: str | None


def add(
    connection: Connection,
    inspection_id: str,
    place: tuple[int, str],
    *,
    name: str,
    digest: str,
    kept: KeptPictures,
    look_json: str,
) -> int:
    """Add a photo and return its id; the same photo on the same plug again returns the first one's id.

    Raises
    ------
    InputError
        The photo already shows another plug of this inspection.

    """
    p = t.photo.c
    touch(connection, inspection_id)
    there = connection.execute(
        select(p.id, p.cylinder, p.position).where(
            p.inspection_id == inspection_id, p.digest == digest, p.removed.is_(False)
        )
    ).one_or_none()
    if there is None:
        made: int = connection.execute(
            insert(t.photo)
            .values(
                inspection_id=inspection_id,
                cylinder=place[0],
                position=place[1],
                name=name[-_NAME_LENGTH:],
                digest=digest,
                blob=kept.blob,
                look_json=look_json,
                overlay=kept.overlay,
                canonical=kept.canonical,
                added=stamp(),
                removed=False,
            )
            .returning(t.photo.c.id)
        ).scalar_one()
        return made
    if (there.cylinder, there.position) != place:
        other = f"{there.cylinder} {there.position}".strip()
        raise InputError(
            name, f"this photo already stands at plug {other}", "Remove it there first, or choose another."
        )
    return int(there.id)


def set_look(connection: Connection, photo_id: int, look_json: str, kept: KeptPictures) -> None:
    """Replace what was seen on a photo."""
    touch(connection, _inspection_of(connection, photo_id))
    connection.execute(
        update(t.photo)
        .where(t.photo.c.id == photo_id)
        .values(look_json=look_json, overlay=kept.overlay, canonical=kept.canonical)
    )


def remove(connection: Connection, photo_id: int) -> None:
    """Mark a photo removed; its bytes stay."""
    touch(connection, _inspection_of(connection, photo_id))
    connection.execute(update(t.photo).where(t.photo.c.id == photo_id).values(removed=True))


def _inspection_of(connection: Connection, photo_id: int) -> str:
    found = connection.execute(select(t.photo.c.inspection_id).where(t.photo.c.id == photo_id)).scalar()
    if found is None:
        raise StoreError(f"photo {photo_id}: there is none with this number here. Reload the inspection.")
    return str(found)
