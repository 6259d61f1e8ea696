"""Labelled sets as rows to learn from: engines parted for ever into those learnt from and those only tested on."""

import hashlib
import math
from collections.abc import Iterable

import numpy as np

from plugsight.features import CANONICAL_NAMES, catalogue_digest
from plugsight.labels import LabelledPhoto, LabelledPlug, LabelledSet
from plugsight.training.make_table import DAMAGES
from plugsight.training.table import FeatureTable
from plugsight.vocabulary.errors import InputError

LEARN_BLIND, LEARN_SHOWN = "learnt, blind", "learnt, shown"
LOCKED_BLIND, LOCKED_SHOWN = "locked, blind", "locked, shown"
"""Values of ``split``: learnt from or only tested on; decided before or after the suggestion was shown."""
LEARN, LOCKED = (LEARN_BLIND, LEARN_SHOWN), (LOCKED_BLIND, LOCKED_SHOWN)
LOCKED_SHARE = 0.3
HEAVIEST = 1.0
"""People do not grade severity: a confirmed deposit counts as plain to see."""


def locked(engine: str) -> bool:
    """Whether an engine belongs to the test fold: by hash of its hash, so the same for ever and on every machine."""
    digest = hashlib.sha256(f"test fold/{engine}".encode()).digest()
    return int.from_bytes(digest[:8]) / 2**64 < LOCKED_SHARE


def confirmed_table(sets: Iterable[LabelledSet]) -> FeatureTable:
    """Return the photos of untouched plugs in ``sets`` that could be measured, one row each.

    ``group`` is the engine; a plug that stands in several sets counts once, as the last set has it.

    Raises
    ------
    InputError
        Where a set was made with another feature catalogue: its numbers would mean something else.

    """
    plugs: dict[str, tuple[LabelledPlug, tuple[str, ...]]] = {}
    for one in sets:
        if one.catalogue != catalogue_digest():
            raise InputError(
                f"labelled set of {one.made[:10]}",
                "its features were measured with another catalogue",
                "Export it again with this version of plugsight.",
                one.catalogue[:12],
            )
        plugs |= {plug.plug: (plug, one.feature_names) for plug in one.plugs}
    rows = [
        (plug, photo, names)
        for plug, names in plugs.values()
        for photo in plug.photos
        if photo.kind and photo.values and not photo.cleaned
    ]
    return FeatureTable(
        names=CANONICAL_NAMES,
        damages=DAMAGES,
        values=np.array([_row(photo, names) for _, photo, names in rows], np.float32).reshape(
            len(rows), len(CANONICAL_NAMES)
        ),
        kind=np.array([photo.kind for _, photo, _ in rows], str),
        plug=np.array([plug.plug for plug, _, _ in rows], str),
        group=np.array([plug.engine for plug, _, _ in rows], str),
        split=np.array([_split(plug) for plug, _, _ in rows], str),
        deposit=np.array([plug.deposits[0] for plug, _, _ in rows], str),
        second=np.full(len(rows), "", str),
        severity=np.full(len(rows), HEAVIEST, np.float32),
        damage=np.array([[d in plug.damage for d in DAMAGES] for plug, _, _ in rows], bool).reshape(
            len(rows), len(DAMAGES)
        ),
        catalogue=catalogue_digest(),
    )


def _row(photo: LabelledPhoto, names: tuple[str, ...]) -> list[float]:
    values = {name: math.nan if v is None else v for name, v in zip(names, photo.values, strict=True)}
    return [values.get(name, math.nan) for name in CANONICAL_NAMES]


def _split(plug: LabelledPlug) -> str:
    blind, shown = LOCKED if locked(plug.engine) else LEARN
    return blind if plug.blind else shown
