"""Crops to a feature table, with the very functions that measure a photo."""

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

import numpy as np

from plugsight.features import CANONICAL_NAMES, catalogue_digest, measure_canonical
from plugsight.spread import spread
from plugsight.training.crops import CropTruth
from plugsight.training.table import FeatureTable
from plugsight.vocabulary.damage import Damage

NO_PICTURE = np.zeros((0, 0, 3), np.uint8)
DAMAGES = tuple(str(d) for d in Damage)


def measure_crop(crop: CropTruth) -> list[float]:
    """Measure one crop: values in the order of ``CANONICAL_NAMES``, NaN where not measured."""
    measured = measure_canonical(crop.crop, crop.kind, px_per_mm=crop.px_per_mm, closeup=crop.closeup)
    values = {v.name: v.value for v in measured}
    return [values.get(name, math.nan) for name in CANONICAL_NAMES]


def make_table(
    crops: Iterable[CropTruth],
    *,
    workers: int = 2,
    scheduler: str = "",
    done: Callable[[int], None] = lambda _: None,
) -> FeatureTable:
    """Measure all ``crops`` as ``spread`` does, a few at once in memory; ``done`` is told the count as it grows."""
    kept: list[CropTruth] = []
    rows: list[list[float]] = []
    for row in spread(measure_crop, _noted(crops, kept), workers=workers, scheduler=scheduler):
        rows.append(row)
        done(len(rows))
    return table_of(kept, rows)


def _noted(crops: Iterable[CropTruth], kept: list[CropTruth]) -> Iterator[CropTruth]:
    """Yield ``crops`` and note in ``kept`` what is true of each, without its pictures."""
    for crop in crops:
        kept.append(replace(crop, crop=NO_PICTURE, closeup=None))
        yield crop


def table_of(kept: Sequence[CropTruth], rows: Sequence[Sequence[float]]) -> FeatureTable:
    """Put measured ``rows`` together with what is true of their crops."""
    return FeatureTable(
        names=CANONICAL_NAMES,
        damages=DAMAGES,
        values=np.array(rows, np.float32).reshape(len(rows), len(CANONICAL_NAMES)),
        kind=np.array([str(c.kind) for c in kept]),
        plug=np.array([c.plug for c in kept]),
        group=np.array([c.plug for c in kept]),
        split=np.array([c.family for c in kept]),
        deposit=np.array([str(c.deposit) for c in kept]),
        second=np.array([str(c.second or "") for c in kept]),
        severity=np.array([c.severity for c in kept], np.float32),
        damage=np.array([[Damage(d) in c.damage for d in DAMAGES] for c in kept], bool).reshape(
            len(kept), -1
        ),
        catalogue=catalogue_digest(),
    )
