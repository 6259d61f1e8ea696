"""Part masks in the COCO object-detection layout (uncompressed run lengths, column by column)."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from plugsight.segments.record import Part

CATEGORIES = [{"id": int(part), "name": part.name.lower(), "supercategory": "plug"} for part in Part if part]


def run_lengths(mask: NDArray[np.bool_]) -> list[int]:
    """Run lengths of ``mask`` ``(rows, cols)`` in column-major order, starting with the count of False."""
    flat = mask.ravel(order="F")
    if not flat.size:
        return [0]
    changes = np.flatnonzero(np.diff(flat.view(np.int8))) + 1
    runs = np.diff(np.r_[0, changes, flat.size]).tolist()
    return [0, *runs] if flat[0] else runs


def from_run_lengths(counts: list[int], shape: tuple[int, int]) -> NDArray[np.bool_]:
    """Mask ``shape`` from run lengths; ``ValueError`` where they don't add up to its size."""
    if sum(counts) != shape[0] * shape[1] or any(c < 0 for c in counts):
        raise ValueError("run lengths don't fill the mask")
    values = np.arange(len(counts)) % 2 == 1
    return np.repeat(values, counts).reshape(shape, order="F")


def annotations(labels: NDArray[np.uint8], image: int, first: int) -> list[dict[str, Any]]:
    """COCO annotations of every part in ``labels`` ``(rows, cols)``, numbered from ``first``."""
    found: list[dict[str, Any]] = []
    for part in Part:
        mask = labels == part
        if part is Part.BACKGROUND or not mask.any():
            continue
        rows, cols = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
        box = [int(cols[0]), int(rows[0]), int(cols[-1] - cols[0] + 1), int(rows[-1] - rows[0] + 1)]
        found.append(
            {
                "id": first + len(found),
                "image_id": image,
                "category_id": int(part),
                "bbox": box,
                "area": int(mask.sum()),
                "iscrowd": 1,  # COCO's sign for run lengths instead of polygons
                "segmentation": {"size": list(labels.shape), "counts": run_lengths(mask)},
            }
        )
    return found
