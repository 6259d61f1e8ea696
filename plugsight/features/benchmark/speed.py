"""Time and memory from a 12-megapixel JPEG to features, against decoding the same bytes at full size."""

import resource
import time
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import cv2
import numpy as np

from plugsight.features.benchmark.truth import PictureTruth
from plugsight.features.measure import measure
from plugsight.photo.read import read_photo
from plugsight.segments.find import find_parts
from plugsight.view.take import take_view
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.errors import PlugsightError
from plugsight.vocabulary.refusal import Refusal

ROWS, COLS = 3000, 4000


@dataclass(frozen=True, slots=True)
class Timing:
    """Seconds per stage; ``decode`` is ``cv2.imdecode`` of the same bytes; ``peak_mb`` the process's peak so far."""

    decode: float
    photo: float
    view: float
    segments: float
    features: float
    peak_mb: float

    @property
    def ratio(self) -> float:
        """Whole road over decode."""
        return (self.photo + self.view + self.segments + self.features) / self.decode


def compose(folder: Path, truth: PictureTruth) -> bytes | None:
    """JPEG of 4000 x 3000 pixels: the render magnified to fill the height on a canvas of its own border's colour."""
    picture = cv2.imread(str(folder / "images" / f"{truth.name}.jpg"))
    if picture is None:
        return None
    large = cv2.resize(picture, (ROWS, ROWS), interpolation=cv2.INTER_CUBIC)
    side = (COLS - ROWS) // 2
    canvas = cv2.copyMakeBorder(large, 0, 0, side, COLS - ROWS - side, cv2.BORDER_REFLECT)
    noise = np.random.default_rng(0).normal(0, 2, (ROWS // 2, COLS // 2, 1)).astype(np.float32)
    grain = cv2.resize(noise, (COLS, ROWS))[..., None]
    grainy = np.clip(canvas + grain, 0, 255).astype(np.uint8)
    return bytes(cv2.imencode(".jpg", grainy, [cv2.IMWRITE_JPEG_QUALITY, 90])[1].tobytes())


def time_road(data: bytes, truth: PictureTruth) -> Timing | None:
    """Time one pass with OpenCV on one thread; None where the road refuses the picture."""
    cv2.setNumThreads(1)
    spec = PlugSpec(thread=truth.thread)
    start = time.perf_counter()
    cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR)
    marks = [time.perf_counter()]
    try:
        photo = read_photo(data, truth.name)
        marks.append(time.perf_counter())
        view = take_view(photo, spec)
        if isinstance(view, Refusal):
            return None
        marks.append(time.perf_counter())
        segments = find_parts(view, spec)
        if isinstance(segments, Refusal):
            return None
        marks.append(time.perf_counter())
        measure(view, segments, spec)
        marks.append(time.perf_counter())
    except PlugsightError:
        return None
    stages = [b - a for a, b in pairwise(marks)]
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return Timing(marks[0] - start, stages[0], stages[1], stages[2], stages[3], peak)
