"""A photo as it goes into a set: metadata gone, cropped to the plug on request, its parts beside it."""

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.photo import read_photo
from plugsight.photo.private import without_metadata
from plugsight.segments import find_parts
from plugsight.view import take_view
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.refusal import NotFound

QUALITY = 95


@dataclass(frozen=True, slots=True, eq=False)
class SetPicture:
    """``data`` is an image file (JPEG or PNG); ``labels`` ``(rows, cols)`` uint8 of ``Part`` on its grid, or None."""

    data: bytes
    labels: NDArray[np.uint8] | None
    size: tuple[int, int]


def set_picture(data: bytes, spec: PlugSpec, *, crop: bool) -> SetPicture:
    """Prepare one kept photo. With ``crop`` only the part of the photo that the view covers is kept."""
    photo = read_photo(data)
    rows, cols = photo.pixels.shape[:2]
    view = take_view(photo, spec)
    parts = view if isinstance(view, NotFound) else find_parts(view, spec)
    if isinstance(view, NotFound) or isinstance(parts, NotFound):
        return SetPicture(without_metadata(data), None, (rows, cols))
    onto_photo = np.asarray(view.to_photo[:2], np.float64)
    labels = cv2.warpAffine(parts.labels, onto_photo, (cols, rows), flags=cv2.INTER_NEAREST)
    if not crop:
        return SetPicture(_jpeg(photo.pixels), np.asarray(labels, np.uint8), (rows, cols))
    height, width = parts.labels.shape
    corners = np.array([[0, 0, 1], [width, 0, 1], [0, height, 1], [width, height, 1]]) @ onto_photo.T
    left, top = (max(0, math.floor(v)) for v in corners.min(axis=0))
    right, bottom = (math.ceil(v) for v in corners.max(axis=0))
    box = (slice(top, min(bottom, rows)), slice(left, min(right, cols)))
    return SetPicture(_jpeg(photo.pixels[box]), np.asarray(labels[box], np.uint8), labels[box].shape)


def _jpeg(pixels: NDArray[np.uint8]) -> bytes:
    done, data = cv2.imencode(
        ".jpg", cv2.cvtColor(pixels, cv2.COLOR_RGB2BGR), [cv2.IMWRITE_JPEG_QUALITY, QUALITY]
    )
    if not done:  # imencode fails only without memory
        raise MemoryError("a photo could not be encoded")
    return data.tobytes()
