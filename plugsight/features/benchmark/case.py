"""One picture through the road, held beside its truth."""

import math
from dataclasses import dataclass, field, replace
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.features.benchmark.outlines import boundary_errors, overlap
from plugsight.features.benchmark.truth import PictureTruth
from plugsight.features.measure import measure
from plugsight.features.record import Features, Length
from plugsight.photo.read import read_photo
from plugsight.segments.find import find_parts
from plugsight.segments.record import Part, Segments
from plugsight.view.record import Scale, View
from plugsight.view.take import take_view
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.errors import PlugsightError
from plugsight.vocabulary.quality import Quality
from plugsight.vocabulary.refusal import Refusal


@dataclass(frozen=True, slots=True)
class PartScore:
    """``iou`` 0..1, median ``boundary_mm`` and mean width in pixels of one part; NaN where the truth has none."""

    iou: float
    boundary_mm: float
    px: float


@dataclass(frozen=True, slots=True)
class Case:
    """What came out for one picture. ``stage`` names the room that refused, empty if features were made.

    Errors are measured minus true, NaN where nothing was measured: mm, degrees, share.
    """

    truth: PictureTruth
    stage: str
    reason: str
    kind: str = ""
    gap_mm: float = math.nan
    U_gap_mm: float = math.nan
    gap_reason: str = ""
    edge_mm: float = math.nan
    U_edge_mm: float = math.nan
    scale_error: float = math.nan
    unnamed_size: str = ""
    """The thread read without being told it; empty where the view asked for it, or found no plug."""
    flags: tuple[Quality, ...] = ()
    tilt_error_deg: float = math.nan
    view_tilt_error_deg: float = math.nan
    seen_tilt_error_deg: float = math.nan
    parts: tuple[tuple[Part, PartScore], ...] = field(default=())

    @property
    def answered(self) -> bool:
        """Whether a gap was stated."""
        return math.isfinite(self.gap_mm)

    @property
    def gap_error_mm(self) -> float:
        """Measured minus true gap as a wire gauge feels it."""
        return self.gap_mm - self.truth.gap_wire_mm


def run_case(folder: Path, truth: PictureTruth) -> Case:
    """Run one picture of ``folder`` (``images/NAME.jpg``, ``masks/NAME.png``) through photo, view, segments, features."""
    spec = PlugSpec(thread=truth.thread)
    try:
        photo = read_photo(folder / "images" / f"{truth.name}.jpg")
        view = take_view(photo, spec)
        if isinstance(view, Refusal):
            return Case(truth, "view", view.reason)
        segments = find_parts(view, spec)
        if isinstance(segments, Refusal):
            return Case(truth, "segments", segments.reason, kind=view.pose.kind.value)
        features = measure(view, segments, spec)
        unnamed = take_view(photo, PlugSpec())
    except PlugsightError as error:
        return Case(truth, "photo", str(error))
    mask = cv2.imread(str(folder / "masks" / f"{truth.name}.png"), cv2.IMREAD_GRAYSCALE)
    case = _compare(
        truth, view, segments, features, None if mask is None else np.asarray(mask, dtype=np.uint8)
    )
    if isinstance(unnamed, View) and isinstance(unnamed.scale, Scale):
        return replace(case, unnamed_size=unnamed.scale.thread)
    return case


def _compare(
    truth: PictureTruth, view: View, segments: Segments, features: Features, mask: NDArray[np.uint8] | None
) -> Case:
    photo_px = float(np.hypot(view.to_photo[0, 0], view.to_photo[1, 0]))  # photo pixels per view pixel
    px_per_mm = features.px_per_mm * photo_px if features.px_per_mm else math.nan
    seen = segments.tip.read.get("tilt_deg")
    return Case(
        truth=truth,
        stage="",
        reason="",
        kind=view.pose.kind.value,
        gap_mm=features.gap.mm if isinstance(features.gap, Length) else math.nan,
        U_gap_mm=features.gap.U_mm if isinstance(features.gap, Length) else math.nan,
        gap_reason="" if isinstance(features.gap, Length) else features.gap.reason,
        edge_mm=features.edge_radius.mm if isinstance(features.edge_radius, Length) else math.nan,
        U_edge_mm=features.edge_radius.U_mm if isinstance(features.edge_radius, Length) else math.nan,
        scale_error=px_per_mm / truth.px_per_mm - 1.0,
        flags=tuple(note.flag for note in features.notes),
        tilt_error_deg=features.tilt_deg - truth.tilt_deg,
        view_tilt_error_deg=view.pose.tilt_deg - truth.tilt_deg,
        seen_tilt_error_deg=math.nan if seen is None else seen.value - truth.tilt_deg,
        parts=() if mask is None else _parts(segments.labels, mask, view, truth.px_per_mm / photo_px),
    )


def _parts(
    labels: NDArray[np.uint8], mask: NDArray[np.uint8], view: View, view_px_per_mm: float
) -> tuple[tuple[Part, PartScore], ...]:
    """Scores on the view's grid; what the photo does not reach counts nowhere."""
    size = (labels.shape[1], labels.shape[0])
    flags = cv2.INTER_NEAREST | cv2.WARP_INVERSE_MAP
    moved = np.asarray(cv2.warpAffine(mask, view.to_photo, size, flags=flags, borderValue=255))
    inside = moved != 255
    moved = np.where(moved > Part.GROUND_ELECTRODE, 0, moved)
    scores = []
    for part in (Part.SHELL, Part.NOSE, Part.CENTRE_ELECTRODE, Part.GROUND_ELECTRODE):
        true, found = (moved == part) & inside, (labels == part) & inside
        if not true.any():
            continue
        widths = true.sum(axis=1)
        errors = boundary_errors(found, true)
        boundary = float(np.median(errors)) / view_px_per_mm if errors.size else math.nan
        scores.append((part, PartScore(overlap(found, true), boundary, float(np.median(widths[widths > 0])))))
    return tuple(scores)
