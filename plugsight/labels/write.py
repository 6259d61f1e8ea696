"""Write a labelled set as a folder or a zip: aside first, renamed when whole."""

import json
import os
import tempfile
import zipfile
from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

from plugsight.durable import sync_folder, sync_tree
from plugsight.labels.masks import CATEGORIES, annotations
from plugsight.labels.picture import SetPicture
from plugsight.labels.record import LabelledSet
from plugsight.vocabulary.errors import InputError

SET, COCO, README = "set.json", "parts.coco.json", "README.txt"

ABOUT = """Labelled spark plugs, written by plugsight.
set.json         plugs with what a person confirmed, grade, blind or shown, features; "format" numbers its layout
parts.coco.json  part masks in the COCO object-detection layout (run lengths)
images/          photos without metadata, named by the SHA-256 of their bytes
Licence: {licence}
Consent: {consent}
"""


def write_set(labelled: LabelledSet, pictures: Mapping[str, SetPicture], to: Path) -> Path:
    """Write ``labelled`` with its ``pictures`` (by ``LabelledPhoto.file``) to the folder or ``.zip`` named ``to``.

    Raises
    ------
    InputError
        Where ``to`` exists already or can't be written, or the set is empty.

    """
    if not labelled.plugs:
        raise InputError("labelled set", "no confirmed plug with a photo", "Confirm plugs with photos first.")
    if to.exists():
        raise InputError(str(to), "this exists already", "Choose another name; nothing was written.")
    try:
        _write_aside(labelled, pictures, to)
    except OSError as error:
        raise InputError(
            str(to), f"the set can't be written ({error.strerror})", "Check free space and write access."
        ) from error
    return to


def _write_aside(labelled: LabelledSet, pictures: Mapping[str, SetPicture], to: Path) -> None:
    to.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix=".labels-", dir=to.parent) as aside:
        folder = Path(aside) / "set"
        (folder / "images").mkdir(parents=True)
        for name, picture in pictures.items():
            (folder / name).write_bytes(picture.data)
        (folder / COCO).write_text(_coco(pictures), "utf-8")
        (folder / SET).write_text(json.dumps(asdict(labelled), indent=1, ensure_ascii=False), "utf-8")
        (folder / README).write_text(
            ABOUT.format(licence=labelled.licence, consent=labelled.consent), "utf-8"
        )
        whole = _zipped(folder, Path(aside) / "set.zip") if to.suffix == ".zip" else folder
        if whole.is_dir():
            sync_tree(whole)
        whole.rename(to)
    sync_folder(to.parent)


def _coco(pictures: Mapping[str, SetPicture]) -> str:
    images: list[dict[str, Any]] = []
    parts: list[dict[str, Any]] = []
    for number, (name, picture) in enumerate(pictures.items(), 1):
        rows, cols = picture.size
        images.append({"id": number, "file_name": name, "height": rows, "width": cols})
        if picture.labels is not None:
            parts += annotations(picture.labels, number, len(parts) + 1)
    return json.dumps({"images": images, "annotations": parts, "categories": CATEGORIES})


def _zipped(folder: Path, to: Path) -> Path:
    with zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED) as archive:
        for path in sorted(folder.rglob("*")):
            if path.is_file():
                archive.write(path, path.relative_to(folder).as_posix())
    with to.open("rb") as file:
        os.fsync(file.fileno())
    return to
