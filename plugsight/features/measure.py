"""The features room's verb."""

import math

import numpy as np

from plugsight.features.agreed import agreed, off_profile
from plugsight.features.catalogue import CATALOGUE, catalogue_digest
from plugsight.features.flags import flags_on
from plugsight.features.geometry import TipGeometry, measure_tip
from plugsight.features.measure_canonical import ASSUMED_DIAMETER_MM, measure_canonical
from plugsight.features.overlay import draw_overlay
from plugsight.features.projection import measure_projection
from plugsight.features.record import Features, FeatureValue, Length
from plugsight.features.regions import canonical_px_per_mm
from plugsight.features.warning import judge_gap
from plugsight.segments.canonical import clean_labels
from plugsight.segments.record import Segments
from plugsight.view.record import Scale, View
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.refusal import NotMeasured
from plugsight.vocabulary.threads import THREADS


def measure(view: View, segments: Segments, spec: PlugSpec) -> Features:
    """Measure one view of one plug: colour and texture on the canonical crop, geometry at full size, and the overlay.

    What the view can't show is NaN among the values and a ``NotMeasured`` with its remedy among the lengths.
    """
    view = agreed(view, segments, spec)
    off = off_profile(segments)
    tip = measure_tip(view, segments.tip, off)
    projection = measure_projection(segments.labels, view.face_row, view.pose, view.scale)
    values = {
        v.name: v.value
        for v in measure_canonical(
            view.canonical,
            view.pose.kind,
            segments.canonical_labels,
            _crop_scale(view, spec),
            closeup=segments.tip.crop,
            close_labels=clean_labels(segments.tip.chances),
        )
    }
    values |= _exact(tip, projection)
    nose = (values["nose_L"], values["nose_a"], values["nose_b"])
    return Features(
        photo_digest=view.photo_digest,
        kind=view.pose.kind,
        catalogue=catalogue_digest(),
        values=tuple(FeatureValue(e.name, e.clip(values.get(e.name, math.nan))) for e in CATALOGUE),
        gap=tip.gap,
        gap_warning=judge_gap(tip.gap, spec.gap_mm),
        gap_line=tip.gap_line,
        edge_radius=tip.edge_radius,
        nose_projection=projection,
        tilt_deg=view.pose.tilt_deg,
        px_per_mm=1.0 / view.scale.mm_per_px if isinstance(view.scale, Scale) else None,
        nose_lab=nose if math.isfinite(nose[0]) else None,
        canonical=view.canonical,
        overlay=draw_overlay(view, segments.labels, tip.gap, tip.gap_line),
        notes=(*view.notes, *segments.notes, *flags_on(view.pose, off, values)),
    )


def _crop_scale(view: View, spec: PlugSpec) -> float:
    """Pixels per mm of the canonical crop: from the view's scale, else from the thread's size, else assumed M14."""
    if isinstance(view.scale, Scale):
        matrix = np.asarray(view.canonical_to_view, dtype=np.float64)
        view_px_per_crop_px = float(np.sqrt(abs(np.linalg.det(matrix[:2, :2]))))
        return 1.0 / (view.scale.mm_per_px * view_px_per_crop_px)
    thread = THREADS.get(spec.thread or "")
    diameter = ASSUMED_DIAMETER_MM if thread is None else thread.diameter_mm
    return canonical_px_per_mm(view.pose.kind, diameter, view.canonical.shape[1])


def _exact(tip: TipGeometry, projection: Length | NotMeasured) -> dict[str, float]:
    found: dict[str, float] = {}
    if isinstance(tip.gap, Length):
        found |= {"gap_mm": tip.gap.mm, "gap_U_mm": tip.gap.U_mm}
    if isinstance(tip.edge_radius, Length):
        found["edge_radius_mm"] = tip.edge_radius.mm
    if isinstance(projection, Length):
        found["nose_projection_mm"] = projection.mm
    return found
