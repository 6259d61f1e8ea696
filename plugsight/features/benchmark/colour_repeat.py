"""How well the nose's colour repeats between two photos of one plug in different light."""

import hashlib
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from skimage.color import deltaE_ciede2000

from plugsight.features.benchmark.relight import relight
from plugsight.features.benchmark.truth import PictureTruth
from plugsight.features.measure import measure
from plugsight.photo.read import read_photo
from plugsight.segments.find import find_parts
from plugsight.view.record import Card
from plugsight.view.take import take_view
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.errors import PlugsightError
from plugsight.vocabulary.refusal import Refusal


def colour_difference(folder: Path, truth: PictureTruth, *, harsh: bool) -> float:
    """CIEDE2000 between the nose's median colours in two relit photos; NaN where either shows no nose or no card."""
    picture = cv2.imread(str(folder / "images" / f"{truth.name}.jpg"))
    if picture is None:
        return float("nan")
    pixels = np.ascontiguousarray(picture[..., ::-1]).astype(np.uint8)
    seed = int(hashlib.sha256(truth.name.encode()).hexdigest()[:8], 16)
    labs = [_nose(relight(pixels, np.random.default_rng([seed, k]), harsh=harsh), truth) for k in (0, 1)]
    if labs[0] is None or labs[1] is None:
        return float("nan")
    difference = deltaE_ciede2000(np.array(labs[0]), np.array(labs[1]))  # type: ignore[no-untyped-call]
    return float(difference)


def _nose(pixels: NDArray[np.uint8], truth: PictureTruth) -> tuple[float, float, float] | None:
    coded = cv2.imencode(".jpg", np.ascontiguousarray(pixels[..., ::-1]), [cv2.IMWRITE_JPEG_QUALITY, 92])[1]
    spec = PlugSpec(thread=truth.thread)
    try:
        view = take_view(read_photo(coded.tobytes(), truth.name), spec)
        if isinstance(view, Refusal) or not isinstance(view.card, Card):
            return None
        segments = find_parts(view, spec)
        return None if isinstance(segments, Refusal) else measure(view, segments, spec).nose_lab
    except PlugsightError:
        return None
