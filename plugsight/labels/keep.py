"""Imported sets, kept in the user's data folder until they are learnt from: each whole, under a name of its content.

``PLUGSIGHT_LABELS`` names another folder.
"""

import hashlib
import json
import os
import tempfile
from dataclasses import asdict
from pathlib import Path

import numpy as np
import platformdirs
from numpy.typing import NDArray

from plugsight.durable import sync_folder
from plugsight.labels.lazily import Lazily
from plugsight.labels.picture import SetPicture
from plugsight.labels.read import ReadSet, read_labels, read_set
from plugsight.labels.record import LabelledSet
from plugsight.labels.write import write_set
from plugsight.photo import read_photo


def labels_home() -> Path:
    """Folder of the kept sets."""
    named = os.environ.get("PLUGSIGHT_LABELS")
    return Path(named) if named else platformdirs.user_data_path("plugsight", appauthor=False) / "labels"


def kept_sets() -> tuple[LabelledSet, ...]:
    """Labels of every kept set; ``InputError`` names one that was damaged since."""
    home = labels_home()
    folders = sorted(home.glob("set-*")) if home.is_dir() else []
    return tuple(read_labels(folder) for folder in folders)


def known_photos() -> frozenset[str]:
    """Digests of every photo in the kept sets."""
    return frozenset(photo.digest for one in kept_sets() for plug in one.plugs for photo in plug.photos)


def keep_set(source: Path) -> ReadSet:
    """Read the folder or zip ``source`` and keep what is new in it; on any failure nothing is kept.

    Raises
    ------
    InputError
        As ``read_set`` does.

    """
    made = read_set(source, known=known_photos())
    if not made.labelled.plugs:
        return made
    home = labels_home()
    home.mkdir(parents=True, exist_ok=True)
    text = json.dumps(asdict(made.labelled), sort_keys=True).encode()
    to = home / f"set-{hashlib.sha256(text).hexdigest()[:16]}"
    with tempfile.TemporaryDirectory(prefix=".labels-", dir=home) as aside:
        pictures = Lazily(made.images, lambda name: _picture(made.images[name], made.masks.get(name)))
        whole = write_set(made.labelled, pictures, Path(aside) / "set")
        if not to.exists():  # else another process has just kept the same
            whole.rename(to)
    sync_folder(home)
    return made


def _picture(data: bytes, mask: NDArray[np.uint8] | None) -> SetPicture:
    """An image with its mask; its size is the mask's, else its own."""
    rows, cols = (read_photo(data).pixels if mask is None else mask).shape[:2]
    return SetPicture(data, mask, (rows, cols))
