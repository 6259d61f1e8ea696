"""Confirmed inspections to a labelled set: hashes instead of names, grades by bench test and outcome."""

import hashlib
import math
from collections.abc import Iterable
from datetime import UTC, datetime

from plugsight import __version__
from plugsight.casebook.book import Casebook
from plugsight.features import CATALOGUE, Features, catalogue_digest
from plugsight.flow import Inspection, PhotoLook, PlugCase, look_at
from plugsight.labels import (
    FORMAT,
    LabelledPhoto,
    LabelledPlug,
    LabelledSet,
    SetPicture,
    grade_of,
    set_picture,
)
from plugsight.labels.name import image_name
from plugsight.vocabulary.outcomes import RepairOutcome


def labelled_set(
    book: Casebook, inspections: Iterable[Inspection], *, licence: str, consent: str, crop: bool
) -> tuple[LabelledSet, dict[str, SetPicture]]:
    """Gather every decided plug that has photos, with its pictures by file name. Plugs "can't tell" are left out."""
    plugs, pictures, invented = [], {}, False
    engines: dict[str, str] = {}
    for inspection in inspections:
        name = inspection.engine.name
        if name not in engines:
            # not the name's own hash: a number plate is guessed and hashed in no time; an inspection's id is random
            engines[name] = _hash(book.history(name)[0].id)
        repair = inspection.repairs[-1] if inspection.repairs else None
        for case in inspection.plugs:
            confirmation = case.confirmation
            if confirmation is None or not confirmation.seen or not case.photos:
                continue
            photos = []
            for look in case.photos:
                picture = set_picture(book.photo_bytes(look.digest), inspection.spec, crop=crop)
                file = image_name(picture.data)
                pictures[file] = picture
                photos.append(
                    _photo(_current(book, look, inspection), file, hashlib.sha256(picture.data).hexdigest())
                )
            plugs.append(_plug(inspection, case, repair, tuple(photos), engines[name]))
            invented |= inspection.invented
    made = datetime.now(UTC).isoformat(timespec="seconds")
    names = tuple(entry.name for entry in CATALOGUE)
    labelled = LabelledSet(
        FORMAT,
        made,
        f"plugsight {__version__}",
        licence,
        consent,
        catalogue_digest(),
        names,
        invented,
        tuple(plugs),
    )
    return labelled, pictures


def _current(book: Casebook, look: PhotoLook, inspection: Inspection) -> PhotoLook:
    """Measure a photo again whose values belong to another feature catalogue."""
    if not isinstance(look.features, Features) or look.features.catalogue == catalogue_digest():
        return look
    return look_at(look.name, book.photo_bytes(look.digest), inspection.spec, cleaned=look.cleaned)


def _photo(look: PhotoLook, name: str, digest: str) -> LabelledPhoto:
    seen = look.features
    if not isinstance(seen, Features):
        return LabelledPhoto(name, digest, "", look.cleaned)
    values = {entry.name: entry.value for entry in seen.values}
    known = tuple(
        None if math.isnan(v := values.get(entry.name, math.nan)) else float(v) for entry in CATALOGUE
    )
    return LabelledPhoto(name, digest, str(seen.kind), look.cleaned, known)


def _plug(
    inspection: Inspection,
    case: PlugCase,
    repair: RepairOutcome | None,
    photos: tuple[LabelledPhoto, ...],
    engine: str,
) -> LabelledPlug:
    confirmation = case.confirmation
    if confirmation is None:  # the caller has filtered these out
        raise ValueError("an undecided plug has no label")
    return LabelledPlug(
        plug=_hash(f"{inspection.id}/{case.place}"),
        engine=engine,
        cylinder=case.place.cylinder,
        position=case.place.position,
        deposits=tuple(map(str, confirmation.deposits)),
        damage=tuple(map(str, confirmation.damage)),
        absent=tuple(map(str, confirmation.absent)),
        damage_absent=tuple(map(str, confirmation.damage_absent)),
        grade=grade_of(confirmation, repair),
        blind=confirmation.shown.blind,
        suggested=confirmation.shown.suggested,
        model_digest=confirmation.shown.model_digest,
        decided=confirmation.when[:10],
        photos=photos,
        proven_causes=repair.causes if repair else (),
        complaint_gone=repair.complaint_gone if repair else None,
        finding_gone=repair.finding_gone if repair else None,
    )


def _hash(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:20]
