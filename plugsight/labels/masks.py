"""Part masks in the COCO object-detection layout (uncompressed run lengths, column by column)."""

from typing import Any

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, ConfigDict, Field

from plugsight.labels.lazily import Lazily
from plugsight.photo.limits import MAX_PIXELS
from plugsight.segments.record import Part

MOST_PIXELS_A_SIDE = 20_000
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
    _check_runs(counts, shape)
    values = np.arange(len(counts)) % 2 == 1
    return np.repeat(values, counts).reshape(shape, order="F")


def _check_runs(counts: list[int], shape: tuple[int, int]) -> None:
    if sum(counts) != shape[0] * shape[1] or any(c < 0 for c in counts):
        raise ValueError("run lengths don't fill the mask")


class _Run(BaseModel):
    model_config = ConfigDict(extra="ignore", frozen=True)
    size: tuple[int, int]
    counts: list[int]


class _Annotation(BaseModel):
    model_config = ConfigDict(extra="ignore", frozen=True)
    image_id: int
    category_id: int
    segmentation: _Run


class _Image(BaseModel):
    model_config = ConfigDict(extra="ignore", frozen=True)
    id: int
    file_name: str
    height: int = Field(ge=1, le=MOST_PIXELS_A_SIDE)
    width: int = Field(ge=1, le=MOST_PIXELS_A_SIDE)


class _Coco(BaseModel):
    model_config = ConfigDict(extra="ignore", frozen=True)
    images: list[_Image]
    annotations: list[_Annotation]


def label_maps(text: bytes) -> Lazily[NDArray[np.uint8]]:
    """Read part masks back: label maps ``(rows, cols)`` uint8 of ``Part`` by image name, drawn when asked for.

    Raises
    ------
    ValueError
        Where the text isn't this layout, a mask doesn't fill its image, an image is larger than any photo, or a part
        is unknown.

    """
    coco = _Coco.model_validate_json(text)
    images = {one.id: one for one in coco.images}
    marks: dict[str, list[_Annotation]] = {one.file_name: [] for one in coco.images}
    for one in coco.images:
        if one.height * one.width > MAX_PIXELS:
            raise ValueError(f"an image of {one.width} x {one.height} pixels")
    for mark in coco.annotations:
        if mark.image_id not in images:
            raise ValueError(f"a mask of image {mark.image_id}, which is not listed")
        image = images[mark.image_id]
        Part(mark.category_id)
        if mark.segmentation.size != (image.height, image.width):
            raise ValueError("a mask of another size than its image")
        _check_runs(mark.segmentation.counts, mark.segmentation.size)
        marks[image.file_name].append(mark)
    shapes = {one.file_name: (one.height, one.width) for one in coco.images}

    def draw(name: str) -> NDArray[np.uint8]:
        labels = np.zeros(shapes[name], np.uint8)
        for mark in marks[name]:
            if mark.segmentation.size == labels.shape:
                labels[from_run_lengths(mark.segmentation.counts, labels.shape)] = mark.category_id
        return labels

    return Lazily(shapes, draw)


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
