"""Read a labelled set: whole or not at all, every problem listed with its row."""

import hashlib
import json
from collections.abc import Container, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from pydantic import TypeAdapter, ValidationError

from plugsight.labels.lazily import Lazily
from plugsight.labels.masks import label_maps
from plugsight.labels.record import FORMAT, LabelledPlug, LabelledSet
from plugsight.labels.unpack import REMEDY, files_of
from plugsight.labels.write import COCO, SET
from plugsight.photo import read_photo
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.errors import InputError


@dataclass(frozen=True, slots=True)
class ReadSet:
    """A checked set: ``labelled`` without duplicates, ``images`` by file name, and how many plugs were known already."""

    labelled: LabelledSet
    images: Mapping[str, bytes]
    """Read from the source when asked for."""
    duplicates: int
    masks: Mapping[str, NDArray[np.uint8]] = field(default_factory=dict)
    """Label maps ``(rows, cols)`` of ``Part`` by file name, where the set has them."""


def read_set(source: Path, *, known: Container[str] = ()) -> ReadSet:
    """Read and check the folder or zip ``source``.

    ``known`` holds digests of images that are there already: plugs all of whose photos are known are left out and
    counted.

    Raises
    ------
    InputError
        With every problem found and the row it stands in; then nothing was imported.

    """
    files = files_of(source)
    if SET not in files:
        raise InputError(str(source), f"there is no {SET} in it", REMEDY)
    labelled = _parsed(source, files[SET])
    masks = _masks(source, files.get(COCO))
    problems = [
        f"row {n}: {p}" for n, plug in enumerate(labelled.plugs, 1) for p in _problems(plug, labelled, files)
    ]
    if problems:
        more = f" (and {len(problems) - 5} more)" if len(problems) > 5 else ""
        raise InputError(str(source), "; ".join(problems[:5]) + more, REMEDY)
    fresh, seen = [], set[str]()
    for plug in labelled.plugs:
        digests = {p.digest for p in plug.photos}
        if not all(d in known or d in seen for d in digests):
            fresh.append(plug)
        seen |= digests
    images = files.only(p.file for plug in fresh for p in plug.photos)
    return ReadSet(
        replace(labelled, plugs=tuple(fresh)),
        images,
        len(labelled.plugs) - len(fresh),
        masks.only(images) if masks else {},
    )


def read_labels(folder: Path) -> LabelledSet:
    """Read the labels of a set that was checked before, without its images; ``InputError`` where they were damaged."""
    try:
        text = (folder / SET).read_bytes()
    except OSError as error:
        raise InputError(
            str(folder), f"its {SET} can't be read", "Delete this folder and import the set again."
        ) from error
    return _parsed(folder, text)


def _masks(source: Path, text: bytes | None) -> Lazily[NDArray[np.uint8]] | None:
    try:
        return label_maps(text) if text else None
    except (ValueError, RecursionError, MemoryError) as error:
        first = str(error).splitlines()[0] if str(error) else type(error).__name__
        raise InputError(f"{source}: {COCO}", f"the part masks can't be used: {first}", REMEDY) from error


def _parsed(source: Path, text: bytes) -> LabelledSet:
    where = f"{source}: {SET}"
    try:
        body = json.loads(text)
        number = body.get("format") if isinstance(body, dict) else None
        if number != FORMAT:
            raise InputError(
                where,
                f"the set's format is not {FORMAT}",
                "Update plugsight, or ask for an older set.",
                number,
            )
        return TypeAdapter(LabelledSet).validate_python(body)
    except ValidationError as error:
        lines = [f"{'.'.join(map(str, e['loc']))}: {e['msg']}" for e in error.errors()[:5]]
        raise InputError(where, "; ".join(lines), REMEDY) from error
    except (UnicodeDecodeError, json.JSONDecodeError, RecursionError) as error:
        raise InputError(where, "this is no readable JSON", REMEDY, type(error).__name__) from error


def _problems(plug: LabelledPlug, labelled: LabelledSet, files: Mapping[str, bytes]) -> list[str]:
    found = [f"unknown deposit '{d}'" for d in (*plug.deposits, *plug.absent) if d not in set(Deposit)]
    found += [f"unknown damage '{d}'" for d in (*plug.damage, *plug.damage_absent) if d not in set(Damage)]
    if not plug.deposits:
        found.append("no deposit confirmed")
    if not plug.photos:
        found.append("no photo")
    for photo in plug.photos:
        data = files.get(photo.file)
        if data is None:
            found.append(f"{photo.file[:80]} is missing")
        elif hashlib.sha256(data).hexdigest() != photo.digest:
            found.append(f"{photo.file} does not match its digest")
        else:
            found += _unreadable(photo.file, data)
        if photo.values and len(photo.values) != len(labelled.feature_names):
            found.append(
                f"{photo.file} has {len(photo.values)} features, {len(labelled.feature_names)} named"
            )
    return found


def _unreadable(name: str, data: bytes) -> list[str]:
    try:
        read_photo(data, name)
    except InputError as error:
        return [str(error)]
    return []
