"""The one list of everything measured. Its digest goes into feature tables and models, so that they can't be mixed up."""

import hashlib
import json

from plugsight.features.colour_entries import COLOUR_ENTRIES
from plugsight.features.entry import FeatureEntry
from plugsight.features.look_entries import LOOK_ENTRIES
from plugsight.features.shape_entries import SHAPE_ENTRIES
from plugsight.features.texture_entries import TEXTURE_ENTRIES

METHOD = 2
"""Raise by one whenever a formula changes while its name stays, so that old tables and models are refused."""

CATALOGUE: tuple[FeatureEntry, ...] = (*COLOUR_ENTRIES, *TEXTURE_ENTRIES, *SHAPE_ENTRIES, *LOOK_ENTRIES)
CANONICAL_NAMES: tuple[str, ...] = tuple(entry.name for entry in CATALOGUE if entry.on_canonical)
"""Names that ``measure_canonical`` fills and a classifier may use, in the catalogue's order."""


def catalogue_digest() -> str:
    """Return the SHA-256 (hex) over names, units, ranges, views, references and the method number."""
    lines = [
        [e.name, e.unit, e.low, e.high, [v.value for v in e.views], e.reference, e.on_canonical]
        for e in CATALOGUE
    ]
    text = json.dumps([METHOD, lines], separators=(",", ":"), ensure_ascii=True)
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def entry_of(name: str) -> FeatureEntry:
    """Return the entry of that name; ``KeyError`` if there is none."""
    for entry in CATALOGUE:
        if entry.name == name:
            return entry
    raise KeyError(name)
