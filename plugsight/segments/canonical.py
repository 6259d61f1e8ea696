"""Parts on a canonical crop: the most likely part at each pixel, without islands."""

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.segments.network import part_chances
from plugsight.segments.record import Part
from plugsight.view.record import ViewKind


def find_parts_canonical(crop: NDArray[np.uint8], kind: ViewKind) -> NDArray[np.uint8]:  # noqa: ARG001
    """Return labels ``(320, 320)`` uint8 of ``Part`` for a canonical crop ``(320, 320, 3)`` uint8 sRGB.

    ``kind`` is part of the contract (a network per kind may come); today one network serves all kinds.
    """
    return clean_labels(part_chances(crop)[0])


def clean_labels(chances: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Most likely part, ``(parts, rows, cols)`` -> ``(rows, cols)`` uint8, islands given to what surrounds them.

    Of shell, nose and centre electrode only the largest piece is kept; of ground electrodes, which may be several, every
    piece of at least a tenth of the largest.
    """
    labels: NDArray[np.uint8] = np.argmax(chances, axis=0).astype(np.uint8)
    for part in (Part.SHELL, Part.NOSE, Part.CENTRE_ELECTRODE, Part.GROUND_ELECTRODE):
        mask = (labels == part).astype(np.uint8)
        count, pieces, stats, _ = cv2.connectedComponentsWithStats(mask, connectivity=8)
        if count <= 2:
            continue
        areas = stats[1:, cv2.CC_STAT_AREA]
        share = 0.1 if part in (Part.GROUND_ELECTRODE, Part.SHELL) else 1.0
        dropped = np.isin(pieces, 1 + np.flatnonzero(areas < share * areas.max()))
        second = chances[:, dropped].copy()
        second[part] = -1.0
        labels[dropped] = np.argmax(second, axis=0)
    return labels
