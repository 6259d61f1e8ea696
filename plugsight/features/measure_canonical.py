"""Everything that a stored canonical crop and its close-up can show: the same function in training and in use, so both agree exactly."""

import math

import numpy as np
from numpy.typing import NDArray

from plugsight.features.bands import measure_bands
from plugsight.features.catalogue import CANONICAL_NAMES, CATALOGUE
from plugsight.features.colour import measure_colour
from plugsight.features.grain import measure_grain
from plugsight.features.look import measure_look
from plugsight.features.outline import measure_outline
from plugsight.features.record import FeatureValue
from plugsight.features.regions import canonical_px_per_mm, split_regions
from plugsight.features.specks import measure_specks
from plugsight.features.tones import read_tones
from plugsight.segments.canonical import clean_labels, find_parts_canonical
from plugsight.segments.network import tip_chances
from plugsight.view.record import ViewKind

ASSUMED_DIAMETER_MM = 14.0
"""Thread diameter assumed where none is known: the size of most car plugs. Sizes in mm are then only likely."""


def measure_canonical(
    crop: NDArray[np.uint8],
    kind: ViewKind,
    labels: NDArray[np.uint8] | None = None,
    px_per_mm: float | None = None,
    *,
    closeup: NDArray[np.uint8] | None = None,
    close_labels: NDArray[np.uint8] | None = None,
) -> tuple[FeatureValue, ...]:
    """Measure one canonical crop, and the look of the nose on the close-up of its tip.

    ``crop`` ``(320, 320, 3)`` uint8 sRGB; ``labels`` ``(320, 320)`` uint8 of ``Part``, found on the crop if not given;
    ``px_per_mm`` of the crop, from the frame's definition with an M14 thread if not given. ``closeup`` ``(320, 320, 3)`` uint8
    sRGB as ``TipMap.crop``, ``close_labels`` its parts, found on it if not given; without a close-up no look is measured. Returns the catalogue's
    canonical entries in its order; NaN where the view or the part does not show a feature.
    """
    if labels is None:
        labels = find_parts_canonical(crop, kind)
    scale = px_per_mm or canonical_px_per_mm(kind, ASSUMED_DIAMETER_MM, crop.shape[1])
    regions = split_regions(labels, kind, scale)
    tones = read_tones(crop, scale)
    found = (
        measure_colour(tones, regions)
        | measure_grain(tones, regions)
        | measure_specks(tones, regions)
        | measure_bands(tones, regions)
        | measure_outline(labels, regions)
        | _look(closeup, close_labels)
    )
    unknown = found.keys() - set(CANONICAL_NAMES)
    if unknown:
        raise KeyError(f"measured but not in the catalogue: {sorted(unknown)}")
    return tuple(
        FeatureValue(e.name, e.clip(found.get(e.name, math.nan)) if kind in e.views else math.nan)
        for e in CATALOGUE
        if e.on_canonical
    )


def _look(closeup: NDArray[np.uint8] | None, labels: NDArray[np.uint8] | None) -> dict[str, float]:
    if closeup is None:
        return {}
    return measure_look(closeup, clean_labels(tip_chances(closeup)[0]) if labels is None else labels)
