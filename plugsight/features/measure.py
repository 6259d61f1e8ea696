"""The features room's verb."""

import math

import numpy as np

from plugsight.features.catalogue import CATALOGUE, catalogue_digest
from plugsight.features.gap import MeasuredGap, measure_gap
from plugsight.features.measure_canonical import ASSUMED_DIAMETER_MM, measure_canonical
from plugsight.features.overlay import draw_overlay
from plugsight.features.projection import measure_projection
from plugsight.features.record import Features, FeatureValue, Length
from plugsight.features.regions import canonical_px_per_mm
from plugsight.features.rounding import measure_edge_radius
from plugsight.features.tip import Tip, read_tip
from plugsight.features.warning import judge_gap
from plugsight.segments.record import Segments
from plugsight.view.record import Scale, View
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.refusal import NotMeasured
from plugsight.vocabulary.threads import THREADS

HIDDEN = NotMeasured(
    "the centre electrode is not seen in this view",
    "take a photo from the side, the strap seen in profile and the gap open to the camera",
)


def measure(view: View, segments: Segments, spec: PlugSpec) -> Features:
    """Measure one view of one plug: colour and texture on the canonical crop, geometry at full size, and the overlay.

    What the view can't show is NaN among the values and a ``NotMeasured`` with its remedy among the lengths.
    """
    tip = read_tip(segments.labels)
    edge = HIDDEN if tip is None else measure_edge_radius(tip, view.pose, view.scale)
    gap = _gap(tip, view, edge)
    projection = measure_projection(segments.labels, view.face_row, view.pose, view.scale)
    length: Length | NotMeasured = gap.length if isinstance(gap, MeasuredGap) else gap
    values = {
        v.name: v.value
        for v in measure_canonical(
            view.canonical, view.pose.kind, segments.canonical_labels, _crop_scale(view, spec)
        )
    }
    values |= _exact(length, edge, projection)
    line = gap.line if isinstance(gap, MeasuredGap) else None
    nose = (values["nose_L"], values["nose_a"], values["nose_b"])
    return Features(
        photo_digest=view.photo_digest,
        kind=view.pose.kind,
        catalogue=catalogue_digest(),
        values=tuple(FeatureValue(e.name, e.clip(values.get(e.name, math.nan))) for e in CATALOGUE),
        gap=length,
        gap_warning=judge_gap(length, spec.gap_mm),
        gap_line=line,
        edge_radius=edge,
        nose_projection=projection,
        tilt_deg=view.pose.tilt_deg,
        px_per_mm=1.0 / view.scale.mm_per_px if isinstance(view.scale, Scale) else None,
        nose_lab=nose if math.isfinite(nose[0]) else None,
        canonical=view.canonical,
        overlay=draw_overlay(view, segments.labels, length, line),
        notes=(*view.notes, *segments.notes),
    )


def _gap(tip: Tip | None, view: View, edge: Length | NotMeasured) -> MeasuredGap | NotMeasured:
    if tip is None:
        return HIDDEN
    return measure_gap(tip, view.pose, view.scale, edge.mm if isinstance(edge, Length) else 0.1)


def _crop_scale(view: View, spec: PlugSpec) -> float:
    """Pixels per mm of the canonical crop: from the view's scale, else from the thread's size, else assumed M14."""
    if isinstance(view.scale, Scale):
        matrix = np.asarray(view.canonical_to_view, dtype=np.float64)
        view_px_per_crop_px = float(np.sqrt(abs(np.linalg.det(matrix[:2, :2]))))
        return 1.0 / (view.scale.mm_per_px * view_px_per_crop_px)
    thread = THREADS.get(spec.thread or "")
    diameter = ASSUMED_DIAMETER_MM if thread is None else thread.diameter_mm
    return canonical_px_per_mm(view.pose.kind, diameter, view.canonical.shape[1])


def _exact(
    gap: Length | NotMeasured, edge: Length | NotMeasured, projection: Length | NotMeasured
) -> dict[str, float]:
    found: dict[str, float] = {}
    if isinstance(gap, Length):
        found |= {"gap_mm": gap.mm, "gap_U_mm": gap.U_mm}
    if isinstance(edge, Length):
        found["edge_radius_mm"] = edge.mm
    if isinstance(projection, Length):
        found["nose_projection_mm"] = projection.mm
    return found
